"""The numbers engraved on a lens, and the exact ones behind them.

Markings are rounded: f/11 stands for 11.314 and f/5.6 for 5.657, each 2 to the power of half its place in the series
(ISO 517). Calculating with the marking itself makes a stop from f/8 to f/11 come out five per cent short.

    >>> round(exact(11), 3)
    11.314
    >>> between(5.6, 16)
    3.0
"""

import math

from assistant.trade import limits
from assistant.trade.quantities import SMALLEST, WIDEST

NEAR = 0.1
"""A marking this close (stops) to a place in the series means that place; f/11 and f/22 are the furthest, 0.081."""

_PLACES_IN_A_STOP = (0, 1 / 3, 1 / 2, 2 / 3, 1)
"""Lenses are marked in full, half or third stops (from memory)."""


def place(marked: float) -> float:
    """Where a marking stands in the series, in stops from f/1.

    The nearest full, half or third of a stop; a marking further than a tenth of a stop from each is taken as it is.
    """
    as_written = 2 * math.log2(limits.between(marked, WIDEST, SMALLEST, "an f-number"))
    whole = math.floor(as_written)
    nearest = min((whole + part for part in _PLACES_IN_A_STOP), key=lambda at: abs(at - as_written))
    return nearest if abs(nearest - as_written) <= NEAR else as_written


def exact(marked: float) -> float:
    """The exact f-number behind a marking: 2^(k/2), k its place in the series."""
    return float(2 ** (place(marked) / 2))


def between(first: float, second: float) -> float:
    """How many stops more time the second aperture needs; below zero where it is the wider one."""
    return float(place(second) - place(first))
