"""What is heard while there is light on the paper: count-in, ticks, the card to move, dodges, the end.

An exposure is one or more *lamp runs*, each begun by a tap: the base (or a strip) first, then every burn.
"""

from dataclasses import dataclass

from assistant.recipe.model import Expose, Part
from assistant.score import words
from assistant.trade import exposure, strips
from assistant.trade.limits import Impossible

SECOND = 1000
MINUTES = 120_000
"""Nobody counts the seconds of a light longer than this (ms)."""
SETTLE = 1000
"""Light runs this long before the first dodge and between two (ms): time to bring the tool in."""


@dataclass(frozen=True)
class Mark:
    """A cue that has no moment yet: ms after a beginning, kind and words."""

    offset: int
    kind: str
    words: str = ""


@dataclass(frozen=True)
class LampRun:
    """One time that the lamp is on: its name, what the printer is to do first, and light and count-in in ms.

    `totals` are those of a test strip, lightest first.
    """

    name: str
    task: str
    count_in: int
    light: int
    marks: tuple[Mark, ...]
    totals: tuple[int, ...] = ()

    @property
    def lasts(self) -> int:
        """From the tap to the end of the light, ms."""
        return self.count_in + self.light


def lamp_runs(step: Expose) -> tuple[LampRun, ...]:
    """The lamp runs of an exposure, in order: dry-down is taken off once, burns and dodges follow the base."""
    if step.strip is not None:
        return (_strip_run(step),)
    assert step.time is not None
    base = exposure.dry_down(step.time, step.dry_down)
    dodges = tuple(part for part in step.parts if part.dodge)
    burns = tuple(part for part in step.parts if part.burn)
    first = LampRun(step.name, "", step.count_in, base, _marks(step.count_in, base, _shades(step.count_in, base, dodges)))
    return (first, *(_burn_run(step, base, part) for part in burns))


def _burn_run(step: Expose, base: int, part: Part) -> LampRun:
    light = exposure.burn(base, part.stops)
    task = ". ".join(filter(None, [f"burn the {part.burn}", part.say, words.span(light)]))
    return LampRun(f"burn {part.burn}", task, step.count_in, light, _marks(step.count_in, light, ()))


def _strip_run(step: Expose) -> LampRun:
    """A strip; where it takes minutes only every tenth second ticks."""
    strip = step.strip
    assert strip is not None
    plan = strips.plan(strip.first, strip.strips, add=strip.add, stops=strip.step, way=strip.way)
    moves = tuple(Mark(step.count_in + at, "move", "") for at in plan.moves)
    task = f"{words.number(strip.strips)} strips. {strip.way} at every pip"
    marks = _marks(step.count_in, plan.total, moves)
    if plan.total > MINUTES:
        marks = tuple(mark for mark in marks if mark.kind != "tick")
    return LampRun(step.name, task, step.count_in, plan.total, marks, plan.totals)


def _shades(count_in: int, base: int, dodges: tuple[Part, ...]) -> tuple[Mark, ...]:
    found: list[Mark] = []
    at = count_in + SETTLE
    for part in dodges:
        held = exposure.dodge(base, part.stops)
        found.append(Mark(at, "shade", f"dodge the {part.dodge}"))
        found.append(Mark(at + held, "shade", "away"))
        at += held + SETTLE
    if at - SETTLE > count_in + base:
        raise Impossible("the dodges take longer than the base", "dodge less, or take a longer base and a smaller aperture")
    return tuple(found)


def _marks(count_in: int, light: int, within: tuple[Mark, ...]) -> tuple[Mark, ...]:
    counts = tuple(Mark(count_in - back * SECOND, "count", words.number(back)) for back in (3, 2, 1) if back * SECOND < count_in)
    taken = {mark.offset for mark in within}
    ticks = tuple(
        Mark(count_in + at, "tick" if at % (10 * SECOND) else "tenth")
        for at in range(SECOND, light, SECOND)
        if count_in + at not in taken
    )
    body = sorted((*ticks, *within), key=lambda mark: mark.offset)
    return (*counts, Mark(count_in, "start"), *body, Mark(count_in + light, "end"))
