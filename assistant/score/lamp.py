"""What is heard while there is light on the paper: count-in, ticks, the card to move, dodges, the end.

An exposure is one or more *lamp runs*, each begun by a tap: the base (or a strip) first, then every burn and every other
light. Before a run the voice names what has to be set for it; nothing is named that stays as it is.
"""

from dataclasses import dataclass
from typing import NamedTuple

from assistant.recipe.model import Expose, Part
from assistant.score import words
from assistant.score.spoken import spoken
from assistant.trade import aperture, exposure, parts, stops, strips
from assistant.trade.limits import whole_ms

SECOND = 1000  # ms
MINUTES = 120_000
"""Nobody counts the seconds of a strip longer than this (ms): common practice, no source."""


class Mark(NamedTuple):
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
    before = _settings(step, later[-1] if later else None)
    announced = [_announced(part, end - begin) for part, (begin, end) in zip(dodges, shades, strict=True)]
    task = _sentences(_changes(before, _settings(step, None)), *announced)
    runs = [LampRun(step.name, task, step.count_in, base, _marks(step.count_in, base, within))]
    for last, part in zip([None, *later], later, strict=False):
        changes = _changes(_settings(step, last), _settings(step, part))
        runs.append(_run_of(step, base, part, changes))
    return tuple(runs)


def light_of(step: Expose, base: int, part: Part) -> int:
    """How long (ms) the light of a burn or of a second light is on; `base` is the base after dry-down."""
    if part.light:
        assert part.time is not None
        return exposure.dry_down(part.time, step.dry_down)
    burn = exposure.burn(base, part.stops or 0)
    if part.aperture is None or step.aperture is None:
        return burn
    return whole_ms(burn * stops.factor(aperture.between(step.aperture, part.aperture)), "the burn")


def _run_of(step: Expose, base: int, part: Part, changes: str) -> LampRun:
    light = light_of(step, base, part)
    name = part.light or f"burn {part.burn}"
    what = f"burn the {part.burn}" if part.burn else "" if changes else name
    task = _sentences(what, changes, part.say, f"for {words.span(light)}")
    return LampRun(name, task, step.count_in, light, _marks(step.count_in, light, ()))


def _sentences(*said: str | None) -> str:
    return ". ".join(filter(None, said))


_Settings = tuple[str | None, float | None]


def _settings(step: Expose, part: Part | None) -> _Settings:
    """Filter and aperture for a part; those of the base where it has none of its own."""
    own_filter, own_aperture = (part.filter, part.aperture) if part else (None, None)
    return own_filter or step.filter, own_aperture or step.aperture


def _changes(before: _Settings, now: _Settings) -> str:
    """What has to be set anew. The sheet before this one ended with the last part's settings."""
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
    plan = strips.plan(strip.first, strip.strips, add=strip.add, stops=strip.step, way=strip.way)
    moves = tuple(Mark(step.count_in + at, "move", "") for at in plan.moves)
    task = f"{words.number(strip.strips)} strips. {strip.way} at every tone"
    marks = _marks(step.count_in, plan.total, moves)
    if plan.total > MINUTES:
        marks = tuple(mark for mark in marks if mark.kind != "tick")
    return LampRun(step.name, task, step.count_in, plan.total, marks, plan.totals)


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
