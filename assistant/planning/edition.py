"""An edition's plan: when the hands do what for which copy, up to the first station, and how near that is to the best.

Copies are alike, so first in, first out through every tray loses nothing, and every tray's limit follows from the order
of the hands. The order of the hands is asked for at the bound first, then by halves up to the best that is known.
All of it is counted, never timed, so that the same recipe has the same plan everywhere.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from assistant.planning.among_copies import Starts, lower_bound, pushed_together, rigid
from assistant.planning.constraints import Contradiction, earliest
from assistant.planning.hand_work import Visit, Work
from assistant.planning.insertion import Insertion, blocks_of, loose_turns
from assistant.planning.ordering import Ordering
from assistant.planning.rhythm import Rhythm, rhythms

# Measured on 24 of the tests' invented recipes, in four and in seven copies: what became of these 48 plans with another figure.
CHOICES, FEWEST = 320_000, 30
"""Choices for every finish that is asked for: so many shared among all pairs of actions, but at least so few. A quarter of
them: half the work, eight plans up to 3 % later; four times as many: more than twice the work, nine up to 5 % sooner."""
VAIN = 3
"""After so many finishes that were neither reached nor ruled out the best that is known is taken. One: four plans up to 3 %
later; six: a quarter more work, one sooner by half a percent."""
TOGETHER = 4
"""So many neighbouring copies change their order together where a whole edition is too much. Three or six: nine plans up to
20 % later."""
ATTEMPTS = 6
"""A rhythm is given up when after so many attempts its baths still keep too little in hand; none needed more than three."""
NEAR = 200
"""Two finishes are not told apart below one part in so many. Fifty: twelve plans up to 2 % later; 800: none sooner by more than
half a percent."""
MOST_ORDERED = 72
"""So many actions of the hands are ordered as a whole; further copies are fitted in behind them, and neighbouring ones change
their order where the choices are enough for all. Half as many: six plans up to 18 % later; twice as many: one 20 % later, none
sooner."""


class CannotOverlap(ValueError):
    """Not even one copy can be printed with these hands; the message says which lines cannot all hold, and what mends it."""


@dataclass(frozen=True)
class Edition:
    """A plan of so many copies: when every action begins, the turns' times in their baths, the bound below its finish (ms)."""

    work: Work
    starts: Starts
    marks: Mapping[int, int]
    bound: int

    @property
    def loose(self) -> tuple[tuple[int, int, int, int | None], ...]:
        """The turns that fill what the hands have left: copy (from 0), step, mark, and when (ms; None: left out)."""
        return tuple(loose_turns(self.work, self.starts))

    @property
    def copies(self) -> int:
        """How many copies it prints."""
        return len(self.starts)

    @property
    def finish(self) -> int:
        """When the last sheet touches the water in which all gather, ms."""
        return self.starts[-1][-1] + self.work.actions[-1].touch

    @property
    def proved(self) -> bool:
        """No plan with these hands can finish sooner."""
        return self.bound >= self.finish

    def touches(self, copy: int, action: int) -> int:
        """When a sheet first touches its next bath by an action, ms."""
        return self.starts[copy][action] + self.work.actions[action].touch

    def stay(self, copy: int, visit: Visit) -> tuple[int, int]:
        """From and to when a sheet is in a bath, ms."""
        return self.touches(copy, visit.entry), self.touches(copy, visit.exit)

    @property
    def hands(self) -> list[tuple[int, int, int, int]]:
        """Every action in the order of the hands: begin, end, copy (from 0), which."""
        actions = self.work.actions
        every = ((s, s + actions[k].takes, copy, k) for copy, row in enumerate(self.starts) for k, s in enumerate(row))
        return sorted(every)

    @property
    def free(self) -> list[tuple[int, int]]:
        """When the hands are free for anything else: from and to, ms; the time to dry them is not counted off."""
        return [(one[1], other[0]) for one, other in pairwise(self.hands) if other[0] > one[1]]


def plan_edition(work: Work, copies: int, choices: int = CHOICES) -> Edition:
    """The best plan found for so many copies; CannotOverlap where one copy alone cannot be printed with these hands."""
    if isinstance(wrong := earliest(len(work.actions), work.constraints()), Contradiction):
        raise CannotOverlap(wrong.words)
    best = _fitted(work, copies)
    few = min(copies, MOST_ORDERED // len(work.actions) + 1)
    if few == copies:
        return _ordered(best, choices)
    best = min((best, *_continued(plan_edition(work, few, choices), copies)), key=lambda edition: edition.finish)
    each = choices // (copies * len(work.actions)) ** 2
    return best if best.proved or each < FEWEST else _bettered(best, Ordering(work, copies, usual(work)), each)


def usual(work: Work) -> dict[int, int]:
    """What every soft bath keeps in hand at least (step -> ms)."""
    return {visit.step: visit.kept(work.hands.slack, 0) for visit in work.visits}


def _fitted(work: Work, copies: int) -> Edition:
    """Copies fitted in one after the other, at the recipe's own rhythm and at those found where copies follow for ever.

    Where more is done within a bath than it keeps in hand for, it keeps more in the next attempt, in every copy.
    """
    kept = usual(work)
    bound = lower_bound(work, copies, kept)
    best = _one_after_the_other(work, copies, kept, bound)
    for rhythm in rhythms(work, kept):
        for _ in range(ATTEMPTS):
            found = _soonest(work, rhythm, copies, kept, bound)
            lacking = {} if found is None else {v.step: most for v in work.visits if (most := _wanted(found, v)) > kept[v.step]}
            if not lacking:
                break
            kept = {**kept, **lacking}
        if found is not None and not lacking and found.finish < best.finish:
            best = found
        if best.proved:
            break
        kept = usual(work)
    return best


def _soonest(work: Work, rhythm: Rhythm, copies: int, kept: Mapping[int, int], bound: int) -> Edition | None:
    pushed = (pushed_together(work, rhythm.marks, starts, kept) for starts in _rows(work, rhythm, copies, kept))
    found = min(filter(None, pushed), key=lambda starts: starts[-1][-1], default=None)
    return None if found is None else Edition(work, found, rhythm.marks, bound)


def _rows(work: Work, rhythm: Rhythm, copies: int, kept: Mapping[int, int]) -> Iterator[Starts]:
    blocks = blocks_of(work, rhythm.marks, kept)
    for lag in sorted({0, rhythm.period}):
        for tail, ahead in ((len(blocks), 0), *((tail, ahead) for tail in range(2, len(blocks)) for ahead in (1, copies))):
            yield from filter(None, [Insertion(work, blocks, copies, lag).run(tail, ahead)])
    if rhythm.pattern and copies > 1:
        yield from filter(None, [Insertion(work, blocks, copies).train(rhythm.pattern, rhythm.period)])


def _ordered(best: Edition, choices: int) -> Edition:
    """The order decided pair by pair: asked for at the bound first, then by halves up to the best that is known."""
    ordering = Ordering(best.work, best.copies, usual(best.work))
    choices = max(FEWEST, choices // (best.copies * len(best.work.actions)) ** 2)
    low = ask = best.bound
    vain = 0
    while best.finish - low >= _near(best) and vain < VAIN:
        found = ordering.within(ask, choices)
        if found.starts is not None and found.marks is not None:
            best = replace(best, starts=found.starts, marks=found.marks)
        else:
            low = ask + ordering.unit
            best = replace(best, bound=low if found.never else best.bound)
            vain += not found.never
        ask = low + (best.finish - low) // 2 // ordering.unit * ordering.unit
    return _bettered(best, ordering, choices // 2) if vain and best.copies > TOGETHER else best


def _near(best: Edition) -> int:
    return max(1, best.finish // NEAR)


def _bettered(best: Edition, ordering: Ordering, choices: int) -> Edition:
    """A few neighbouring copies at a time change their order, as long as that makes the finish sooner."""
    changed = True
    while changed and not best.proved:
        changed = False
        for first in range(best.copies - TOGETHER + 1):
            free = range(first, first + TOGETHER)
            step = _near(best)
            while best.finish - step >= best.bound:
                ask = (best.finish - step) // ordering.unit * ordering.unit
                found = ordering.around(best.starts, free, ask, choices)
                if found.starts is None or found.marks is None:
                    break
                best = replace(best, starts=found.starts, marks=found.marks)
                changed, step = True, step * 2
    return best


def _one_after_the_other(work: Work, copies: int, kept: Mapping[int, int], bound: int) -> Edition:
    """What is sure: a copy is begun when the one before has come through, and turned when the recipe says."""
    marks = _unmoved(work)
    alone = earliest(len(work.actions), [*work.constraints(kept), *rigid(work, marks)])
    assert isinstance(alone, list), "one copy alone was looked at before"
    seen = alone[work.gate[0]] + work.actions[work.gate[0]].touch + work.gate[1] if work.gate else 0
    lag = max(alone[-1] + work.actions[-1].takes, seen) + work.hands.change
    return Edition(work, tuple(tuple(copy * lag + start for start in alone) for copy in range(copies)), marks, bound)


def _unmoved(work: Work) -> dict[int, int]:
    """The turns' times as the recipe has them (action -> ms after first touch), sooner only where the next action begins."""
    marks = {}
    for visit in work.visits:
        begins = visit.least - work.actions[visit.exit].touch
        for turn in reversed(work.turns(visit)):
            action = work.actions[turn]
            marks[turn] = begins = action.mark if action.kind == "watch" else min(action.mark, begins - action.takes)
    return marks


def _continued(edition: Edition, copies: int) -> Iterator[Edition]:
    """The same plan for more copies, fitted in behind; the last ones, behind which nothing was to be heeded, are moved."""
    work = edition.work
    most = {v.step: max(inside(edition, copy, v) for copy in range(edition.copies)) for v in work.visits}
    kept = {v.step: v.kept(work.hands.slack, most[v.step]) for v in work.visits}
    bound = lower_bound(work, copies, usual(work))
    for given_up in range(min(4, edition.copies)):
        insertion = Insertion(work, blocks_of(work, edition.marks, kept), copies)
        first = edition.copies - given_up
        insertion.take(edition.starts[:first])
        if all(insertion.fit(copy) for copy in range(first, copies)):
            pushed = pushed_together(work, edition.marks, insertion.starts(), kept)
            found = None if pushed is None else Edition(work, pushed, edition.marks, bound)
            if found is not None and all(_wanted(found, v) <= kept[v.step] for v in work.visits):
                yield found


def _wanted(edition: Edition, visit: Visit) -> int:
    """What a stay should keep in hand, by the copy in whose stay the hands do most; nothing where no copy uses its window."""
    if visit.exact or visit.most is None:
        return 0
    wanted = 0
    for copy in range(edition.copies):
        entry, exit_ = edition.stay(copy, visit)
        kept = visit.kept(edition.work.hands.slack, inside(edition, copy, visit))
        if exit_ - entry > visit.most - kept:
            wanted = max(wanted, kept)
    return wanted


def inside(edition: Edition, copy: int, visit: Visit) -> int:
    """How many actions of the hands begin while a copy is in a bath, the one that ends its stay left out."""
    begin, end = edition.starts[copy][visit.entry], edition.starts[copy][visit.exit]
    return sum(1 for row in edition.starts for start in row if begin < start < end)
