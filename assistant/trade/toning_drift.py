"""When to look first on the next print in a toner that tires: an estimate from the prints before it, and its width. Pure.

It only ever says where to look: a print is pulled by eye. The estimate is the median of the last three prints in that
toner, so that one print forgotten in the bath moves nothing. It was picked, and the width set, by their error on
simulated editions: `python -m tests.bench.toning`, and the table in DEVELOPERS.md.

    >>> found = hint([52_000, 55_000, 58_000])
    >>> found.expected, found.look_from, found.until
    (55000, 48400, 61600)
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

LATEST = 3
"""So many prints before the next one are looked at; a toner's drift leaves older ones behind."""
LEAST = 0.12
"""Half the width is at least this part of the estimate, and at least the spread of the last three: with both, eight in
ten simulated prints were pulled inside it."""


@dataclass(frozen=True)
class Hint:
    """When the next print is expected, ms: the estimate, from when to look, until when, and the times it rests on."""

    expected: int
    look_from: int
    until: int
    before: tuple[int, ...]


def hint(pulled: Sequence[int]) -> Hint | None:
    """What to expect of the next print, from the times (ms) of those before it in the same toner; None after fewer than two."""
    if len(pulled) < 2:
        return None
    before = tuple(pulled[-LATEST:])
    expected = median(before)
    half = max(LEAST * expected, max(before) - min(before))  # nobody looks before half of it, however wide the last three lie
    return Hint(round(expected), round(max(expected / 2, expected - half)), round(expected + half), before)


def passes(pulled: Sequence[int], bound: int) -> bool:
    """Whether the next print is expected later than a bound (ms): the toner has tired or cooled."""
    found = hint(pulled)
    return found is not None and found.expected > bound
