"""A session that was printed, as it is looked back on: what is kept of it, and its leaves as blocks of rows.

The first leaf is the edition as a whole; each copy has one of its own. Pure: no widget, no file. Moments are told by
the wall clock that was right when the session began. Nothing is judged here that the session did not judge.
"""

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TypeAlias

from assistant.recipe.model import Tone
from assistant.screens.drawing import Row, packed, tenths
from assistant.screens.plots import Level, Point, along
from assistant.session.bench import Bench
from assistant.session.copy import Copy, Stay
from assistant.trade import emergence
from assistant.trade import quantities as q

Block: TypeAlias = list[Row]
"""Rows that are best seen together; the first is their title."""

_NUMBER = 10
_CLOCK_FROM = 72
"""From this width on there is room to say when a copy went in."""


@dataclass(frozen=True)
class Past:
    """A session as it is kept: its number, beginning and title, and how many copies were planned.

    `lived`: until when it was followed; `ended`: when the printer ended it, None where nobody did (ms both). `bench`
    as it stood then, None where it can't be read, for which `trouble` says why. `mixed`: tray -> what was known of
    its bath. `unattended`: from when to when (ms) nobody was called.
    """

    number: int
    started: datetime
    title: str
    planned: int
    lived: int
    ended: int | None
    bench: Bench | None
    mixed: tuple[tuple[str, str], ...] = ()
    unattended: tuple[tuple[int, int], ...] = ()
    trouble: str = ""

    @property
    def copies(self) -> tuple[Copy, ...]:
        """Every sheet that counted or was spoiled, by number."""
        return self.bench.copies if self.bench else ()


def headline(past: Past, leaf: int) -> str:
    """What a leaf is about: 0 the edition, else the copy of that number."""
    if leaf == 0:
        return f"{past.title}: session {past.number}"
    return f"copy {leaf} of {len(past.copies)}: {_state(past.copies[leaf - 1])}"


def blocks(past: Past, leaf: int, width: int, high: int) -> list[Block]:
    """What a leaf says, fitted to a width; plots are `high` rows at most."""
    if past.bench is None:
        return [[Row(line) for line in _wrapped(past.trouble, width)]]
    if leaf:
        return [_copy(past, past.bench, past.copies[leaf - 1], width)]
    found = [
        [Row(line) for line in _wrapped(_course(past), width)],
        *_toning(past.bench, width, high),
        *_first_tones(past.bench, width, high),
        _listed("Not as planned", _wrong(past, past.bench), width),
        _listed("Temperatures read", _readings(past, past.bench), width),
        _listed("Notes", [f"{_clock(past, at)}  {words}" for at, words in past.bench.notes], width),
        _listed("Baths", _baths(past, past.bench), width),
    ]
    return [block for block in found if block]


def _course(past: Past) -> str:
    counted = {what: sum(_state(copy) == what for copy in past.copies) for what in map(_state, past.copies)}
    end = f"not ended, followed for {tenths(past.lived)}" if past.ended is None else f"ended after {tenths(past.ended)}"
    planned = f"{past.planned} {'copy' if past.planned == 1 else 'copies'} planned"
    return f"{planned}: " + ", ".join(f"{number} {what}" for what, number in counted.items()) + f"; {end}"


def _state(copy: Copy) -> str:
    return "void" if copy.void else "done" if copy.done else "not begun" if copy.boxed else "not finished"


def _toning(bench: Bench, width: int, high: int) -> Iterator[Block]:
    """A plot for each toner, its prints in the order in which they went in, which is how the bath tires."""
    stays = sorted((s for c in bench.copies for s in c.stays if s.verdict != "void"), key=lambda s: (s.from_ms, s.copy))
    for number, step in enumerate(bench.plan.recipe.steps):
        points = [Point(stay.copy, stay.lasted) for stay in stays if stay.step == number]
        if isinstance(step, Tone) and points:
            levels = (Level("to", step.by_eye.latest), Level("from", step.by_eye.earliest))
            title = _fitted(f"{step.name}: minutes along the edition, pulled by eye", width)
            untoned = ", ".join(map(str, sorted(bench.untoned)))
            yield from _titled(title, along(points, levels, width, high), f"untoned: copy {untoned}" if untoned else "", width)


def _first_tones(bench: Bench, width: int, high: int) -> Iterator[Block]:
    points = [Point(copy, ms) for copy, ms in bench.emerged]
    if points:
        first, last = points[0], points[-1]
        late = Level(f"+{emergence.TIRED:g} %", round(first.ms * (1 + emergence.TIRED / 100)))
        bands = along(points, (late,), width, high)
        yield from _titled("First visible tone along the edition", bands, _drift(first, last), width)


def _drift(first: Point, last: Point) -> str:
    if first == last:
        return ""
    moved = emergence.drift(first.ms, last.ms)
    way = "later" if moved.percent >= 0 else "sooner"
    going = f". {emergence.GOING}" if moved.tired else ""
    return f"copy {last.copy}: {abs(moved.percent):.0f} % {way} than copy {first.copy}{going}"


def _titled(title: str, bands: list[Block], last: str, width: int) -> list[Block]:
    """The bands of a plot under their title, and a line under the last one."""
    rows = [Row(line) for line in _wrapped(last, width)] if last else []
    return [[Row(title, "bright"), *band, *(rows if band is bands[-1] else [])] for band in bands]


def _wrong(past: Past, bench: Bench) -> Iterator[str]:
    for copy in bench.copies:
        last = copy.stays[-1] if copy.stays else None
        if copy.void:
            yield f"copy {copy.number} void" + (f", last in {last.name} until {_clock(past, last.to_ms)}" if last else "")
        for stay in copy.stays:
            if stay.verdict in ("short", "long"):
                wanted = f" for {tenths(stay.target_ms)}" if stay.target_ms is not None else ""
                yield f"copy {copy.number} {stay.name} {tenths(stay.lasted)}{wanted}: {stay.verdict}"
        if copy.live and copy.since is not None:
            yield f"copy {copy.number} still in {bench.step_of(copy).name}, for {tenths(bench.now - copy.since)}"
    for since, until in past.unattended:
        yield f"nobody was called from {_clock(past, since)} to {_clock(past, until)}"


def _readings(past: Past, bench: Bench) -> list[str]:
    return [f"{_clock(past, r.at)}  {r.tray} {q.format_temperature(r.celsius)}" for r in bench.readings]


def _baths(past: Past, bench: Bench) -> Iterator[str]:
    known = dict(past.mixed)
    for tray, bath in bench.plan.recipe.trays.items():
        mix = f" {q.format_mix(bath.mix)}" if bath.mix else ""
        volume = q.format_volume(bath.volume) if bath.volume else ""
        warmth = q.format_temperature(bath.temperature) if bath.temperature is not None else ""
        yield f"{tray}: " + ", ".join(filter(None, [f"{bath.bath}{mix}", volume, warmth, known.get(tray, "")]))


def _copy(past: Past, bench: Bench, copy: Copy, width: int) -> Block:
    """One copy's true times against their targets: the wall clock when it went in, how far off, and the verdict."""
    clock = width >= _CLOCK_FROM
    wide = min(max(width - (4 if clock else 3) * _NUMBER - 7, 8), 32)

    def row(name: str, began: str, numbers: Sequence[str], word: str) -> str:
        return _columns(name, [began, *numbers] if clock else numbers, word, wide)

    rows = [row(stay.name, _clock(past, stay.from_ms), _figures(bench, stay), _word(stay)) for stay in copy.stays]
    if copy.live and copy.since is not None:
        target = tenths(copy.target) if copy.target is not None else "open"
        so_far = (target, tenths(bench.now - copy.since), "")
        rows.append(row(bench.step_of(copy).name, _clock(past, copy.since), so_far, "in it"))
    rows += [f"first visible tone after {tenths(ms)}" for number, ms in bench.emerged if number == copy.number]
    return [Row(row("", "in at", ("target", "true", "off"), ""), "dim"), *(Row(_fitted(text, width)) for text in rows)]


def _columns(name: str, numbers: Sequence[str], word: str, wide: int) -> str:
    row = f"{_fitted(name, wide - 1):<{wide}}" + "".join(f"{number:>{_NUMBER}}" for number in numbers)
    return f"{row}  {word}".rstrip()


def _figures(bench: Bench, stay: Stay) -> tuple[str, str, str]:
    if stay.target_ms is None:
        eye = isinstance(bench.plan.recipe.steps[stay.step], Tone)
        return "by eye" if eye else "open", tenths(stay.lasted), ""
    off = (stay.lasted // 100 - stay.target_ms // 100) * 100  # of the tenths shown, so that the sum is right to the eye
    return tenths(stay.target_ms), tenths(stay.lasted), f"{'+' if off > 0 else '-'}{tenths(abs(off))}" if off else ""


def _word(stay: Stay) -> str:
    return stay.verdict if stay.verdict in ("short", "long") else ""


def _listed(title: str, items: Sequence[str] | Iterator[str], width: int) -> Block:
    rows = [Row(line) for item in items for line in _wrapped(f"  {item}", width)]
    return [Row(title, "bright"), *rows] if rows else []


def _clock(past: Past, ms: int) -> str:
    return f"{past.started + timedelta(milliseconds=ms):%H:%M:%S}"


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, subsequent_indent="    ")


def _fitted(text: str, width: int) -> str:
    return packed((text,), width)[0]
