"""How long after each action each other begins at least: all longest ways at once, kept up while constraints are added."""

from collections.abc import Sequence
from typing import TypeAlias

from assistant.planning.constraints import Constraint

Way: TypeAlias = list[list[int]]
"""`way[i][j]`: so long after i begins j at least (ms; count x count); far below 0 where nothing is said."""
FAR = 1 << 60
"""Longer than any session, later than any moment of it (ms); and no sum of a few of them is near a bound of whole numbers."""


def longest_ways(count: int, constraints: Sequence[Constraint], period: int = 0) -> Way:
    """How long after each action each other begins at least, where no circle is open."""
    way = [[0 if i == j else -FAR for j in range(count)] for i in range(count)]
    for c in constraints:
        way[c.first][c.then] = max(way[c.first][c.then], c.least + c.rounds * period)
    for via in range(count):
        onward = way[via]
        for i in range(count):
            if way[i][via] > -FAR // 2:
                base = way[i][via]
                way[i] = [longer if (longer := base + new) > old else old for old, new in zip(way[i], onward, strict=True)]
    return way


def with_way(way: Way, first: int, then: int, least: int) -> Way:
    """The longest ways with one constraint more."""
    onward = way[then]
    return [
        row
        if (via := row[first] + least) <= row[then]
        else [longer if (longer := via + new) > old else old for old, new in zip(row, onward, strict=True)]
        for row in way
    ]


def with_all(way: Way, constraints: Sequence[tuple[int, int, int]]) -> Way | None:
    """The longest ways with these constraints more (first, then, least); None where a circle does not close."""
    for first, then, least in constraints:
        if least + way[then][first] > 0:
            return None
        if way[first][then] < least:
            way = with_way(way, first, then, least)
    return way
