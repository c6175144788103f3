"""What is heard while there is light on the paper: count-in, ticks, the card to move, dodges, the end.

An exposure is one or more *lamp runs*, each begun by a tap: the base (or a strip) first, then every burn and every other
light. Before a run the voice names what has to be set for it; nothing is named that stays as it is. How the enlarger was
left before the first sheet nobody knows: then all is named.
"""

from dataclasses import dataclass
from typing import NamedTuple

from assistant.recipe.model import Expose, Part
from assistant.score import words
from assistant.score.spoken import spoken
from assistant.trade import aperture, exposure, parts, stops
from assistant.trade.limits import whole_ms

SECOND = 1000  # ms
MINUTES = 120_000
"""Nobody counts the seconds of a strip longer than this (ms): common practice, no source."""


class Mark(NamedTuple):
    """A cue that has no moment yet: ms after a beginning, kind and words."""

    offset: int
    kind: str
    words: str = ""


class Enlarger(NamedTuple):
    """What is set for a light: filter and aperture, None where the recipe names none."""

    filter: str | None
    aperture: float | None


@dataclass(frozen=True)
class LampRun:
    """One time that the lamp is on: its name, what is set and what else is to be done for it, light and count-in in ms.

    `called` is how it is announced, and `by_name` whether only where nothing has to be set; `then` is said after what has
    to be. `totals` are those of a test strip, lightest first.
    """

    name: str
    enlarger: Enlarger
    called: str
    by_name: bool
    then: str
    count_in: int
    light: int
    marks: tuple[Mark, ...]
    totals: tuple[int, ...] = ()

    def task(self, left: Enlarger | None) -> str:
        """What the printer is to do before it, the enlarger as it was `left`; None: nobody knows how."""
        changes = _changes(left or Enlarger(None, None), self.enlarger)
        return _sentences("" if self.by_name and changes else self.called, changes, self.then)

    @property
    def lasts(self) -> int:
        """From the tap to the end of the light, ms."""
        return self.count_in + self.light


def lamp_runs(step: Expose) -> tuple[LampRun, ...]:
    """The lamp runs of an exposure, in order: dry-down is taken off once, burns and dodges follow the base.

    Misread where its times can't be given, as for dodges that find no room in the base.
    """
    if step.strip is not None:
        return (_strip_run(step),)
    assert step.time is not None
    base = exposure.dry_down(step.time, step.dry_down)
    dodges = [part for part in step.parts if part.dodge]
    shades = parts.shades(base, [exposure.dodge(base, part.stops or 0) for part in dodges])
    within = tuple(mark for part, shade in zip(dodges, shades, strict=True) for mark in _shade(step.count_in, part, shade))
    later = [part for part in step.parts if not part.dodge]
    announced = _sentences(*(_announced(part, end - begin) for part, (begin, end) in zip(dodges, shades, strict=True)))
    marks = _marks(step.count_in, base, within)
    first = LampRun(step.name, _enlarger(step), "", False, announced, step.count_in, base, marks)
    return (first, *(_run_of(step, base, part) for part in later))


def light_of(step: Expose, base: int, part: Part) -> int:
    """How long (ms) the light of a burn or of a second light is on; `base` is the base after dry-down."""
    if part.light:
        assert part.time is not None
        return exposure.dry_down(part.time, step.dry_down)
    burn = exposure.burn(base, part.stops or 0)
    if part.aperture is None or step.aperture is None:
        return burn
    return whole_ms(burn * stops.factor(aperture.between(step.aperture, part.aperture)), "the burn")


def _run_of(step: Expose, base: int, part: Part) -> LampRun:
    light = light_of(step, base, part)
    name = part.light or f"burn {part.burn}"
    called = f"burn the {part.burn}" if part.burn else name
    then, marks = _sentences(part.say, f"for {words.span(light)}"), _marks(step.count_in, light, ())
    return LampRun(name, _enlarger(step, part), called, not part.burn, then, step.count_in, light, marks)


def _sentences(*said: str | None) -> str:
    return ". ".join(filter(None, said))


def _enlarger(step: Expose, part: Part | None = None) -> Enlarger:
    """What is set for a part; as for the base where it has nothing of its own."""
    own_filter, own_aperture = (part.filter, part.aperture) if part else (None, None)
    return Enlarger(own_filter or step.filter, own_aperture or step.aperture)


def _changes(before: Enlarger, now: Enlarger) -> str:
    """What has to be set anew."""
    (old_filter, old_aperture), (new_filter, new_aperture) = before, now
    filter_ = words.filter_in(new_filter) if new_filter and new_filter != old_filter else None
    stop = words.aperture(new_aperture) if new_aperture and new_aperture != old_aperture else None
    return spoken(_sentences(filter_, stop))


def _announced(part: Part, held: int) -> str:
    return _sentences(f"dodge the {part.dodge}", part.say, f"for {words.span(held)}")


def _shade(count_in: int, part: Part, shade: tuple[int, int]) -> tuple[Mark, Mark]:
    begin, end = shade
    return Mark(count_in + begin, "shade", f"dodge the {part.dodge}"), Mark(count_in + end, "shade", "away")


def _strip_run(step: Expose) -> LampRun:
    """A strip; where it takes minutes only every tenth second ticks."""
    strip = step.strip
    assert strip is not None
    plan = strip.plan()
    moves = tuple(Mark(step.count_in + at, "move", "") for at in plan.moves)
    then = f"{words.number(strip.strips)} strips. {strip.way} at every tone"
    marks = _marks(step.count_in, plan.total, moves)
    if plan.total > MINUTES:
        marks = tuple(mark for mark in marks if mark.kind != "tick")
    return LampRun(step.name, _enlarger(step), "", False, then, step.count_in, plan.total, marks, plan.totals)


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
