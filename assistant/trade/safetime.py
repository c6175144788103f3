"""How long paper may lie in a safelight, from a fog test: half-way between clean and fogged, and half of that again.

Following ANSI IT2.26-1998 and ISO 8374.

    >>> safe_time(240_000, 480_000)
    169705
"""

import math

from assistant.trade import limits

LAW = "safe time = half the geometric mean of the longest clean and the shortest fogged time (ANSI IT2.26, ISO 8374)"
AT_LEAST_LAW = "safe time = at least half the longest clean time: no strip was fogged"

WARNINGS = (
    "Give strips of 0, 1, 2, 4 and 8 minutes where the paper is handled in the brightest light.",
    "Flash half the sheet to a light grey, once before and once after those strips: flashed paper fogs sooner.",
    "It holds for this paper, this lamp and this screen: test again when one of them changes.",
    "All handling adds up: from the box to the stop bath.",
)


def safe_time(clean: int, fogged: int | None) -> int:
    """The longest safe time (ms, rounded down) for all handling; `fogged` None, no strip was: half the longest clean."""
    limits.span(clean, "the longest clean time")
    if fogged is None:
        return limits.whole_ms(clean // 2, "the safe time")
    if limits.span(fogged, "the shortest fogged time") <= clean:
        raise limits.Impossible(
            "a strip that was fogged had no more light than one that stayed clean",
            "give the longest clean time first; if they really lie so, repeat the test",
        )
    return limits.whole_ms(math.floor(math.sqrt(clean * fogged) / 2), "the safe time")
