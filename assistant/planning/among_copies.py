"""What holds among the copies of an edition, and an order of the hands with everything as early as that order lets it be."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from assistant.planning.bounds import preemptive
from assistant.planning.constraints import Constraint, Contradiction, earliest
from assistant.planning.hand_work import Work

Starts = tuple[tuple[int, ...], ...]
"""Copy (from 0) -> action -> when it begins, ms."""


def among_copies(work: Work, copies: int, kept: Mapping[int, int]) -> list[Constraint]:
    """What holds whatever the order of the hands: first in, first out; no tray over what it holds; copy one seen first; only
    one sheet lies exposed.

    Action k of a copy has the number copy x actions + k.
    """
    count, actions = len(work.actions), work.actions
    own = work.constraints(kept)
    found = []
    for copy in range(copies):
        base = copy * count
        found += [one.of_copy(copy, count) for one in own]
        if copy:
            found += [Constraint(base - count + i, base + i, one.takes + work.apart(one, one)) for i, one in enumerate(actions)]
        if copy and work.lit:
            found.append(Constraint(base - count + 1, base, actions[1].takes + work.change(actions[1], actions[0])))
        for visit in work.visits:
            if copy >= visit.holds:
                leaves = actions[visit.exit]
                apart = leaves.takes + work.change(leaves, actions[visit.entry])
                found.append(Constraint(base - visit.holds * count + visit.exit, base + visit.entry, apart))
        if copy and work.gate is not None:
            seen, after = work.gate
            found.append(Constraint(seen, base, actions[seen].touch + after))
    return found


def lower_bound(work: Work, copies: int, kept: Mapping[int, int]) -> int:
    """Below this no plan of so many copies finishes (ms)."""
    count = len(work.actions)
    constraints = among_copies(work, copies, kept)
    heads = earliest(count * copies, constraints)
    final = count * copies - 1
    tails = earliest(count * copies, [Constraint(final - c.then, final - c.first, c.least) for c in reversed(constraints)])
    assert isinstance(heads, list), "one after the other always goes"
    assert isinstance(tails, list), "one after the other always goes"
    touch = work.actions[-1].touch
    takes = [work.actions[i % count].takes for i in range(count * copies)]
    # behind the end of an action lies the longest way from it to the last touch, which comes before the last action's end
    behind = [tails[final - i] - takes[i] + touch for i in range(count * copies)]
    return max(heads[-1] + touch, preemptive(heads, takes, behind))


def pushed_together(work: Work, marks: Mapping[int, int], starts: Starts, kept: Mapping[int, int]) -> Starts | None:
    """The same order of the hands with everything as early as it can be; None where the order does not hold."""
    count, copies = len(work.actions), len(starts)
    order = sorted((s, copy, k) for copy, row in enumerate(starts) for k, s in enumerate(row))
    found = earliest(count * copies, in_order(work, marks, [(copy, k) for _, copy, k in order], copies, kept))
    if isinstance(found, Contradiction):
        return None
    return tuple(tuple(found[copy * count : (copy + 1) * count]) for copy in range(copies))


def in_order(
    work: Work,
    marks: Mapping[int, int],
    order: Sequence[tuple[int, int]],
    copies: int,
    kept: Mapping[int, int],
    late: int = 0,
) -> list[Constraint]:
    """What holds among the copies where the hands go in this order (copy from 0, action); turns may be so `late` (ms)."""
    count, actions = len(work.actions), work.actions
    constraints = among_copies(work, copies, kept)
    turned = list(rigid(work, marks, late))
    for copy in range(copies):
        constraints += [one.of_copy(copy, count) for one in turned]
    for (copy, k), (other, i) in pairwise(order):
        least = actions[k].takes + work.change(actions[k], actions[i])
        constraints.append(Constraint(copy * count + k, other * count + i, least))
    last: dict[int, int] = {}
    for copy, k in order:
        if actions[k].exact:
            for other, i in last.items():
                if other != copy:
                    constraints.append(Constraint(other * count + i, copy * count + k, actions[i].takes + work.hands.slack))
        last[copy] = k
    return constraints


def rigid(work: Work, marks: Mapping[int, int], late: int = 0) -> Iterator[Constraint]:
    """Every turn at its time after the first touch of its bath, not before, and not later than `late` after it (ms)."""
    for visit in work.visits:
        for turn in work.turns(visit):
            mark = work.actions[visit.entry].touch + marks[turn]
            yield Constraint(visit.entry, turn, mark)
            yield Constraint(turn, visit.entry, -mark - late)
