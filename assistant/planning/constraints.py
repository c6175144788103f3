"""Differences between moments: a constraint says that one thing begins at least so long after another, and why.

Moments that keep them all are found as longest paths. Where none can, some of the constraints follow each other round
in a circle that adds up to more than nothing: that circle is the answer, in words. A *period* may take part: then a
constraint speaks of the same action some rounds later, and the least period is found that closes every circle.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from assistant.trade.quantities import format_span


class Constraint(NamedTuple):
    """Action `then` begins at least `least` ms, and `rounds` periods, after action `first`.

    `says` is the sentence for it, `mend` what in the recipe would change it; both may be empty.
    """

    first: int
    then: int
    least: int
    rounds: int = 0
    says: str = ""
    mend: str = ""

    def of_copy(self, copy: int, count: int) -> "Constraint":
        """The same of another copy (from 0) than the first, where each has so many (`count`) actions."""
        by = copy * count
        return Constraint(self.first + by, self.then + by, self.least, self.rounds, self.says, self.mend)


@dataclass(frozen=True)
class Contradiction:
    """Constraints that cannot all hold, in the order of their circle, and by how much they miss (ms).

    `rounds` is how many periods their circle spans; below 0, a longer period closes it.
    """

    constraints: tuple[Constraint, ...]
    by: int
    rounds: int = 0

    @property
    def words(self) -> str:
        """The lines that cannot all hold, by how much, and what would mend it."""
        said = [c.says for c in dict.fromkeys(self.constraints) if c.says]
        mends = [c.mend for c in dict.fromkeys(self.constraints) if c.mend]
        mend = f": {' or '.join(dict.fromkeys(mends))}" if mends else ""
        return f"{', '.join(dict.fromkeys(said))}: {format_span(self.by, 1)} too much{mend}"


def earliest(
    count: int, constraints: Sequence[Constraint], period: int = 0, floor: Sequence[int] | None = None
) -> list[int] | Contradiction:
    """The earliest moments of `count` actions (ms), none before its `floor` (default 0), or why there are none.

    Every round looks at every constraint; a longest path has fewer than `count` of them, so that after `count`
    rounds a circle is certain and the search never creeps.
    """
    starts = list(floor) if floor is not None else [0] * count
    by: list[Constraint | None] = [None] * count
    last = 0
    for _ in range(count + 1):
        moved = False
        for constraint in constraints:
            moment = starts[constraint[0]] + constraint[2] + constraint[3] * period
            if moment > starts[constraint[1]]:
                last = constraint[1]
                starts[last], by[last], moved = moment, constraint, True
        if not moved:
            return starts
    return _circle(by, last, period)


def _circle(by: Sequence[Constraint | None], start: int, period: int) -> Contradiction:
    """Back along what pushed what, until an action comes round again."""
    seen: dict[int, int] = {}
    path: list[Constraint] = []
    action = start
    while action not in seen:
        seen[action] = len(path)
        constraint = by[action]
        assert constraint is not None, "only a circle pushes for so many rounds"
        path.append(constraint)
        action = constraint.first
    circle = tuple(reversed(path[seen[action] :]))
    rounds = sum(constraint.rounds for constraint in circle)
    return Contradiction(circle, sum(constraint.least for constraint in circle) + rounds * period, rounds)


def settled(
    count: int, constraints: Sequence[Constraint], period: int, below: int | None = None
) -> tuple[int, list[int]] | Contradiction | None:
    """The least period from `period` on that closes every circle, with the earliest moments; None if it is not `below`.

    A circle that a longer period loosens raises it to where it closes; one that it does not loosen is a contradiction.
    """
    while True:
        found = earliest(count, constraints, period)
        if isinstance(found, list):
            return period, found
        if found.rounds >= 0:
            return found
        least = found.by - found.rounds * period
        period = -(least // found.rounds)
        if below is not None and period >= below:
            return None
