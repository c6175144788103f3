"""Filling a tray: how much it takes, and hot and cold water for the right temperature.

>>> hot_and_cold(1_000, 20, cold=10, hot=50)
HotAndCold(hot=250.0, cold=750.0)
>>> tray(Size(25, 30, "cm"), depth=20)
1500
"""

import math
from typing import NamedTuple

from assistant.trade import limits
from assistant.trade.quantities import Size

WATER_LAW = "hot / all = (T - T cold) / (T hot - T cold)"
TRAY_LAW = "V = length * width * depth"

SCALDS = 50.0
"""Water from here on (degrees Celsius) scalds skin quickly: common practice, no source."""


class HotAndCold(NamedTuple):
    """The water to pour together, ml."""

    hot: float
    cold: float


def hot_and_cold(volume: float, wanted: float, *, cold: float, hot: float) -> HotAndCold:
    """What makes `volume` ml of water at the wanted temperature; degrees Celsius, tray and graduate left out."""
    limits.above_zero(volume, "a volume", "ml")
    for celsius in (wanted, cold, hot):
        limits.between(celsius, 0, 100, "water's temperature", "C")
    if cold >= hot:
        raise limits.Impossible(f"the cold water ({cold:g} C) is not colder than the hot ({hot:g} C)", "change them over")
    if not cold <= wanted <= hot:
        raise limits.Impossible(
            f"{wanted:g} C does not lie between {cold:g} C and {hot:g} C",
            "add ice to the cold water, or take hotter water",
        )
    warm = volume * (wanted - cold) / (hot - cold)
    return HotAndCold(warm, max(0.0, volume - warm))


def water_warnings(hot: float) -> tuple[str, ...]:
    """What to mind with water at `hot` degrees Celsius."""
    stir = "Tray and graduate take heat: stir, read the thermometer, then correct."
    return (stir, f"Water from {SCALDS:g} C on scalds: pour it into the cold, slowly.") if hot >= SCALDS else (stir,)


def tray(size: Size, depth: float, border: float = 0.0) -> int:
    """What a tray takes, whole ml: the sheet's size, a border all round, the depth of the bath; both in mm."""
    limits.between(limits.above_zero(depth, "the bath's depth", "mm"), 0, 500, "the bath's depth", "mm")
    limits.between(border, 0, 1000, "the border", "mm")
    length, width = (edge + 2 * border for edge in size.edges_mm)
    return max(1, math.floor(length * width * depth / 1000 + 0.5))
