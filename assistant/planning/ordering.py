"""The order of the hands decided pair by pair, the tightest first, with all moments left open that can be.

Fitting copies in fixes moments too early where windows are narrow. Here only the order of two actions is decided at a
time: of all pairs that could still meet the one with the least room, and the way round that leaves more. What every
decision means for all others is kept as longest ways, so that most pairs decide themselves. A finish is asked for; if
it cannot be reached, other choices are gone back to, within a budget of choices.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from heapq import heappop, heappush

from assistant.planning.among_copies import Starts, among_copies
from assistant.planning.constraints import Constraint
from assistant.planning.hand_work import SECOND, Work
from assistant.planning.longest_ways import Way, longest_ways, with_all, with_way

Pair = tuple[int, int, int, int]
"""Two actions, how long after the first the second begins if it comes second, and the other way round (ms)."""


@dataclass(frozen=True)
class Ordered:
    """What was found: starts and the turns' times (action -> ms after first touch), or nothing.

    `never`: no order reaches the finish that was asked for.
    """

    starts: Starts | None = None
    marks: Mapping[int, int] | None = None
    never: bool = False


@dataclass(frozen=True, order=True)
class _Open:
    """A choice still to be looked into: the one against which least was decided first, of those the latest."""

    against: int
    turn: int
    way: Way = field(compare=False)
    pairs: list[Pair] = field(compare=False)


class Ordering:
    """The orders of so many copies' actions; every search asks for a finish."""

    def __init__(self, work: Work, copies: int, kept: Mapping[int, int]) -> None:
        self.work, self.copies, self.count = work, copies, len(work.actions)
        self.origin = self.count * copies
        constraints = [*among_copies(work, copies, kept), *(Constraint(self.origin, i, 0) for i in range(self.origin))]
        self.way = longest_ways(self.origin + 1, constraints, 0)
        self.pairs = list(self._pairs())
        every = (c.least for c in constraints)
        self.unit = SECOND if all(least % SECOND == 0 for least in every) else 1
        self.turns = [(visit.entry, turn) for visit in work.visits for turn in work.turns(visit)]
        slack = work.hands.slack
        self.soft = [v for v in work.visits if v.most is not None and v.kept(slack, 0) < v.kept(slack, self.origin)]
        """Stays that keep the more in hand the more is done within them."""

    def _pairs(self) -> Iterator[Pair]:
        count, actions = self.count, self.work.actions
        for i in range(self.origin):
            for j in range((i // count + 1) * count, self.origin):
                one, other = actions[i % count], actions[j % count]
                if i % count != j % count:
                    yield i, j, one.takes + self.work.apart(one, other), other.takes + self.work.apart(other, one)

    def within(self, finish: int, choices: int) -> Ordered:
        """An order that is over by `finish` (ms), looked for with so many choices."""
        return self._search(self.way, self.pairs, finish, choices)

    def around(self, starts: Starts, free: range, finish: int, choices: int) -> Ordered:
        """The same, where only the copies `free` (from 0) may change their order among themselves, others keep theirs."""
        at = [start for row in starts for start in row]
        way, open_pairs = self.way, []
        for pair in sorted(self.pairs, key=lambda pair: abs(at[pair[0]] - at[pair[1]])):
            i, j, first, second = pair
            if i // self.count in free and j // self.count in free:
                open_pairs.append(pair)
                continue
            a, b, least = (i, j, first) if at[i] < at[j] else (j, i, second)
            way = way if way[a][b] >= least else with_way(way, a, b, least)
        return replace(self._search(way, open_pairs, finish, choices), never=False)

    def _search(self, way: Way, pairs: list[Pair], finish: int, choices: int) -> Ordered:
        last = self.origin - 1
        due = finish - self.work.actions[-1].touch
        if way[self.origin][last] > due:
            return Ordered(never=True)
        left: list[_Open] = [_Open(0, 0, with_way(way, last, self.origin, -due), pairs)]
        sure = True
        for count in range(choices):
            if not left:
                break
            node = heappop(left)
            found = self._settle(node.way, node.pairs)
            if found is None:
                continue
            way, pairs = found
            pair = self._tightest(way, pairs)
            turned = self._turned(way) if pair is None else None
            if pair is not None:
                better, worse = self._both(way, pairs, pair)
                heappush(left, _Open(node.against, -2 * count - 1, *better))
                heappush(left, _Open(node.against + 1, -2 * count, *worse))
            elif turned is not None:
                sure = False
                heappush(left, _Open(node.against, -2 * count, turned, pairs))
            elif tighter := list(self._kept_in_hand(way, way[self.origin])):
                sure = False
                if tightened := with_all(way, tighter):
                    heappush(left, _Open(node.against, -2 * count, tightened, pairs))
            else:
                return Ordered(self._starts(way), self._marks(way))
        return Ordered(never=not left and sure)

    def _both(self, way: Way, pairs: list[Pair], pair: Pair) -> list[tuple[Way, list[Pair]]]:
        """Both ways round, the one with more room first."""
        i, j, first, second = pair
        rest = [other for other in pairs if other is not pair]
        ways = sorted(((first + way[j][i], i, j, first), (second + way[i][j], j, i, second)))
        return [(with_way(way, a, b, least), rest) for _, a, b, least in ways]

    def _settle(self, way: Way, pairs: list[Pair]) -> tuple[Way, list[Pair]] | None:
        """What follows by itself: pairs with only one way round left, and one rhythm for all; None: it does not go."""
        changed = True
        while changed:
            changed = False
            follows = [*self._one_rhythm(way), *self._kept_in_hand(way)]
            if follows:
                closed = with_all(way, follows)
                if closed is None:
                    return None
                way, changed = closed, True
            open_pairs = []
            for pair in pairs:
                i, j, first, second = pair
                there, back = way[i][j], way[j][i]
                if there >= first or back >= second:
                    continue
                if first + back > 0:
                    if second + there > 0:
                        return None
                    way, changed = with_way(way, j, i, second), True
                elif second + there > 0:
                    way, changed = with_way(way, i, j, first), True
                else:
                    open_pairs.append(pair)
            pairs = open_pairs
        return way, pairs

    def _one_rhythm(self, way: Way) -> Iterator[tuple[int, int, int]]:
        """A turn's time in its bath is the same for every copy: what is open to all of them."""
        for entry, turn in self.turns:
            both = [(copy * self.count + entry, copy * self.count + turn) for copy in range(self.copies)]
            low, high = max(way[e][t] for e, t in both), min(-way[t][e] for e, t in both)
            for e, t in both:
                if way[e][t] < low:
                    yield e, t, low
                if -way[t][e] > high:
                    yield t, e, -high

    def _kept_in_hand(self, way: Way, starts: Sequence[int] | None = None) -> Iterator[tuple[int, int, int]]:
        """What soft baths must keep in hand besides, for what is surely done within a stay, or is done at these `starts`."""
        for copy in range(self.copies):
            for visit in self.soft:
                entry, leave = copy * self.count + visit.entry, copy * self.count + visit.exit
                if starts is None:
                    inside = sum(1 for i, after in enumerate(way[entry][: self.origin]) if after > 0 and way[i][leave] > 0)
                else:
                    inside = sum(1 for start in starts[: self.origin] if starts[entry] < start < starts[leave])
                shift = self.work.actions[visit.entry].touch - self.work.actions[visit.exit].touch
                most = shift + (visit.most or 0) - visit.kept(self.work.hands.slack, inside)
                if -way[leave][entry] > most and (starts is None or starts[leave] - starts[entry] > most):
                    yield leave, entry, -most

    def _tightest(self, way: Way, pairs: Sequence[Pair]) -> Pair | None:
        """Of the pairs that meet if all is as early as it can be the one with the least room both ways; None: none meet."""
        starts = way[self.origin]
        meeting = (p for p in pairs if starts[p[1]] - starts[p[0]] < p[2] and starts[p[0]] - starts[p[1]] < p[3])
        return max(meeting, key=lambda p: (p[2] + way[p[1]][p[0]] + p[3] + way[p[0]][p[1]], -p[0], -p[1]), default=None)

    def _turned(self, way: Way) -> Way | None:
        """The first turn whose time is still open, put as near to its mark as it can be; None where all are settled."""
        for entry, turn in self.turns:
            if way[entry][turn] == -way[turn][entry]:
                continue
            action, touch = self.work.actions[turn], self.work.actions[entry].touch
            at = min(max(touch + action.mark, way[entry][turn]), -way[turn][entry])
            return with_way(with_way(way, entry, turn, at), turn, entry, -at)
        return None

    def _starts(self, way: Way) -> Starts:
        starts = way[self.origin]
        return tuple(tuple(starts[copy * self.count : (copy + 1) * self.count]) for copy in range(self.copies))

    def _marks(self, way: Way) -> dict[int, int]:
        return {turn: way[entry][turn] - self.work.actions[entry].touch for entry, turn in self.turns}
