"""Test strips: which totals the strips get, how they are given one after the other, and when the card moves.

One strip is one `StripPlan`, good for a face (totals in reading order, lightest first), for a clock without a voice
(increments in giving order) and for a session (move times of one unbroken exposure). Totals are rounded to the
clock's step first and all else is their differences, so whatever is given sums exactly to the total.

    >>> strip = plan(8_000, 5, stops=1 / 3)
    >>> strip.totals
    (8000, 10079, 12699, 16000, 20159)
    >>> strip.moves
    (8000, 10079, 12699, 16000)
    >>> plan(8_000, 5, stops=1 / 3, way="uncover").moves
    (4159, 7460, 10080, 12159)
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import Literal, TypeAlias

from assistant.trade import limits
from assistant.trade import stops as light
from assistant.trade.quantities import format_span

CardWay: TypeAlias = Literal["cover", "uncover"]
"""`cover`: the whole sheet lies open and the lightest strip is hidden first. `uncover`: the darkest is bared first."""

LEAST, MOST = 2, 20
"""So many strips: one tells nothing, and more than twenty find no room on a sheet. Common practice, no source."""
QUICK = 1500
"""A card can't be moved by hand in less than this (ms): common practice, no source."""
LONG = 3_600_000
"""Nobody stands at a strip for longer than an hour (ms): more is a slip in a step or a count. Common practice, no source."""

LAWS = {"seconds": "T = T1 + i * seconds", "stops": "T = T1 * 2^(i * step)"}


@dataclass(frozen=True)
class StripPlan:
    """A test strip, times in ms: `totals` from the lightest strip, `increments` as given, `moves` after light on.

    The light goes out at `total`. `off` says for every total by how many stops the clock's rounding changed it.
    """

    way: CardWay
    totals: tuple[int, ...]
    increments: tuple[int, ...]
    moves: tuple[int, ...]
    off: tuple[float, ...]
    law: str
    warnings: tuple[str, ...]

    @property
    def total(self) -> int:
        """How long the light is on, ms: what the darkest strip gets."""
        return self.totals[-1]


def plan(
    first: int,
    count: int,
    *,
    add: int | None = None,
    stops: float | None = None,
    way: CardWay = "cover",
    tick: int = 1,
) -> StripPlan:
    """A strip of `count` strips from `first` ms, each next one longer by `add` ms or by `stops`; one of both."""
    _strips(count)
    limits.span(first, "the first strip")
    if add is not None and stops is None:
        limits.span(add, "what a strip adds")
        return _given([first + i * add for i in range(count)], way, tick, "seconds")
    if stops is not None and add is None:
        return _given([first * light.factor(i * _step(stops)) for i in range(count)], way, tick, "stops")
    raise limits.Impossible("a strip grows by equal seconds or by equal stops", "give one of them, not both")


def around(centre: int, count: int, stops: float, way: CardWay = "cover", tick: int = 1) -> StripPlan:
    """A finer strip around a time (ms) that looked right: its middle strip, with an odd count, is that time."""
    _strips(count)
    limits.span(centre, "the middle strip")
    steps = [(i - (count - 1) / 2) * _step(stops) for i in range(count)]
    return _given([centre * light.factor(step) for step in steps], way, tick, "stops")


def finer_step(totals: Sequence[int], strip: int) -> float:
    """The step (stops) of a finer strip around one of these (counted from one): a third of the wider gap beside it.

    Five such strips reach nearly to the neighbours on both sides. Common practice, no source.
    """
    gaps = [math.log2(later / earlier) for earlier, later in pairwise(totals)]
    return max(gaps[max(0, strip - 2) : strip]) / 3


def _given(exact: Sequence[float], way: CardWay, tick: int, growth: str) -> StripPlan:
    clocked = [light.on_clock(total, tick) for total in exact]
    totals = tuple(clock.ms for clock in clocked)
    gains = (totals[0], *(later - earlier for earlier, later in pairwise(totals)))
    if min(gains) < 1:
        raise limits.Impossible("two strips come out alike", "take larger steps, or a clock with finer ones")
    increments = gains if way == "cover" else gains[::-1]
    return StripPlan(
        way=way,
        totals=totals,
        increments=increments,
        moves=tuple(accumulate(increments))[:-1],
        off=tuple(clock.off for clock in clocked),
        law=LAWS[growth],
        warnings=(*_quick(increments), *_long(totals[-1])),
    )


def _long(total: int) -> tuple[str, ...]:
    if total <= LONG:
        return ()
    return (f"The light is on for {format_span(total)} in all: take fewer strips, smaller steps, or a shorter first one.",)


def _quick(increments: Sequence[int]) -> tuple[str, ...]:
    quick = [format_span(ms) for ms in increments if ms < QUICK]
    if not quick:
        return ()
    return (
        f"Under {format_span(QUICK)} a card can't be moved by hand ({', '.join(quick)}): "
        "dim the lamp or stop the lens down, or begin with a longer time.",
    )


def _strips(count: int) -> None:
    if not LEAST <= count <= MOST:
        raise limits.Impossible(f"a test strip of {count}", f"make {LEAST} to {MOST} strips")


def _step(stops: float) -> float:
    return limits.between(limits.above_zero(stops, "a strip's step", "stops"), 0, 10, "a strip's step", "stops")
