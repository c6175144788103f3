"""What has no answer: the one error of this room, and the checks through which every number comes in and goes out.

Nothing here knows a law. A check takes a number and the words a printer would use for it, and gives the number back
or raises `Impossible`; so no law has to think about nan, a negative second or a time longer than a day.
"""

import math

from assistant.trade.quantities import LONGEST, Misread, format_span


class Impossible(Misread):
    """A sum that no darkroom has an answer to: `what` is wrong, and what to do about it (`fix`)."""


def whole_ms(ms: float, what: str) -> int:
    """A span on its way out, rounded half up to whole ms; Impossible under 1 ms or over a day."""
    if not ms <= LONGEST:
        raise Impossible(f"{what} comes to more than a day", "start from a shorter time, or change less")
    if ms < 0.5:
        raise Impossible(f"{what} comes to no time at all", "start from a longer time, or change less")
    return math.floor(ms + 0.5)


def span(ms: int, what: str) -> int:
    """A span on its way in: whole ms, from 1 ms to a day; Impossible outside."""
    if not 0 < ms <= LONGEST:
        raise Impossible(f"{what} is {format_span(ms) if ms >= 0 else 'below zero'}", "give a time from 0.001 s to 24 h")
    return ms


def between(value: float, least: float, most: float, what: str, unit: str = "") -> float:
    """A number that lies from `least` to `most`, both included; Impossible outside, and nan lies nowhere."""
    if not least <= value <= most:
        unit = f" {unit}" if unit else ""
        raise Impossible(f"{what} can't be {value:g}{unit}", f"give {least:g} to {most:g}{unit}")
    return value


def above_zero(value: float, what: str, unit: str = "") -> float:
    """A number above zero that a darkroom can hold, from a thousand-millionth to a thousand million; Impossible outside."""
    if not 1e-9 <= value <= 1e9:
        unit = f" {unit}" if unit else ""
        raise Impossible(f"{what} can't be {value:g}{unit}", "give a number above 0, at most a thousand million")
    return value
