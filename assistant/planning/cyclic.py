"""The same round of work again and again with one pair of hands: the least period at which rounds can follow.

Every round begins one period after the last. For two actions of a round the hands do one first: how many rounds later
the other is still behind it is a whole number, and the search decides these numbers, the tightest choice first. A
choice that no longer closes, or not below the best period found, is dropped, so that what is left at the end is
proved. The budget is a number of choices; a caller with a clock of its own may also say when to stop.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from assistant.planning.constraints import Constraint, Contradiction, settled
from assistant.planning.longest_ways import FAR, Way, longest_ways, with_way


@dataclass(frozen=True)
class Round:
    """One round of work: how long each action takes the hands (in any whole unit), and what must lie between them.

    `inside` are constraints within one round. `apart[a][b]` is the least time from the end of a to the beginning of b
    when they belong to different rounds. `places[a, b]` says that action b must be over, and the hands at a again,
    before a comes round so many times: a tray or tank that a fills and b empties.
    """

    takes: tuple[int, ...]
    inside: tuple[Constraint, ...]
    apart: tuple[tuple[int, ...], ...]
    places: tuple[tuple[int, int, int], ...] = ()


@dataclass(frozen=True)
class Cycle:
    """A period, when each action of one round begins, and the least period that is possible at all, in the round's unit."""

    period: int
    starts: tuple[int, ...]
    bound: int
    constraints: tuple[Constraint, ...] = ()
    """All that holds as long as the hands keep the order found."""

    @property
    def proved(self) -> bool:
        """No shorter period is possible."""
        return self.bound >= self.period

    def middle(self) -> tuple[int, ...]:
        """The same round with every action in the middle of what the others leave open to it."""
        way = longest_ways(len(self.starts), self.constraints, self.period)
        # the mean of two solutions of differences is one too, and stays one when it is rounded down
        return tuple((way[0][i] - row[0]) // 2 if row[0] > -FAR // 2 else way[0][i] for i, row in enumerate(way))


class NoCycle(ValueError):
    """Rounds cannot follow each other at any period; the message says which constraints cannot all hold."""


class TooHard(RuntimeError):
    """No period was found within the budget; `bound` is the least that is possible at all."""

    def __init__(self, bound: int) -> None:
        super().__init__(f"no round was found within the budget; the period is at least {bound}")
        self.bound = bound


CHOICES = 50_000
"""Choices that a search may make: lines of sixteen tanks need a few hundred."""


def least_period(work: Round, choices: int = CHOICES, stop: Callable[[], bool] = lambda: False) -> Cycle:
    """The least period of a round; NoCycle says why there is none, TooHard that the budget did not do."""
    return _Search(work).run(choices, stop)


@dataclass(frozen=True)
class _Node:
    """Choices made so far: the least period at which they close, and `way[i][j]`, how long after i j begins at least."""

    period: int
    constraints: tuple[Constraint, ...]
    way: Way


class _Search:
    """Depth first, the shorter period first; `open` are the choices still to be looked into."""

    def __init__(self, work: Round) -> None:
        self.work = work
        self.count = len(work.takes)
        self.pairs = [(a, b) for a in range(self.count) for b in range(a + 1, self.count)]
        self.best: _Node | None = None
        self.open: list[_Node] = []

    def run(self, choices: int, stop: Callable[[], bool]) -> Cycle:
        self.open = [self._root()]
        while self.open and choices > 0 and not stop():
            choices -= 1
            node = self.open.pop()
            if self._hopeless(node):
                continue
            pair = self._tightest(node)
            if pair is None:
                self.best = node
            else:
                kids = [kid for choice in self._choices(*pair) if (kid := self._with(node, choice)) is not None]
                self.open += sorted(kids, key=lambda kid: (-kid.period, -kid.way[0][-1]))
        left = [node.period for node in self.open if not self._hopeless(node)]
        if self.best is None:
            if left:
                raise TooHard(min(left))
            raise NoCycle("the hands come too late for one of the windows, whatever the order: widen one")
        bound = min([self.best.period, *left])
        return Cycle(self.best.period, tuple(self.best.way[0]), bound, tuple(self._ordered(self.best)))

    def _ordered(self, node: _Node) -> Iterator[Constraint]:
        """All that holds when the order of every two actions is kept as it was found, those too that never met."""
        yield from node.constraints
        for a, b in self.pairs:
            rounds = self._between(node, a, b)
            yield self._sooner(a, b, rounds)
            if rounds:
                yield self._later(a, b, rounds)

    def _root(self) -> _Node:
        takes, apart = self.work.takes, self.work.apart
        least = max(takes[a] + apart[a][a] for a in range(self.count))
        constraints = (*self.work.inside, *(self._sooner(a, b, places - 1) for a, b, places in self.work.places))
        found = settled(self.count, constraints, least)
        if isinstance(found, Contradiction):
            raise NoCycle(found.words)
        assert found is not None
        return _Node(found[0], constraints, longest_ways(self.count, constraints, found[0]))

    def _hopeless(self, node: _Node) -> bool:
        return self.best is not None and node.period >= self.best.period

    def _later(self, a: int, b: int, rounds: int) -> Constraint:
        """Action b comes after action a of so many rounds later."""
        return Constraint(a, b, self.work.takes[a] + self.work.apart[a][b], rounds)

    def _sooner(self, a: int, b: int, rounds: int) -> Constraint:
        """Action b is over before action a of one round more."""
        return Constraint(b, a, self.work.takes[b] + self.work.apart[b][a], -(rounds + 1))

    def _choices(self, a: int, b: int, rounds: int) -> tuple[Constraint, Constraint]:
        return self._sooner(a, b, rounds), self._later(a, b, rounds + 1)

    def _tightest(self, node: _Node) -> tuple[int, int, int] | None:
        """Two actions that meet as things stand, of all such pairs the one that leaves least room; None: none meet."""
        found: tuple[tuple[int, int], tuple[int, int, int]] | None = None
        for pair in self._meeting(node):
            room = sorted(self._room(node, choice) for choice in self._choices(*pair))
            key = (min(room[1], 0), room[0]) if room[0] < 0 else (1, room[0] + room[1])
            if found is None or key < found[0]:
                found = key, pair
        return found[1] if found else None

    def _meeting(self, node: _Node) -> Iterator[tuple[int, int, int]]:
        takes, apart, starts = self.work.takes, self.work.apart, node.way[0]
        for a, b in self.pairs:
            rounds = self._between(node, a, b)
            if starts[b] - starts[a] + takes[b] + apart[b][a] > (rounds + 1) * node.period:
                yield a, b, rounds

    def _between(self, node: _Node, a: int, b: int) -> int:
        """Behind so many later rounds of action a comes b; within one round the windows keep actions apart."""
        lag = node.way[0][b] - node.way[0][a]
        return max(0, (lag - self.work.takes[a] - self.work.apart[a][b]) // node.period)

    def _room(self, node: _Node, choice: Constraint) -> int:
        """How far both actions can still be moved against each other once the choice is made; below 0 not at this period."""
        return -(choice.least + choice.rounds * node.period + node.way[choice.then][choice.first])

    def _with(self, node: _Node, choice: Constraint) -> _Node | None:
        """The node with one choice more; None where it does not close below the best period."""
        constraints = (*node.constraints, choice)
        if self._room(node, choice) >= 0:
            least = choice.least + choice.rounds * node.period
            return _Node(node.period, constraints, with_way(node.way, choice.first, choice.then, least))
        found = settled(self.count, constraints, node.period, self.best.period if self.best else None)
        if not isinstance(found, tuple):
            return None
        return _Node(found[0], constraints, longest_ways(self.count, constraints, found[0]))
