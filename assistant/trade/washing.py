"""How a wash thins out what is in the water: by changes of water, or by water that runs through.

Both laws are about the *water*; what is in the paper has to come out of it first. No law here can say that a print
is washed: only a test of a blank sheet that went through the same baths can.

    >>> round(fill_and_dump(100, 2_000, 1).left, 6)
    0.047619
    >>> changes_in(30 * 60_000)
    6
"""

import math
from dataclasses import dataclass

from assistant.trade import limits

FILL_LAW = "c = c0 * (v / (V + v))^n, v held back by prints and tray, V fresh, n changes"
FLOW_LAW = "c = c0 * e^(-Q * t / V), the water well mixed"

CHANGES_LAW = "changes = time / time between them, rounded up; the first filling counts"

RENEW = 300_000
"""Renewing the water more often than this (ms) gains nothing on fibre paper: Clerc, *Photography: Theory and Practice*,
section 607."""

WARNINGS = (
    "This is the water, not the paper: test a blank sheet that went through the same baths.",
    "A fresh print put into the wash starts it again for all of them.",
)
TOO_OFTEN = (
    "Renewing the water more often than every five minutes gains nothing on fibre paper: what is left must first seep out of it."
)


@dataclass(frozen=True)
class Washed:
    """What is left in the water, as a share of what was there, and the fresh water used (ml)."""

    left: float
    water: float


def fill_and_dump(held: float, fresh: float, changes: int) -> Washed:
    """`changes` times emptied down to `held` ml and filled with `fresh` ml."""
    _changes(changes)
    return Washed(_a_change(held, fresh) ** changes, fresh * changes)


def through_flow(volume: float, per_minute: float, ms: int) -> Washed:
    """Water running at `per_minute` ml through a washer of `volume` ml for `ms`."""
    water = limits.above_zero(per_minute, "the flow", "ml") * limits.span(ms, "the wash") / 60_000
    return Washed(math.exp(-water / limits.above_zero(volume, "a volume", "ml")), water)


def changes_in(ms: int, every: int = RENEW) -> int:
    """How often fresh water goes in during a wash (ms), when it is renewed `every` ms; the first filling counts."""
    return -(-limits.span(ms, "the wash") // limits.span(every, "the time between changes"))


def warnings(every: int | None = None) -> tuple[str, ...]:
    """What to mind with any wash, and with water renewed `every` ms."""
    return (TOO_OFTEN, *WARNINGS) if every is not None and every < RENEW else WARNINGS


def _a_change(held: float, fresh: float) -> float:
    back = limits.above_zero(held, "what is held back", "ml")
    return back / (limits.above_zero(fresh, "the fresh water", "ml") + back)


def _changes(changes: int) -> None:
    if not 0 <= changes <= 1000:
        raise limits.Impossible(f"{changes} changes of water", "give 0 to 1000")
