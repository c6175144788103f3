"""Drawings of an edition for its page, as SVG: true times against their targets, and toning along the edition.

Black lines on white, no colour: what is off is told by its shape and its figure.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.pages.markup import escaped
from assistant.trade.wording import to_tenth

WIDE, ROW, LABEL, FIGURE = 360, 11, 74, 62
"""Pixels of a drawing: its width, a copy's row, room for the copy's number and for its time."""


@dataclass(frozen=True)
class Bar:
    """One copy's time in ms, what was wrong with it ("" nothing), and whether the sheet counts."""

    copy: int
    ms: int
    flaw: str = ""
    void: bool = False


def against_target(name: str, bars: Sequence[Bar], target: int | None, called: str) -> str:
    """Every copy's (or what it is `called`) time in one step as a bar, the `target` (ms) as a line through all of them."""
    most = max([bar.ms for bar in bars] + ([target] if target else []) + [1])
    room = WIDE - LABEL - FIGURE
    parts = []
    for place, bar in enumerate(bars):
        y = place * ROW + 2
        dash = ' stroke-dasharray="2 2"' if bar.void else ""
        fill = "#fff" if bar.void else "#999" if bar.flaw else "#ddd"
        parts.append(f'<text x="0" y="{y + 7}">{"void" if bar.void else called} {bar.copy}</text>')
        width = max(0.5, room * bar.ms / most)
        box = f'x="{LABEL}" y="{y}" width="{width:.1f}" height="7"'
        parts.append(f'<rect {box} fill="{fill}" stroke="#000" stroke-width="0.6"{dash}/>')
        parts.append(f'<text x="{LABEL + room + 4}" y="{y + 7}">{to_tenth(bar.ms)} {escaped(bar.flaw)}</text>')
    if target:
        x = LABEL + room * target / most
        parts.append(f'<line x1="{x:.1f}" y1="0" x2="{x:.1f}" y2="{len(bars) * ROW}" stroke="#000" stroke-width="1.2"/>')
    wanted = f", target {to_tenth(target)}" if target else ""
    return _svg(f"{name}: true times{wanted}", WIDE, len(bars) * ROW + 2, parts)


def along_the_edition(name: str, bars: Sequence[Bar], levels: Sequence[tuple[str, int]], called: str) -> str:
    """Times in the order in which the prints went in, which is how the bath tires; `levels` (word, ms) are drawn across."""
    values = [bar.ms for bar in bars] + [ms for _, ms in levels]
    low, high = min(values), max(values)
    reach = max(high - low, 1)
    tall, left, right = 90, 60, WIDE - 10
    step = (right - left) / max(1, len(bars))

    def y(ms: int) -> float:
        return 12 + (tall - 12) * (high - ms) / reach

    parts = []
    for word, ms in levels:
        across = f'x1="{left}" y1="{y(ms):.1f}" x2="{right}" y2="{y(ms):.1f}"'
        parts.append(f'<line {across} stroke="#000" stroke-width="0.5" stroke-dasharray="3 3"/>')
        parts.append(f'<text x="0" y="{y(ms) + 3:.1f}">{escaped(word)} {to_tenth(ms)}</text>')
    points = [(left + step * (place + 0.5), y(bar.ms)) for place, bar in enumerate(bars)]
    line = " ".join(f"{x:.1f},{at:.1f}" for x, at in points)
    parts.append(f'<polyline points="{line}" fill="none" stroke="#000" stroke-width="0.7"/>')
    for (x, at), bar in zip(points, bars, strict=True):
        parts.append(f'<circle cx="{x:.1f}" cy="{at:.1f}" r="2.4" fill="#000"/>')
        parts.append(f'<text x="{x:.1f}" y="{tall + 14}" text-anchor="middle">{called} {bar.copy}</text>')
        parts.append(f'<text x="{x:.1f}" y="{tall + 24}" text-anchor="middle">{to_tenth(bar.ms)}</text>')
    return _svg(f"{name}: times along the edition", WIDE, tall + 28, parts)


def _svg(title: str, wide: int, high: int, parts: Sequence[str]) -> str:
    head = f'<svg viewBox="0 0 {wide} {high}" width="{wide}" role="img" xmlns="http://www.w3.org/2000/svg">'
    return f"{head}<title>{escaped(title)}</title>{''.join(parts)}</svg>"
