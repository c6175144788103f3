"""What a bath takes before it is spent, counted in sheets of 8x10 in by area; test strips and spoiled sheets count too.

A maker's figure for the product always goes before the defaults here.

    >>> round(sheets(Size(11, 14, "in"), 2_000, 20), 2)
    20.78
"""

import math
from dataclasses import dataclass

from assistant.trade import limits
from assistant.trade.quantities import Size

LAW = "sheets of 8x10 in = litres * sheets per litre; a sheet counts by its area / 80 square inches"
EVERYTHING_COUNTS = "Test strips, proofs and spoiled sheets count too."

USUAL: dict[str, tuple[float, float]] = {
    "developer": (15, 25),
    "stop": (15, 20),
    "acid fixer": (20, 20),
    "alkaline fixer": (25, 25),
    "washing aid": (20, 25),
}
"""Bath -> sheets of 8x10 in that a litre of working bath takes, from and to. Fixers: Anchell, *The Darkroom Cookbook*, 3rd ed.
p. 108; the rest common practice, no source."""

KEEPS: dict[str, str] = {
    "developer": "In an open tray a developer keeps for one session.",
    "stop": "A stop bath keeps for a day.",
    "acid fixer": "A working fixer keeps for two months at most.",
    "alkaline fixer": "A working fixer keeps for two months at most.",
    "washing aid": "A washing aid keeps for a day.",
}
"""Bath -> how long it keeps. The fixer: Anchell, *The Darkroom Cookbook*; the rest common practice, no source."""

SILVER_PER_SHEET = 0.03785
"""Grams of silver that one sheet of 8x10 in leaves in the fixer: worked out from the two limits below, which agree in it."""
KEPT_SILVER, MOST_SILVER = 0.05, 0.3
"""Grams of silver in a litre, for prints that are to be kept and at most: after 5 and after 30 sheets of 8x10 in to a US gallon:
Haist, *Modern Photographic Processing*, 1979, second hand; which limit is for which print is from memory."""


@dataclass(frozen=True)
class Use:
    """What a bath takes, what an edition takes of it and what is left, in sheets of 8x10 in; `more` in whole sheets.

    `spent_at` is the first sheet of the edition that the bath no longer covers, counted from one; None: all are.
    """

    takes: float
    used_before: float
    used: float
    left: float
    more: int
    spent_at: int | None


def sheets(size: Size, volume: float, per_litre: float) -> float:
    """How many sheets of a size `volume` ml of bath takes."""
    return _takes(volume, per_litre) / size.equivalents


def edition(size: Size, count: int, volume: float, per_litre: float, used_before: float = 0.0) -> Use:
    """What `count` sheets of a size take of `volume` ml, when `used_before` sheets of 8x10 in went through already."""
    if not 0 <= count <= 10_000:
        raise limits.Impossible(f"{count} sheets", "give 0 to 10000")
    limits.between(used_before, 0, 1e6, "what went through before")
    takes, used = _takes(volume, per_litre), count * size.equivalents
    left = takes - used_before - used
    covered = whole((takes - used_before) / size.equivalents)
    spent_at = covered + 1 if covered < count else None
    return Use(takes, used_before, used, max(0.0, left), max(0, covered - count), spent_at)


def silver(equivalents: float, volume: float) -> float:
    """Silver in a fixer, grams per litre, after so many sheets of 8x10 in through `volume` ml."""
    return SILVER_PER_SHEET * limits.between(equivalents, 0, 1e6, "sheets") / _litres(volume)


def silver_first(volume: float, takes: float) -> bool:
    """Whether a fixer meets the published limit of silver for prints that are to be kept before `takes` sheets of 8x10 in."""
    return takes >= _sheets_to(KEPT_SILVER, volume)


def silver_line(equivalents: float, volume: float) -> str:
    """Silver after so many sheets of 8x10 in (`silver`), beside its published limits."""
    kept, most = (_sheets_to(limit, volume) for limit in (KEPT_SILVER, MOST_SILVER))
    return (
        f"about {silver(equivalents, volume):.2f} g of silver in a litre afterwards; "
        f"published limits: {KEPT_SILVER:g} g for prints that are to be kept ({kept:.1f} of 8x10 in), "
        f"{MOST_SILVER:g} g at most ({most:.1f})"
    )


def _sheets_to(limit: float, volume: float) -> float:
    return limit * _litres(volume) / SILVER_PER_SHEET


def _takes(volume: float, per_litre: float) -> float:
    return _litres(volume) * limits.between(
        limits.above_zero(per_litre, "what a litre takes", "sheets"), 0, 1000, "what a litre takes", "sheets"
    )


def _litres(volume: float) -> float:
    return limits.between(limits.above_zero(volume, "a volume", "ml"), 0, 1_000_000, "a volume", "ml") / 1000


def whole(sheets: float) -> int:
    """Whole sheets, where a hair under a whole one is that one."""
    return max(0, math.floor(sheets + 1e-9))
