"""What the values of one step mean to each other and to its tray: its times, its calls, its light.

A rule yields findings and passes over what could not be read, which is None, whatever the model says. Where steps
stand among each other is said in `step_order`.
"""

from collections.abc import Iterator, Mapping
from typing import TypeVar

from assistant.recipe.faults import Finding, Path, nearest, one_of
from assistant.recipe.model import Develop, Expose, Fix, Hold, Step, Tone, Tray, Wet
from assistant.trade import parts, strips, temperature
from assistant.trade.quantities import Misread, format_span

Item = TypeVar("Item")

MINUTE = 60_000
EARLIEST_LIGHT = 30_000
"""White light is never safe sooner after first touch of the fixer (ms); common practice, no source."""
SHORT_FIX = 30_000
"""A fixing bath shorter than this (ms) is worth a word; common practice, no source."""


def of_step(step: Step, path: Path, trays: Mapping[str, Tray | None]) -> Iterator[Finding]:
    """All findings about one step; `path` leads to it, kind included."""
    if isinstance(step, Expose):
        yield from _strip(step, path)
        yield from _parts(step, path)
        return
    yield from _tray(step, path, trays)
    yield from _times(step, path)
    yield from _calls(step, path)
    yield from _law(step, path, trays)
    if isinstance(step, Develop):
        yield from _warmth(step, trays)
    if isinstance(step, Tone):
        yield from _by_eye(step, path)
    if isinstance(step, Fix):
        yield from _light(step, path)


def _strip(step: Expose, path: Path) -> Iterator[Finding]:
    strip = step.strip
    if strip is None or (strip.step is None) == (strip.add is None):
        return
    here = (*path, "strip")
    try:
        plan = strips.plan(strip.first, strip.strips, add=strip.add, stops=strip.step, way=strip.way)
    except Misread as error:
        yield Finding(here, error.what, error.fix)
    else:
        yield from (_warning(here, words) for words in plan.warnings)
    if step.parts:
        yield Finding((*path, "parts"), "a test strip has no burns and dodges", "leave them for the print")


def _parts(step: Expose, path: Path) -> Iterator[Finding]:
    if step.time is None or step.strip is not None:
        return
    given = []
    for part in step.parts or ():
        if part is None or (part.burn is None) == (part.dodge is None):
            return
        given.append(parts.Part("burn" if part.burn else "dodge", part.burn or part.dodge or "", part.stops))
    try:
        plan = parts.plan(step.time, given, step.dry_down or 0.0)
    except Misread as error:
        yield Finding((*path, "parts"), error.what, error.fix)
    else:
        yield from (_warning((*path, "parts"), words) for words in plan.warnings)


def _warning(path: Path, words: str) -> Finding:
    """A warning of the trade's room: what, a colon, what to do."""
    what, _, fix = words.rstrip(".").rpartition(": ")
    return Finding(path, what[:1].lower() + what[1:], fix, "warning")


def _tray(step: Wet, path: Path, trays: Mapping[str, Tray | None]) -> Iterator[Finding]:
    if step.tray is not None and step.tray not in trays:
        near = nearest(step.tray, trays)
        fix = f"did you mean `{near}`?" if near else f"write {one_of(trays)}" if trays else "name it under trays"
        yield Finding((*path, "tray"), f"`{step.tray}` is not on the bench", fix)


def _times(step: Wet, path: Path) -> Iterator[Finding]:
    least, target, most = step.at_least, step.target, step.at_most
    if target is not None and least is not None and least > target:
        what = f"the least, {format_span(least)}, is above the time, {format_span(target)}"
        yield Finding((*path, "at_least"), what, "lower the least or raise the time")
    if target is not None and most is not None and target > most:
        what = f"the time, {format_span(target)}, is above the most, {format_span(most)}"
        yield Finding((*path, "at_most"), what, "lower the time or raise the most")
    if target is None and least is not None and most is not None and least > most:
        what = f"the least, {format_span(least)}, is above the most, {format_span(most)}"
        yield Finding((*path, "at_least"), what, "lower the least or raise the most")
    if target is not None and step.drain is not None and step.drain >= target:
        what = f"the drain, {format_span(step.drain)}, is as long as the step, {format_span(target)}"
        yield Finding((*path, "drain"), what, "it lies inside the step: write a shorter drain")


def _length(step: Wet) -> int | None:
    """How long a step is at most, where that is known (ms)."""
    if isinstance(step, Tone):
        return step.by_eye.latest if step.by_eye is not None else None
    return step.at_most if isinstance(step, Hold) else step.target


def _calls(step: Wet, path: Path) -> Iterator[Finding]:
    length = _length(step)
    ends = not isinstance(step, Hold | Tone)
    for i, call in _read(step.say):
        if call.left is not None and not ends:
            what = "nothing is left in a step that has no end"
            yield Finding((*path, "say", i, "left"), what, "count from its beginning: write at: 30 s")
            continue
        for key, moment in (("at", call.at), ("left", call.left)):
            if moment is not None and length is not None and moment >= length:
                yield _outside("call", length, (*path, "say", i, key))
    if step.agitate is not None and length is not None and step.agitate.every >= length:
        what = f"an agitation every {format_span(step.agitate.every)} never comes in {format_span(length)}"
        yield Finding((*path, "agitate", "every"), what, "write a shorter time, or leave agitate out")


def _read(items: tuple[Item, ...]) -> Iterator[tuple[int, Item]]:
    """The items of a list that could be read, with their positions."""
    return ((i, item) for i, item in enumerate(items or ()) if item is not None)


def _outside(name: str, length: int, path: Path) -> Finding:
    return Finding(path, f"this {name} lies outside its step, {format_span(length)}", "write an earlier moment")


def _law(step: Wet, path: Path, trays: Mapping[str, Tray | None]) -> Iterator[Finding]:
    law = step.temperature_law
    if law is None:
        return
    here = (*path, "temperature_law")
    tray = trays.get(step.tray)
    if tray is None:
        return
    if tray.temperature is None:
        what = f"`{step.tray}` has no temperature from which a time could be reckoned"
        yield Finding(here, what, "write the tray's temperature, like temperature: 20 C")
        return
    try:
        if law.points is not None:
            temperature.time_between(law.points, tray.temperature)
        elif law.coefficient is not None:
            temperature.time_at(step.target or MINUTE, tray.temperature, tray.temperature, law.coefficient)
    except Misread as error:
        yield Finding(here, error.what, error.fix)


def _by_eye(step: Tone, path: Path) -> Iterator[Finding]:
    if step.together:
        yield Finding((*path, "together"), "prints are toned one at a time", "leave together out")
    if step.begin == "on cue":
        yield Finding((*path, "begin"), "toning is begun by hand", "leave begin out")
    if step.by_eye is None:
        return
    if step.by_eye.earliest > step.by_eye.latest:
        yield Finding((*path, "by_eye"), "`from` is later than `to`", "change them over")
    for i, look in _read(step.look):
        if look.at > step.by_eye.latest:
            yield _outside("look", step.by_eye.latest, (*path, "look", i, "at"))


def _light(step: Fix, path: Path) -> Iterator[Finding]:
    here, target = (*path, "light_safe"), step.target
    if step.light_safe is None:
        return
    if step.light_safe < EARLIEST_LIGHT:
        what = f"white light after {format_span(step.light_safe)} in the fixer fogs the paper"
        yield Finding(here, what, f"write at least {format_span(EARLIEST_LIGHT)}")
    if target is not None and target < SHORT_FIX:
        yield Finding((*path, "for"), f"a fix of {format_span(target)} is short", "see the fixer's label", "warning")


def _warmth(step: Develop, trays: Mapping[str, Tray | None]) -> Iterator[Finding]:
    tray = trays.get(step.tray)
    if tray is None or tray.temperature is None:
        return
    for words in temperature.warnings(tray.temperature):
        yield _warning(("trays", step.tray, "temperature"), words)
