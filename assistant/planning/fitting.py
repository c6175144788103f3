"""Fitting one more sheet's work into hands that are already booked.

What a sheet asks for falls into *blocks*: a block's actions stand rigidly to each other, between two blocks lies a
window. With everything else fixed, the moments at which a block may begin are intervals; carried forward from block to
block through the windows they show every way to fit the sheet in, and the best is read off backwards. Nothing is tried
out, so nothing is missed.
"""

from bisect import bisect_right, insort
from collections.abc import Sequence
from dataclasses import dataclass, field
from operator import attrgetter
from typing import NamedTuple

from assistant.planning.longest_ways import FAR

Intervals = list[tuple[int, int]]
"""Moments from a first to a last, both inside, in order."""


class Booked(NamedTuple):
    """A time of the hands that is given away (ms); `sooner` and `later`: no other copy so shortly before, or after."""

    begin: int
    end: int
    dry_before: bool
    dry_after: bool
    sooner: int
    later: int


@dataclass(frozen=True)
class BlockPart:
    """One action of a block: how long after the block's beginning it begins, and how long it takes the hands (ms).

    The hands are dry or wet before and after it; no other copy is touched for so long before it (`sooner`) and after it.
    """

    offset: int
    takes: int
    action: int
    dry: tuple[bool, bool]
    sooner: int = 0
    later: int = 0


@dataclass(frozen=True)
class Block:
    """Actions that stand rigidly to each other, and the window from the block before (ms; `most` None: open)."""

    parts: tuple[BlockPart, ...]
    least: int = 0
    most: int | None = None

    @property
    def lasts(self) -> int:
        """From its beginning to the end of its last action, ms."""
        return self.parts[-1].offset + self.parts[-1].takes


_begin = attrgetter("begin")
NEAR = 60_000
"""A booking that begins so much later than a moment (ms) has nothing to do with it: far more than any action takes."""


@dataclass
class Diary:
    """The hands' bookings in order of time; `change` to dry them or cross over (ms)."""

    change: int
    booked: list[Booked] = field(default_factory=list)
    reach: int = 0
    """From the beginning of a booking no other is kept off for longer than this (ms)."""

    def book(self, begin: int, part: BlockPart) -> None:
        """Give a part's time away; `begin` is its own beginning."""
        insort(self.booked, Booked(begin, begin + part.takes, *part.dry, part.sooner, part.later))
        self.reach = max(self.reach, part.takes + max(part.later, self.change))

    def free(self, part: BlockPart, begin: int, until: int = FAR) -> Intervals:
        """The moments from `begin` on at which the hands could begin a part; only as far as `until` they have to be right."""
        found: list[tuple[int, int]] = []
        booked = self.booked
        past = bisect_right(booked, begin - self.reach, key=_begin)
        far = len(booked) if until == FAR else bisect_right(booked, until + NEAR, key=_begin)
        first = next((i for i in range(past, far) if booked[i].end + max(booked[i].later, self.change) > begin), far)
        low = begin
        lows = []
        for one in booked[first:far]:
            lows.append(low)
            low = max(low, one.end + one.later)
        lows.append(low)
        high = last = FAR
        for i in range(far, first - 1, -1):
            low = lows[i - first]
            if i:
                before = booked[i - 1]
                low = max(low, before.end + max(part.sooner, self.change if before.dry_after != part.dry[0] else 0))
            until = min(high, last) - part.takes
            if low <= until:
                found.append((low, until))
            if i:
                high = min(high, before.begin - before.sooner)
                last = before.begin - max(part.later, self.change if before.dry_before != part.dry[1] else 0)
        found.reverse()
        return found


def fit(blocks: Sequence[Block], floors: Sequence[int], diary: Diary, after: int | None = None) -> list[int] | None:
    """When each block begins so that the last is over soonest, none before its floor; None: it fits nowhere.

    `after` is when the block before the first of them began, where there is one.

    Among such ways stays are as short as they can be, and paper is lit in the last gap before it is developed, at the
    beginning of that gap.
    """
    reached: list[Intervals] = []
    behind: Intervals = [] if after is None else [(after, after)]
    for block, floor in zip(blocks, floors, strict=True):
        moments = _block_free(block, floor, diary)
        if behind:
            moments = common(moments, _onward(behind, block))
        if not moments:
            return None
        reached.append(moments)
        behind = moments
    begins = [reached[-1][0][0]]
    for i in range(len(blocks) - 1, 0, -1):
        begins.append(_latest(reached[i - 1], begins[-1] - blocks[i].least, blocks[i - 1].parts[-1].dry[1]))
    return begins[::-1]


def _block_free(block: Block, floor: int, diary: Diary) -> Intervals:
    moments: Intervals = [(floor, FAR)]
    for part in block.parts:
        free = diary.free(part, moments[0][0] + part.offset)
        moments = common(moments, [(low - part.offset, high - part.offset) for low, high in free])
        if not moments:
            break
    return moments


def _onward(moments: Intervals, block: Block) -> Intervals:
    if block.most is None:
        return [(moments[0][0] + block.least, FAR)]
    joined: Intervals = []
    for low, high in moments:
        begin, end = low + block.least, high + block.most
        if joined and begin <= joined[-1][1]:
            joined[-1] = joined[-1][0], max(joined[-1][1], end)
        else:
            joined.append((begin, end))
    return joined


def _latest(moments: Intervals, by: int, dry: bool) -> int:
    low, high = next((low, high) for low, high in reversed(moments) if low <= by)
    return low if dry else min(high, by)


def common(these: Intervals, those: Intervals) -> Intervals:
    """The moments that lie in both."""
    found, i, j = [], 0, 0
    while i < len(these) and j < len(those):
        low, high = max(these[i][0], those[j][0]), min(these[i][1], those[j][1])
        if low <= high:
            found.append((low, high))
        if these[i][1] < those[j][1]:
            i += 1
        else:
            j += 1
    return found
