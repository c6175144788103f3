"""What the values of one step mean to each other and to its tray: its times, its calls, what it can't use.

A rule yields findings and passes over what could not be read, which is None, whatever the model says. What an exposure
may say is in `light_rules`, where steps stand among each other in `step_order`.
"""

from collections.abc import Iterator, Mapping
from typing import TypeVar

from assistant.recipe.faults import Finding, Path, nearest, one_of, warning
from assistant.recipe.light_rules import of_light
from assistant.recipe.model import Agitate, Develop, Expose, Fix, Hold, Step, Tone, Tray, Wet
from assistant.trade import temperature
from assistant.trade.quantities import Misread, format_span

Item = TypeVar("Item")

EARLIEST_LIGHT = 30_000
"""White light is never safe sooner after first touch of the fixer (ms); common practice, no source."""
HAND = 3_000
"""From letting go of a sheet to having the next one by its corner (ms): common practice, no source."""
SHORT_FIX = 30_000
"""A fixing bath shorter than this (ms) is worth a word; common practice, no source."""


def of_step(step: Step, path: Path, trays: Mapping[str, Tray | None]) -> Iterator[Finding]:
    """All findings about one step; `path` leads to it, kind included."""
    if isinstance(step, Expose):
        yield from of_light(step, path)
        return
    yield from _unused(step, path)
    yield from _tray(step, path, trays)
    yield from _times(step, path)
    yield from _calls(step, path)
    yield from _law(step, path, trays)
    yield from _apart(step, path)
    if isinstance(step, Develop):
        yield from _warmth(step, trays)
    if isinstance(step, Tone | Develop):
        yield from _by_eye(step, path)
    if isinstance(step, Fix):
        yield from _light(step, path)


def _has_an_end(step: Wet) -> bool:
    """Whether a call says when the step is over; an eye or a hand says it otherwise."""
    return not isinstance(step, Hold | Tone) and not (isinstance(step, Develop) and step.by_eye is not None)


def _unused(step: Wet, path: Path) -> Iterator[Finding]:
    """What was written and would do nothing in a step of this kind."""
    for keys, why, fix in _can_not_use(step):
        for key in keys:
            if key in step.model_fields_set and getattr(step, key) not in (None, (), False):
                yield Finding((*path, key), why, fix.format(key=key))


_OUT = "leave {key} out"


def _can_not_use(step: Wet) -> Iterator[tuple[tuple[str, ...], str, str]]:
    """Keys, why they would do nothing here, and what to do instead."""
    if not _has_an_end(step):
        yield ("drain", "lift", "pip"), "no call ends this step: a hand does", _OUT
    if isinstance(step, Hold):
        yield ("agitate",), "sheets come and go here and have no rhythm in common", "leave it out; the tray's refresh is called"
        yield ("together",), "all copies gather here as it is", _OUT
    elif not _has_an_end(step):
        yield ("at_least",), "the eye ends this step", "write the earliest as by_eye: {{from: 45 s, to: 2 min}}"
    if isinstance(step, Develop):
        if step.target is not None:
            yield ("at_least",), "a development is as long as its time, no shorter", _OUT
        if step.by_eye is None:
            fix = "write by_eye, or say: [{{at: 60 s, words: look}}]"
            yield ("look",), "only a development that the eye ends is looked at", fix
        why = "sheets go in one by one and would come out at once: the first would be developed longest"
        yield ("together",), why, "write apart: 15 s: they come out as they went in, each after exactly its time"
        if step.target is None:
            why = "a stack is developed by the clock, so that every sheet has the same time"
            yield ("apart",), why, "write for: 8 min, or leave apart out"
    if not isinstance(step, Develop) or step.target is None:
        why = "only a development with a time of its own follows the temperature"
        yield ("temperature_law",), why, "leave it out, or write the development's time as for"


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
    if isinstance(step, Tone | Develop) and step.by_eye is not None:
        return step.at_most or step.by_eye.latest
    return step.at_most if isinstance(step, Hold) else step.target


def _calls(step: Wet, path: Path) -> Iterator[Finding]:
    length = _length(step)
    ends = _has_an_end(step)
    for i, call in _read(step.say):
        if call.left is not None and not ends:
            what = "nothing is left in a step that has no end"
            yield Finding((*path, "say", i, "left"), what, "count from its beginning: write at: 30 s")
            continue
        for key, moment in (("at", call.at), ("left", call.left)):
            if moment is not None and length is not None and moment >= length:
                yield _outside("call", length, (*path, "say", i, key))
    agitate = step.agitate
    if isinstance(agitate, Agitate) and length is not None and agitate.every >= length:
        what = f"an agitation every {format_span(agitate.every)} never comes in {format_span(length)}"
        yield Finding((*path, "agitate", "every"), what, "write a shorter time, or leave agitate out")
    if isinstance(agitate, Agitate) and agitate.give is not None and agitate.give * 2 > agitate.every:
        what = f"a turn moved by {format_span(agitate.give)} can meet the next one, {format_span(agitate.every)} later"
        yield Finding((*path, "agitate", "give"), what, "write at most half of every")


def _read(items: tuple[Item, ...]) -> Iterator[tuple[int, Item]]:
    """The items of a list that could be read, with their positions."""
    return ((i, item) for i, item in enumerate(items or ()) if item is not None)


def _outside(name: str, length: int, path: Path) -> Finding:
    return Finding(path, f"this {name} lies outside its step, {format_span(length)}", "write an earlier moment")


def _law(step: Wet, path: Path, trays: Mapping[str, Tray | None]) -> Iterator[Finding]:
    law = step.temperature_law
    if law is None or not isinstance(step, Develop) or step.target is None:
        return
    here = (*path, "temperature_law")
    tray = trays.get(step.tray)
    if tray is None:
        return
    if tray.temperature is None:
        what = f"`{step.tray}` has no temperature to calculate from"
        yield Finding(here, what, "write the tray's temperature, like temperature: 20 C")
        return
    try:
        if law.points is not None:
            temperature.time_between(law.points, tray.temperature)
        elif law.coefficient is not None:
            temperature.time_at(step.target, tray.temperature, tray.temperature, law.coefficient)
    except Misread as error:
        yield Finding(here, error.what, error.fix)


def _by_eye(step: Tone | Develop, path: Path) -> Iterator[Finding]:
    if isinstance(step, Tone) and step.begin == "on cue":
        yield Finding((*path, "begin"), "toning is begun by hand", "leave begin out")
    if step.by_eye is None:
        return
    if step.by_eye.earliest > step.by_eye.latest:
        yield Finding((*path, "by_eye"), "`from` is later than `to`", "change them over")
    for i, look in _read(step.look):
        if look.at > step.by_eye.latest:
            yield _outside("look", step.by_eye.latest, (*path, "look", i, "at"))


def _apart(step: Wet, path: Path) -> Iterator[Finding]:
    if isinstance(step, Develop) and step.apart is not None and step.drain is not None and step.apart < step.drain + HAND:
        apart, drain = format_span(step.apart), format_span(step.drain)
        what = f"a sheet every {apart}, and each drains for {drain}: two are in the hand at once"
        yield Finding((*path, "apart"), what, f"write at least {format_span(step.drain + HAND)}, or a shorter drain")


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
        yield warning(("trays", step.tray, "temperature"), words)
