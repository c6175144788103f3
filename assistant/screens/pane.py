"""The one widget that every screen is made of: rows of text in three strengths of red on black. Knows no session."""

from dataclasses import replace
from functools import lru_cache
from itertools import groupby, zip_longest

from rich.segment import Segment
from rich.style import Style
from textual._ansi_sequences import SYNC_END, SYNC_START
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from assistant.screens.drawing import Row
from assistant.terminal.brightness import peak
from assistant.trade.foreign_text import as_text

SHADES = {"b": 255, "t": 200, "d": 140}
"""The reds of bright, of plain and of dim letters at full brightness, as 8-bit code values; a level's peak is 255 of it."""
PLAIN = "Screen { background: #000000; color: #400000; } * { link-color: #400000; }"
"""The style sheet of every screen: nothing of a theme is left to be seen."""


def peak_of(level: str, gated: bool) -> int:
    """The brightest red to paint at a level, 8-bit: all of it where a gate dims what leaves; ValueError for no such level."""
    most = peak(level)
    return 255 if gated else most


class Pane(Widget):
    """A window full of rows; `peak` is the brightest red that it may show, 8-bit: whoever changes it has all painted anew."""

    DEFAULT_CSS = "Pane { width: 100%; height: 100%; background: #000000; color: #400000; }"
    rows: tuple[Row, ...] = ()
    paints = 0
    """How often something changed; for tests."""

    def __init__(self, peak: int) -> None:
        super().__init__()
        self.peak = peak

    def show(self, rows: list[Row]) -> None:
        """Show these rows; only those that are not the same are painted. What could command the terminal is shown by its name."""
        new = tuple(row if row.text.isprintable() else replace(row, text=as_text(row.text)) for row in rows)
        both = enumerate(zip_longest(self.rows, new, fillvalue=Row()))
        changed = [(y, *_changed(old, row)) for y, (old, row) in both if old != row]
        if changed:
            self.rows = new
            self.paints += 1
            self._paint(changed)

    def _paint(self, changed: list[tuple[int, int, int]]) -> None:
        """Straight to the terminal, row, first and last column of each change: by way of the toolkit's compositor and its
        timer a second of a session costs half as much again."""
        app = self.app
        if app._driver is None or app.is_headless or not app.is_running:
            self.refresh(*(Region(first, y, last + 1 - first, 1) for y, first, last in changed))
            return
        strips = self.render_lines(self.size.region)
        pieces = (
            f"\x1b[{y + 1};{first + 1}H{strips[y].crop(first, last + 1).render(app.console)}"
            for y, first, last in changed
            if y < len(strips)
        )
        begin, end = (SYNC_START, SYNC_END) if app._sync_available else ("", "")
        app._driver.write(f"{begin}{''.join(pieces)}{end}")

    def on_resize(self) -> None:
        """All is painted anew in another size."""
        self.refresh()

    def render_lines(self, crop: Region) -> list[Strip]:
        """What of the rows is to be painted: there is no border, and no filter but the gate, to be asked about every line."""
        width, rows = self.size.width, self.rows
        strips = [_painted(rows[y] if y < len(rows) else Row(), width, self.peak) for y in crop.line_range]
        return strips if crop.width == width else [strip.crop(crop.x, crop.right) for strip in strips]


@lru_cache(maxsize=256)  # all rows of the largest window, most of which stand still
def _painted(row: Row, width: int, peak: int) -> Strip:
    segments, at = [], 0
    for shade, group in groupby(row.shades):
        size = len(list(group))
        segments.append(Segment(row.text[at : at + size], _style(shade, peak)))
        at += size
    return Strip([*segments, Segment(" " * (width - at), _style("t", peak))], width)


@lru_cache(maxsize=64)
def _style(shade: str, peak: int) -> Style:
    return Style(color=f"#{round(SHADES[shade] * peak / 255):02X}0000", bgcolor="#000000")


def _changed(old: Row, new: Row) -> tuple[int, int]:
    """The first and the last column in which two rows differ: only these are painted."""
    pairs = list(zip_longest(old.text, old.shades, new.text, new.shades, fillvalue=" "))
    differ = [x for x, (was, was_lit, letter, lit) in enumerate(pairs) if was != letter or (was_lit != lit and letter != " ")]
    return (differ[0], differ[-1]) if differ else (0, 0)
