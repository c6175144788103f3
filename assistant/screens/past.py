"""The leaves of a session that is looked back on, as blocks of rows.

The first leaf is the edition as a whole; each copy has one of its own. Pure: no widget, no file. Moments are told by
the wall clock that was right when the session began. Nothing is judged here that the session did not judge.
"""

import textwrap
from collections.abc import Iterator, Sequence
from typing import TypeAlias

from assistant.history.baths import age
from assistant.history.chemistry import days, through
from assistant.history.printed import Printed, Sheet
from assistant.recipe.model import Tone
from assistant.screens.drawing import Row, packed
from assistant.screens.plots import Level, Point, along
from assistant.session.copy import Stay
from assistant.trade import emergence
from assistant.trade import quantities as q
from assistant.trade.wording import to_tenth

Block: TypeAlias = list[Row]
"""Rows that are best seen together; the first is their title."""

_NUMBER = 10
_CLOCK_FROM = 72
"""From this width on there is room to say when a copy went in."""


def headline(past: Printed, leaf: int) -> str:
    """What a leaf is about: 0 the edition, else the copy of that number."""
    if leaf == 0:
        return f"{past.session.title}: session {past.session.number}"
    return f"copy {leaf} of {len(past.course.sheets)}: {past.course.sheets[leaf - 1].state}"


def blocks(past: Printed, leaf: int, width: int, high: int) -> list[Block]:
    """What a leaf says, fitted to a width; plots are `high` rows at most."""
    if leaf:
        return [_copy(past, past.course.sheets[leaf - 1], width)]
    course = past.course
    found = [
        [Row(line) for line in _wrapped(past.trouble, width)],
        [Row(line) for line in _wrapped(_course(past), width)],
        *_toning(past, width, high),
        *_first_tones(past, width, high),
        _listed("Not as planned", _wrong(past), width),
        _listed("Temperatures read", _readings(past), width),
        _listed("Notes", [f"{_clock(past, at)}  {words}" for at, words in course.notes], width),
        _listed("Baths", _baths(past), width),
    ]
    return [block for block in found if block]


def _course(past: Printed) -> str:
    session, until = past.session, to_tenth(past.until)
    end = f"not ended, followed for {until}" if session.ended is None else f"ended after {until}"
    planned = f"{session.copies} {'copy' if session.copies == 1 else 'copies'} planned"
    states = ", ".join(f"{number} {what}" for what, number in past.course.counted.items()) or "none begun"
    return f"{planned}: {states}; {end}"


def _toning(past: Printed, width: int, high: int) -> Iterator[Block]:
    """A plot for each toner, its prints in the order in which they went in, which is how the bath tires."""
    toned = past.course.toned
    for step in sorted({stay.step for stay in toned}):
        here = [stay for stay in toned if stay.step == step]
        title = _fitted(f"{here[0].name}: minutes along the edition, pulled by eye", width)
        untoned = ", ".join(map(str, past.course.untoned))
        plot = along([Point(stay.copy, stay.lasted) for stay in here], _usual(past, step), width, high)
        yield from _titled(title, plot, f"untoned: copy {untoned}" if untoned else "", width)


def _usual(past: Printed, step: int) -> tuple[Level, ...]:
    """Between which times the recipe has prints pulled."""
    found = past.recipe.steps[step] if past.recipe and step < len(past.recipe.steps) else None
    if not isinstance(found, Tone):
        return ()
    return Level("to", found.by_eye.latest), Level("from", found.by_eye.earliest)


def _first_tones(past: Printed, width: int, high: int) -> Iterator[Block]:
    points = [Point(copy, ms) for copy, ms in past.course.first_tones]
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


def _wrong(past: Printed) -> Iterator[str]:
    for sheet in past.course.sheets:
        last = sheet.stays[-1] if sheet.stays else None
        if sheet.state == "void":
            yield f"copy {sheet.number} void" + (f", last in {last.name} until {_clock(past, last.to_ms)}" if last else "")
        for stay in sheet.stays:
            if stay.verdict in ("short", "long"):
                wanted = f" for {to_tenth(stay.target_ms)}" if stay.target_ms is not None else ""
                yield f"copy {sheet.number} {stay.name} {to_tenth(stay.lasted)}{wanted}: {stay.verdict}"
        if sheet.within is not None:
            yield f"copy {sheet.number} still in {sheet.within.name}, for {to_tenth(past.until - sheet.within.since)}"
    for since, until in past.unattended:
        yield f"nobody was called from {_clock(past, since)} to {_clock(past, until)}"


def _readings(past: Printed) -> list[str]:
    return [f"{_clock(past, r.at)}  {r.tray} {q.format_temperature(r.celsius)}" for r in past.course.readings]


def _baths(past: Printed) -> Iterator[str]:
    known = {bath.tray: bath for bath in past.baths}
    for tray, bath in past.recipe.trays.items() if past.recipe else ():
        mix = f" {q.format_mix(bath.mix)}" if bath.mix else ""
        volume = q.format_volume(bath.volume) if bath.volume else ""
        warmth = q.format_temperature(bath.temperature) if bath.temperature is not None else ""
        before = ""
        if tray in known:
            before = f"mixed {days(age(known[tray].bath, past.session.started))} before; until then {through(known[tray])}"
        yield f"{tray}: " + ", ".join(filter(None, [f"{bath.bath}{mix}", volume, warmth, before]))


def _copy(past: Printed, sheet: Sheet, width: int) -> Block:
    """One copy's true times against their targets: the wall clock when it went in, how far off, and the verdict."""
    clock = width >= _CLOCK_FROM
    wide = min(max(width - (4 if clock else 3) * _NUMBER - 7, 8), 32)

    def row(name: str, began: str, numbers: Sequence[str], word: str) -> str:
        return _columns(name, [began, *numbers] if clock else numbers, word, wide)

    rows = [row(stay.name, _clock(past, stay.from_ms), _figures(stay), _word(stay)) for stay in sheet.stays]
    within = sheet.within
    if within is not None:
        target = to_tenth(within.target_ms) if within.target_ms is not None else "open"
        rows.append(row(within.name, _clock(past, within.since), (target, to_tenth(past.until - within.since), ""), "in it"))
    rows += [f"first visible tone after {to_tenth(ms)}" for number, ms in past.course.first_tones if number == sheet.number]
    return [Row(row("", "in at", ("target", "true", "off"), ""), "dim"), *(Row(_fitted(text, width)) for text in rows)]


def _columns(name: str, numbers: Sequence[str], word: str, wide: int) -> str:
    row = f"{_fitted(name, wide - 1):<{wide}}" + "".join(f"{number:>{_NUMBER}}" for number in numbers)
    return f"{row}  {word}".rstrip()


def _figures(stay: Stay) -> tuple[str, str, str]:
    if stay.target_ms is None:
        return "by eye" if stay.kind == "tone" else "open", to_tenth(stay.lasted), ""
    off = (_tenths(stay.lasted) - _tenths(stay.target_ms)) * 100  # of the tenths shown, so that the sum is right to the eye
    return to_tenth(stay.target_ms), to_tenth(stay.lasted), f"{'+' if off > 0 else '-'}{to_tenth(abs(off))}" if off else ""


def _tenths(ms: int) -> int:
    return (ms + 50) // 100


def _word(stay: Stay) -> str:
    return stay.verdict if stay.verdict in ("short", "long") else ""


def _listed(title: str, items: Sequence[str] | Iterator[str], width: int) -> Block:
    rows = [Row(line) for item in items for line in _wrapped(f"  {item}", width)]
    return [Row(title, "bright"), *rows] if rows else []


def _clock(past: Printed, ms: int) -> str:
    return f"{past.session.wall(ms):%H:%M:%S}"


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, subsequent_indent="    ")


def _fitted(text: str, width: int) -> str:
    return packed((text,), width)[0]
