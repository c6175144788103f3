"""Stops, the printer's measure of light: one stop more is twice the light, whatever it is made of.

Here stops meet times, densities and a clock that only knows whole steps. What changes the light is in `exposure`.

    >>> round(10 * factor(1 / 3), 3)
    12.599
    >>> round(between(12_000, 18_750), 4)
    0.6439
"""

import math
from dataclasses import dataclass

from assistant.trade import limits

MOST = 20.0
"""The largest change that is counted with, in stops: a million times the light, more than any slip of the pen."""


def factor(stops: float) -> float:
    """How many times the light: 2^n, for at most twenty stops either way."""
    return float(2.0 ** limits.between(stops, -MOST, MOST, "a change of light", "stops"))


def of_ratio(ratio: float) -> float:
    """The stops in so many times the light: log2 of the ratio."""
    return math.log2(limits.above_zero(ratio, "a ratio of light"))


def of_density(density: float) -> float:
    """The stops that a density holds back: D / log10 2; from 0 to 6."""
    return limits.between(density, 0, 6, "a density") / math.log10(2)


def between(first: int, second: int) -> float:
    """How many stops the second time (ms) gives more than the first; below zero for less."""
    return math.log2(limits.span(second, "the second time") / limits.span(first, "the first time"))


@dataclass(frozen=True)
class Clocked:
    """A time as a clock can give it (ms), and by how many stops that is more than what was asked for."""

    ms: int
    off: float


def on_clock(ms: float, tick: int = 1) -> Clocked:
    """The nearest time that a clock with steps of `tick` ms can give, at least one step; half a step goes up."""
    limits.span(tick, "the clock's smallest step")
    limits.whole_ms(ms, "the time")
    given = limits.whole_ms(max(1, math.floor(ms / tick + 0.5)) * tick, "the time")
    return Clocked(given, math.log2(given / ms))
