"""Development by the first tone: the time until it shows, times a factor that belongs to developer and paper.

It corrects for a warm, cool or tiring bath by itself, and its drift over an edition says when the bath is going.

    >>> development(9_000, 15)
    135000
    >>> drift(10_000, 13_000).tired
    True
"""

from dataclasses import dataclass

from assistant.trade import limits

LAW = "D = F * t_e, t_e from first touch of the developer to the first tone"

TIRED = 25.0
"""First tone this much (per cent) later than on the first print: the developer is going. Common practice, no source."""

GOING = "The developer is going: warm it if it has cooled, else renew it."


@dataclass(frozen=True)
class Drift:
    """How much later (per cent, below zero for earlier) a first tone came than on the first print."""

    percent: float

    @property
    def tired(self) -> bool:
        """The developer is going."""
        return self.percent > TIRED


def factor(development: int, emergence: int) -> float:
    """The printer's own factor, from a development that was right and its first tone, both in ms."""
    limits.span(emergence, "the first tone")
    if limits.span(development, "the development") <= emergence:
        raise limits.Impossible("the development is not longer than its first tone", "change the two times over")
    return development / emergence


def development(emergence: int, factor: float) -> int:
    """How long to develop (ms), first touch to first touch, when the first tone came after `emergence` ms."""
    if not 1 < factor <= 1000:
        raise limits.Impossible(f"a factor can't be {factor:g}", "give more than 1, at most 1000")
    return limits.whole_ms(limits.span(emergence, "the first tone") * factor, "the development")


def drift(first: int, now: int) -> Drift:
    """How far the first tone has moved from the first print's (ms) to this one's."""
    return Drift(100 * (limits.span(now, "the first tone") / limits.span(first, "the first print's first tone") - 1))
