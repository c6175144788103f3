"""A base with its burns and dodges: the seconds for each, in the printer's order.

They are kept in stops, so that they follow the base; dry-down is taken off once, from the base, and the burns and
dodges are worked out from what is left. When each is called belongs to the session.

    >>> [part.ms for part in plan(25_400, [BurnOrDodge("dodge", "door", 1 / 3), BurnOrDodge("burn", "sky", 1 / 2)]).parts]
    [5240, 10521]
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from assistant.trade import exposure, limits, stops
from assistant.trade.quantities import format_span

LAW = "burn = base * (2^n - 1), dodge = base * (1 - 2^-n), dry-down once and last"
QUICK = 1500
"""A burn or a dodge shorter than this (ms) can't be given evenly by hand: common practice, no source."""

SETTLE = 1000
"""Light is on this long before the first dodge and between two (ms): time to bring the tool in. Common practice, no source."""


@dataclass(frozen=True)
class BurnOrDodge:
    """A part of the sheet that gets more light than the base (burn) or less (dodge), in stops."""

    kind: Literal["burn", "dodge"]
    area: str
    stops: float


@dataclass(frozen=True)
class Timed:
    """A part with its time in ms; a dodge lies inside the base, a burn comes after it. `off`: rounding in stops."""

    part: BurnOrDodge
    ms: int
    off: float


@dataclass(frozen=True)
class PartsPlan:
    """A whole exposure, times in ms: the base before and after dry-down (per cent), and the parts in order.

    `off`: by how many stops the clock's rounding changed the base.
    """

    uncorrected: int
    base: int
    off: float
    dry_down: float
    parts: tuple[Timed, ...]
    warnings: tuple[str, ...]

    @property
    def light(self) -> int:
        """How long the lamp is on in all, ms: the base and every burn."""
        return self.base + sum(timed.ms for timed in self.parts if timed.part.kind == "burn")


def plan(uncorrected: int, parts: Sequence[BurnOrDodge], dry_down: float = 0.0, tick: int = 1) -> PartsPlan:
    """The seconds of every part for a base in ms; `tick` is the clock's step (ms)."""
    base = stops.on_clock(exposure.dry_down(uncorrected, dry_down), tick)
    timed = tuple(_timed(part, base.ms, tick) for part in parts)
    return PartsPlan(uncorrected, base.ms, base.off, dry_down, timed, _warnings(base.ms, timed))


def shades(base: int, held: Sequence[int]) -> tuple[tuple[int, int], ...]:
    """When each dodge begins and ends, ms after the light came on, one after the other inside the base.

    Impossible where one pair of hands can't give them within the base.
    """
    found, at = [], SETTLE
    for ms in held:
        found.append((at, at + ms))
        at += ms + SETTLE
    if found and found[-1][1] > base:
        what = f"the dodges take until {format_span(found[-1][1])} of a base of {format_span(base)}"
        raise limits.Impossible(what, "dodge less, or take a longer base and a smaller aperture")
    return tuple(found)


def _timed(part: BurnOrDodge, base: int, tick: int) -> Timed:
    exact = exposure.burn(base, part.stops) if part.kind == "burn" else exposure.dodge(base, part.stops)
    ms = stops.on_clock(exact, tick).ms
    if part.kind == "dodge" and ms >= base:
        raise limits.Impossible(f"the dodge {part.area} takes the whole base", "dodge less, or take a finer clock")
    given = stops.between(base, base + ms) if part.kind == "burn" else stops.between(base - ms, base)
    return Timed(part, ms, given - part.stops)


def _warnings(base: int, timed: Sequence[Timed]) -> tuple[str, ...]:
    found = []
    for quick in (one for one in timed if one.ms < QUICK):
        found.append(
            f"{quick.part.kind} {quick.part.area}: {format_span(quick.ms)} is too short to give evenly by hand: "
            "dim the lamp or stop the lens down for a longer base."
        )
    held = math.fsum(one.ms for one in timed if one.part.kind == "dodge")
    if held > base:
        found.append(
            f"The dodges take {format_span(round(held))} of a base of {format_span(base)}: "
            "one pair of hands can't give them one after the other."
        )
    return tuple(found)
