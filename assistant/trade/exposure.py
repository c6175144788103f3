"""The laws by which an exposure time follows what was changed: lens, lamp, paper, filter; and burns, dodges, dry-down.

Each law gives a `StopsChange`: so many stops, with its formula and what to mind. `changed` adds the stops up and rounds
once. Light that is given bit by bit (strips) has a room of its own, and so has a base with its burns and dodges.

    >>> changed(10_000, [by_aperture(8, 11)]).after
    20000
    >>> dry_down(20_000, 8)
    18400
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from assistant.trade import aperture, limits, stops
from assistant.trade.quantities import format_aperture
from assistant.trade.wording import in_stops

NEW_STRIP = "Changed the height? Make a new strip."
DRY_DOWN_LAW = "t' = t * (1 - p / 100), once and last"
JUDGE_DRY = "Dry-down differs from paper to paper: judge the next print dry, beside this one."
MOST_DRY_DOWN = 50.0
"""Per cent: what takes half of the light is no dry-down but a slip of the pen. Common practice, no source."""


@dataclass(frozen=True)
class StopsChange:
    """One thing changed: in words, how many stops more time it needs, the law, and what to mind."""

    what: str
    stops: float
    law: str
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Changed:
    """A time before and after (ms): all changes and dry-down together in stops, and what the clock rounded.

    `uncorrected` is the time before dry-down (per cent); `off` is the rounding in stops, above zero where more is given.
    """

    before: int
    after: int
    stops: float
    uncorrected: int
    dry_down: float
    off: float
    changes: tuple[StopsChange, ...]

    @property
    def dry_down_stops(self) -> float:
        """What dry-down takes off, in stops: zero or below."""
        return math.log2(_kept(self.dry_down))

    @property
    def warnings(self) -> tuple[str, ...]:
        """What to mind, each thing once."""
        return tuple(dict.fromkeys(warning for change in self.changes for warning in change.warnings))


def changed(before: int, changes: Sequence[StopsChange], dry_down: float = 0.0, tick: int = 1) -> Changed:
    """A time (ms) after all changes; dry-down (per cent) comes once and last; `tick` is the clock's step (ms)."""
    light = math.fsum(change.stops for change in changes)
    exact = limits.span(before, "the time") * stops.factor(light)
    uncorrected = stops.on_clock(exact, tick).ms
    given = stops.on_clock(exact * _kept(dry_down), tick)
    return Changed(before, given.ms, light + math.log2(_kept(dry_down)), uncorrected, dry_down, given.off, tuple(changes))


def by_stops(more: float) -> StopsChange:
    """More light by so many stops; below zero is less."""
    limits.between(more, -stops.MOST, stops.MOST, "a change of light", "stops")
    words = f"{in_stops(abs(more))} {'less' if more < 0 else 'more'}"
    return StopsChange(words, more, "t2 = t1 * 2^n")


def by_density(density: float) -> StopsChange:
    """So much density more before the lamp, in the negative or as a grey filter."""
    law = "t2 = t1 * 2^n, with n = D / log10 2"
    return StopsChange(f"density {density:g} more", stops.of_density(density), law)


def by_aperture(marked: float, new: float) -> StopsChange:
    """Another aperture, both as they are engraved on the lens."""
    first, second = aperture.exact(marked), aperture.exact(new)
    law = (
        "t2 = t1 * (N2/N1)^2, with the exact numbers of the series behind the markings: "
        f"{first:.3f} for {format_aperture(marked)}, {second:.3f} for {format_aperture(new)}"
    )
    warnings = ("Very close to the paper a lens gives less light than its marking says: make a new strip there.",)
    what = f"{format_aperture(marked)} to {format_aperture(new)}"
    return StopsChange(what, aperture.between(marked, new), law, warnings)


def by_distance(before: float, after: float) -> StopsChange:
    """A bare lamp moved, distances to the paper in mm: the inverse-square law."""
    ratio = limits.above_zero(after, "the new distance", "mm") / limits.above_zero(before, "the old distance", "mm")
    warnings = (NEW_STRIP, "The law is exact for a point of light; a lamp with a bowl or a lens keeps to it only nearly.")
    law = "t2 = t1 * (d2/d1)^2, the inverse-square law"
    return StopsChange(f"lamp from {before / 10:g} cm to {after / 10:g} cm", 2 * stops.of_ratio(ratio), law, warnings)


def by_magnification(before: float, after: float) -> StopsChange:
    """Another enlargement, print edge over negative edge: thin-lens optics."""
    old, new = (limits.between(m, 0.05, 100, "a magnification") for m in (before, after))
    warnings = (NEW_STRIP, "The law is that of a thin lens, with the aperture as it was.")
    law = "t2 = t1 * ((m2+1)/(m1+1))^2, thin-lens optics"
    return StopsChange(f"enlargement from {before:g} to {after:g}", 2 * stops.of_ratio((new + 1) / (old + 1)), law, warnings)


def by_paper(before: float, after: float) -> StopsChange:
    """Another paper, by ISO paper speed (P numbers): twice the speed is half the time."""
    ratio = limits.above_zero(before, "a paper speed") / limits.above_zero(after, "a paper speed")
    warnings = ("Paper speed holds for one tone of a fresh batch: make a new strip on the new paper.",)
    return StopsChange(f"P{before:g} to P{after:g}", stops.of_ratio(ratio), "t2 = t1 * P1/P2 (ISO paper speed)", warnings)


def by_filter(before: float, after: float) -> StopsChange:
    """Another filter, by the factors of both; a starting point only."""
    ratio = limits.above_zero(after, "a filter factor") / limits.above_zero(before, "a filter factor")
    warnings = ("Filter factors depend on lamp and paper: test again.",)
    return StopsChange(f"filter factor {before:g} to {after:g}", stops.of_ratio(ratio), "t2 = t1 * F2/F1", warnings)


def dry_down(ms: int, percent: float) -> int:
    """A time (ms) less the per cent by which prints darken as they dry; once, last, base and burns alike."""
    return limits.whole_ms(limits.span(ms, "the time") * _kept(percent), "the time after dry-down")


def burn(base: int, more: float) -> int:
    """The further time (ms) that burns a part in by so many stops over its base: b(2^n - 1)."""
    return limits.whole_ms(limits.span(base, "the base") * (stops.factor(_part(more)) - 1), "the burn")


def dodge(base: int, less: float) -> int:
    """How long (ms) of its base a part is held back to lose so many stops: b(1 - 2^-n)."""
    return limits.whole_ms(limits.span(base, "the base") * (1 - stops.factor(-_part(less))), "the dodge")


def _part(amount: float) -> float:
    return limits.above_zero(amount, "a burn or a dodge", "stops")


def _kept(percent: float) -> float:
    if not 0 <= percent < MOST_DRY_DOWN:
        raise limits.Impossible(f"a dry-down can't be {percent:g} %", "give 0 % to less than 50 %")
    return 1 - percent / 100
