"""Developing time against temperature: by a coefficient for ten degrees, or between two times that are known.

Both are one law, a straight line on logarithmic paper. A coefficient belongs to one developer; between 18 and 24 C it
may be trusted with care, outside it is a guess. Times are whole ms in and out, temperatures degrees Celsius.

    >>> time_at(120_000, 20, 18, 2.0747)
    138858
    >>> time_between(((20, 120_000), (24, 90_000)), 22)
    103923
"""

import math
from typing import TypeAlias

from assistant.trade import limits

COEFFICIENT_LAW = "t = t_ref * Q^((T_ref - T) / 10)"
POINTS_LAW = "log t lies on the straight line through both known points"

COOLEST, WARMEST = 18.0, 24.0
"""Between these (degrees Celsius) the law may be used without a warning: common practice, no source."""

COLDEST, HOTTEST = 5.0, 40.0
"""No developer is outside of these (degrees Celsius): common practice, no source."""
RATED = 20.0
"""What a developing time is taken to be for where no temperature is written (degrees Celsius): common practice, no source."""

STANDSTILL = 13.0
"""Below this hydroquinone nearly stops (degrees Celsius): common practice, no source."""

Point: TypeAlias = tuple[float, int]
"""A known development: degrees Celsius and ms."""


def time_at(ms: int, rated: float, celsius: float, coefficient: float) -> int:
    """The time (ms) at `celsius` for one of `ms` at `rated`; the coefficient for ten degrees lies from 1 to 10."""
    limits.between(coefficient, 1, 10, "a coefficient for ten degrees")
    warmer = _bath(celsius) - _bath(rated)
    return limits.whole_ms(limits.span(ms, "the time") * coefficient ** (-warmer / 10), "the time")


def time_between(points: tuple[Point, Point], celsius: float) -> int:
    """The time (ms) at `celsius` on the line through two known points, in either order."""
    (rated, ms), _ = points
    return time_at(ms, rated, celsius, coefficient(*points))


def coefficient(first: Point, second: Point) -> float:
    """The coefficient for ten degrees that two known points show."""
    (cool, long), (warm, short) = sorted((first, second))
    if _bath(warm) - _bath(cool) < 0.5:
        raise limits.Impossible("the two temperatures are too close", "give two that are at least 0.5 C apart")
    shortened = limits.span(long, "a known time") / limits.span(short, "a known time")
    if shortened < 1:
        raise limits.Impossible("the warmer bath has the longer time", "change the two times over")
    steepness = 10 * math.log10(shortened) / (warm - cool)
    if steepness > 1:
        raise limits.Impossible("these two points would be more than ten times the time in ten degrees", "measure both again")
    return float(10**steepness)


def warnings(celsius: float, points: tuple[Point, Point] | None = None) -> tuple[str, ...]:
    """What to mind with a time worked out for `celsius`, by a coefficient or between two points."""
    found = []
    if celsius < STANDSTILL:
        found.append(f"Below about {STANDSTILL:g} C hydroquinone nearly stops: warm the bath.")
    elif not COOLEST <= celsius <= WARMEST:
        found.append(f"Outside {COOLEST:g} to {WARMEST:g} C this is a guess: warm or cool the bath, or make a test.")
    if points and not min(points)[0] <= celsius <= max(points)[0]:
        found.append(f"{celsius:g} C lies outside both known points: the line was only measured between them.")
    return tuple(found)


def _bath(celsius: float) -> float:
    return limits.between(celsius, COLDEST, HOTTEST, "a developer's temperature", "C")
