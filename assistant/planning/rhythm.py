"""One rhythm of turns for a whole edition: each turn moved by no more than it gives, the same for every copy.

Turned rigidly on its marks a development has no gap into which an exposure fits. The rhythm is found where copies
follow each other for ever at the least period; what is left of the freedom is put on both sides.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from assistant.planning.among_copies import rigid
from assistant.planning.constraints import Constraint, earliest
from assistant.planning.cyclic import NoCycle, Round, TooHard, least_period
from assistant.planning.hand_work import SECOND, Work

CHOICES, FEWEST = 100_000, 60
"""Choices the search for the period may make: so many shared among all pairs of actions, but at least so few. A third of
what the order may take (`edition.CHOICES`): a rhythm is only where it begins."""


@dataclass(frozen=True)
class Rhythm:
    """The turns' times in their baths (action -> ms after first touch), and the round in which they were found.

    `period` is that of the round (0: none), `pattern` when the actions of one copy begin in it.
    """

    marks: Mapping[int, int]
    period: int = 0
    pattern: tuple[int, ...] = ()


def rhythms(work: Work, kept: Mapping[int, int]) -> Iterator[Rhythm]:
    """The rhythms worth trying, the recipe's own first; the best ones are where copies follow each other for ever."""
    own = {i: action.mark for visit in work.visits for i in work.turns(visit) for action in [work.actions[i]]}
    yield Rhythm(own)
    unmoved = _found(work, kept, own)
    if unmoved is not None:
        yield Rhythm(own, *unmoved)
    if any(work.actions[i].room for i in own):
        free = _found(work, kept, None)
        if free is not None and (unmoved is None or free[0] < unmoved[0]):
            period, pattern = free
            marks = {i: pattern[i] - _touch(work, pattern, i) for i in own}
            yield Rhythm(marks, period, pattern)


def _touch(work: Work, pattern: tuple[int, ...], turn: int) -> int:
    """When the sheet that is turned came into its bath."""
    entry = next(visit.entry for visit in work.visits if turn in work.turns(visit))
    return pattern[entry] + work.actions[entry].touch


def _found(work: Work, kept: Mapping[int, int], marks: Mapping[int, int] | None) -> tuple[int, tuple[int, ...]] | None:
    """The least period, and one copy's actions in it: turns in the middle of what is open to them, stays then short."""
    inside = [*work.constraints(kept), *(rigid(work, marks) if marks is not None else ())]
    choices = max(FEWEST, CHOICES // len(work.actions) ** 2)
    try:
        cycle = least_period(_as_round(work, inside), choices)
    except (NoCycle, TooHard):
        return None
    if marks is not None:
        return cycle.period * SECOND, tuple(start * SECOND for start in cycle.starts)
    middle = tuple(start * SECOND for start in cycle.middle())
    centred = {i: middle[i] - _touch(work, middle, i) for visit in work.visits for i in work.turns(visit)}
    again = earliest(len(middle), [*cycle.constraints, *(_seconds(c) for c in rigid(work, centred))], cycle.period)
    assert isinstance(again, list), "the middle of what holds holds"
    return cycle.period * SECOND, tuple(start * SECOND for start in again)


def _seconds(constraint: Constraint) -> Constraint:
    """Rounded to the strict side, so that what holds in seconds holds."""
    return constraint._replace(least=-(-constraint.least // SECOND))


def _as_round(work: Work, inside: list[Constraint]) -> Round:
    """The work in whole seconds."""
    actions = work.actions
    apart = (tuple(work.apart(one, other) for other in actions) for one in actions)
    # a wait longer by a whole period is the same round again, and longer for nothing
    waits = [(v.entry, v.exit, actions[v.entry].touch - actions[v.exit].touch + v.least) for v in work.visits if not v.exact]
    inside = [*inside, *(Constraint(then, first, -least, -1) for first, then, least in waits)]
    if work.lit:
        inside.append(Constraint(1, 0, actions[1].takes + work.change(actions[1], actions[0]), -1))
    places = tuple((visit.entry, visit.exit, visit.holds) for visit in work.visits)
    return Round(
        tuple(-(-action.takes // SECOND) for action in actions),
        tuple(map(_seconds, inside)),
        tuple(tuple(-(-ms // SECOND) for ms in row) for row in apart),
        places,
    )
