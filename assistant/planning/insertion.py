"""Copies fitted into the hands one after the other, each as early as it goes beside those that have their place."""

from collections.abc import Iterator, Mapping, Sequence

from assistant.planning.among_copies import Starts
from assistant.planning.fitting import Block, BlockPart, Diary, common, fit
from assistant.planning.hand_work import Action, Visit, Work


class Insertion:
    """One fitting; `rows` are the beginnings of the copies' actions (ms), as far as they have a place.

    `lag`: how long a copy comes into its first bath after the one before it, at least (ms).
    """

    def __init__(self, work: Work, blocks: Sequence[Block], copies: int, lag: int = 0) -> None:
        self.work, self.blocks, self.copies, self.lag = work, blocks, copies, lag
        self.diary = Diary(work.hands.change)
        self.rows: list[dict[int, int]] = [{} for _ in range(copies)]

    def run(self, tail: int, ahead: int) -> Starts | None:
        """All copies; None where one fits nowhere."""
        for turn in range(self.copies + ahead):
            for copy, first, until in ((turn, 0, tail), (turn - ahead, tail, len(self.blocks))):
                if 0 <= copy < self.copies and not self.fit(copy, *self._whole(copy, first, until)):
                    return None
        return self.starts()

    def _whole(self, copy: int, first: int, until: int) -> tuple[int, int]:
        """Copy one is fitted in as far as the bath in which it is looked at before anything else is."""
        if copy or self.work.gate is None:
            return first, until
        seen = 1 + next(i for i, block in enumerate(self.blocks) if any(p.action == self.work.gate[0] for p in block.parts))
        return (max(first, seen) if first else 0), max(until, seen)

    def take(self, rows: Starts) -> None:
        """Copies that have their place already, the first ones."""
        for copy, row in enumerate(rows):
            for block in self.blocks:
                self._book(copy, block, row[block.parts[0].action])

    def fit(self, copy: int, first: int = 0, until: int | None = None) -> bool:
        """Some of a copy's blocks (default: all), as early as they go; False where they fit nowhere."""
        blocks = self.blocks[first:until]
        if not blocks:
            return True
        after = self.rows[copy][self.blocks[first - 1].parts[0].action] if first else None
        begins = fit(blocks, [self.floor(copy, block) for block in blocks], self.diary, after)
        if begins is None:
            return False
        self.book(copy, blocks, begins)
        return True

    def book(self, copy: int, blocks: Sequence[Block], begins: Sequence[int]) -> None:
        """Give a copy's blocks their time."""
        for block, begin in zip(blocks, begins, strict=True):
            self._book(copy, block, begin)

    def _book(self, copy: int, block: Block, begin: int) -> None:
        for part in block.parts:
            self.rows[copy][part.action] = begin + part.offset
            self.diary.book(begin + part.offset, part)

    def starts(self) -> Starts:
        """When every action of every copy begins, ms."""
        return tuple(tuple(row[i] for i in range(len(self.work.actions))) for row in self.rows)

    def floor(self, copy: int, block: Block) -> int:
        """Before when a block cannot begin, ms: behind the copy before in everything, trays empty, copy one seen."""
        return max(0, *(self._after(copy, part.action) - part.offset for part in block.parts))

    def _after(self, copy: int, index: int) -> int:
        action, work = self.work.actions[index], self.work
        before = self.rows[copy - 1] if copy else {}
        floor = 0
        if index in before:
            lag = self.lag if index == work.visits[0].entry else 0
            floor = before[index] + max(lag, action.takes + work.change(action, action))
        if index == 0 and work.lit and 1 in before:
            floor = max(floor, before[1] + work.actions[1].takes + work.change(work.actions[1], action))
        for visit in work.visits:
            if visit.entry == index and copy >= visit.holds:
                floor = max(floor, self._empty(self.rows[copy - visit.holds], visit, action))
        if copy and index == 0 and work.gate is not None:
            seen, after = work.gate
            looked_at = self.rows[0].get(seen)
            if looked_at is not None:  # else a sheet is being laid already, before copy one has its place
                floor = max(floor, looked_at + work.actions[seen].touch + after)
        return floor

    def _empty(self, row: Mapping[int, int], visit: Visit, action: Action) -> int:
        """When a tray is empty again, and the hands are at the next sheet; where its end is not known yet, at the soonest."""
        leaves = self.work.actions[visit.exit]
        lift = row.get(visit.exit)
        if lift is None:
            came = row.get(visit.entry)
            lift = came + self.work.actions[visit.entry].touch + visit.least - leaves.touch if came is not None else -leaves.takes
        return lift + leaves.takes + self.work.change(leaves, action)

    def train(self, pattern: Sequence[int], period: int) -> Starts | None:
        """Copy one by itself, and the others one period apart, in a rigid train as early as it fits."""
        if not self.fit(0):
            return None
        actions = self.work.actions
        parts = [
            (copy, part_of(action, i, (copy - 1) * period + start - pattern[0]))
            for copy in range(1, self.copies)
            for i, (action, start) in enumerate(zip(actions, pattern, strict=True))
        ]
        floor = 0
        for copy, part in parts:
            alone = [visit for visit in self.work.visits if visit.entry == part.action and visit.holds == copy]
            floor = max([floor, *(self._empty(self.rows[0], visit, actions[part.action]) - part.offset for visit in alone)])
            if copy == 1:
                floor = max(floor, self._after(1, part.action) - part.offset)
        begins = fit([Block(tuple(part for _, part in sorted(parts, key=lambda one: one[1].offset)))], [floor], self.diary)
        if begins is None:
            return None
        for copy, part in parts:
            self.rows[copy][part.action] = begins[0] + part.offset
        return self.starts()


def part_of(action: Action, index: int, offset: int, slack: int = 0) -> BlockPart:
    """An action as a part of a block; an exact one is kept clear of other copies."""
    return BlockPart(offset, action.takes, index, action.dry, slack if action.exact else 0)


def blocks_of(work: Work, marks: Mapping[int, int], kept: Mapping[int, int]) -> list[Block]:
    """One copy's work in blocks: what a rhythm or an exact bath holds together, and the windows between."""
    actions, entries = work.actions, {visit.entry for visit in work.visits}
    at = {0: 0}
    blocks: list[list[int]] = [[0]]
    windows: list[tuple[int, int | None]] = [(0, None)]
    for i in range(1, min(entries) + 1):
        blocks.append([i])
        windows.append((actions[i - 1].takes, None))
        at[i] = 0
    for visit in work.visits:
        touch = at[visit.entry] + actions[visit.entry].touch
        at.update({turn: touch + marks[turn] for turn in work.turns(visit)})
        blocks[-1] += work.turns(visit)
        leaves, last = actions[visit.exit], blocks[-1][-1]
        if visit.exact:
            at[visit.exit] = touch - leaves.touch + visit.least
            blocks[-1].append(visit.exit)
            continue
        most = None if visit.most is None else touch - leaves.touch + visit.most - kept[visit.step]
        windows.append((max(touch - leaves.touch + visit.least, at[last] + actions[last].takes), most))
        blocks.append([visit.exit])
        at[visit.exit] = 0
    slack = work.hands.slack
    return [
        Block(tuple(part_of(actions[i], i, at[i], slack) for i in block), *window)
        for block, window in zip(blocks, windows, strict=True)
    ]


def loose_turns(work: Work, starts: Starts, since: int = 0) -> Iterator[tuple[int, int, int, int | None]]:
    """Where the turns of baths with room in their time go, the nearest free moment to each mark: copy, step, mark, when.

    The first turn of every stay finds its place before any other, and where none is free near its mark it may be as soon as
    the sheet is in: one that is never moved is treated unevenly. Those whose time was over before `since` (ms) are not looked
    for any more.
    """
    diary, slack = Diary(work.hands.change), work.hands.slack
    for row in starts:
        for i, (action, start) in enumerate(zip(work.actions, row, strict=True)):
            diary.book(start, part_of(action, i, 0, slack))
    by_step, first = {visit.step: visit for visit in work.visits}, {turn.step: turn for turn in reversed(work.loose)}
    stays = ((row[by_step[turn.step].entry], copy, turn) for copy, row in enumerate(starts) for turn in work.loose)
    for entry, copy, turn in sorted(stays, key=lambda stay: (stay[2] != first[stay[2].step], stay[0] + stay[2].mark)):
        visit = by_step[turn.step]
        came = entry + work.actions[visit.entry].touch
        mark = came + turn.mark
        if mark + turn.room < since:
            yield copy, turn.step, turn.mark, None
            continue
        part = BlockPart(0, turn.takes, -1, (False, False))
        soonest, last = mark - turn.room, min(mark + turn.room, starts[copy][visit.exit] - turn.takes)
        if turn == first[turn.step]:
            soonest = came
        free = common(diary.free(part, soonest, last), [(soonest, last)])
        at = min((min(max(mark, low), high) for low, high in free), key=lambda at: abs(at - mark), default=None)
        if at is not None:
            diary.book(at, part)
        yield copy, turn.step, turn.mark, at
