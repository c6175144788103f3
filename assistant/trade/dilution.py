"""Mixing by parts: how much concentrate and how much water, and how strong the result is.

1+a means one part concentrate and a parts water, never one in a. Volumes are in ml, strengths in per cent.

    >>> poured(2_000, Mix(1, 9))
    Pour(concentrate=200.0, water=1800.0)
    >>> round(strength(28, 1.5, 32), 3)
    1.254
"""

from typing import NamedTuple

from assistant.trade import limits
from assistant.trade.quantities import Mix

SMALL = 5.0
"""Less concentrate than this (ml) can't be measured in a graduate: common practice, no source."""

PARTS_LAW = "concentrate = V / (1 + a), where 1+a is one part concentrate and a parts water"
STRENGTH_LAW = "C1 * V1 = C2 * V2, the volumes adding up"


class Pour(NamedTuple):
    """What goes into the graduate, ml: the concentrate, and water for the rest."""

    concentrate: float
    water: float

    @property
    def volume(self) -> float:
        """Both together, ml."""
        return self.concentrate + self.water

    @property
    def warnings(self) -> tuple[str, ...]:
        """What to mind when it is measured."""
        if self.concentrate >= SMALL:
            return ()
        return (f"Under {SMALL:g} ml of concentrate needs a syringe, or mix a larger volume.",)


def poured(volume: float, mix: Mix) -> Pour:
    """What makes `volume` ml of working bath."""
    parts = limits.above_zero(mix.concentrate, "a part", "parts") + limits.above_zero(mix.water, "a part", "parts")
    concentrate = limits.above_zero(volume, "a volume", "ml") * mix.concentrate / parts
    return Pour(concentrate, volume - concentrate)


def stretched(concentrate: float, mix: Mix) -> Pour:
    """What the last `concentrate` ml of a bottle still makes."""
    limits.above_zero(mix.concentrate, "a part", "parts")
    limits.above_zero(concentrate, "a volume", "ml")
    return Pour(concentrate, concentrate * limits.above_zero(mix.water, "a part", "parts") / mix.concentrate)


def strength(percent: float, stock: float, water: float) -> float:
    """How strong, in per cent, `stock` of a strength becomes in so much water; both volumes in one unit."""
    _percent(percent)
    whole = limits.above_zero(stock, "a volume") + limits.between(water, 0, 1e9, "the water")
    return percent * stock / whole


def weakened(percent: float, wanted: float, volume: float) -> Pour:
    """What makes `volume` ml of the wanted strength from a stronger stock, both in per cent."""
    if _percent(wanted) > _percent(percent):
        raise limits.Impossible(f"{wanted:g} % can't be mixed from a stock of {percent:g} %", "give a stock that is stronger")
    stock = limits.above_zero(volume, "a volume", "ml") * wanted / percent
    return Pour(stock, max(0.0, volume - stock))


def _percent(value: float) -> float:
    return limits.between(limits.above_zero(value, "a strength", "%"), 0, 100, "a strength", "%")
