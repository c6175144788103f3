"""Following the printer: the plan made anew with everything as it really happened.

The order of the hands is kept, what was done stands at its true moment, and the rest is as early as that lets it be.
Where the order no longer holds, exact lifts are booked first, then what lies in trays finds its time, then the rest,
each as early as it goes; from then on that order is kept. Plans are advice: what comes of one is told to the session.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from assistant.planning.among_copies import Starts, in_order
from assistant.planning.constraints import Contradiction, earliest
from assistant.planning.edition import Edition, inside
from assistant.planning.fitting import Block, Diary, fit
from assistant.planning.hand_work import SECOND, Visit, Work
from assistant.planning.insertion import Insertion, blocks_of, part_of
from assistant.planning.longest_ways import FAR

LATE_TURN = 10_000
"""A turn is called when the hands are free, so much later at most (ms): common practice, no source."""
TIGHTER = ((1, 0), (3, LATE_TURN))
"""First all that is kept in hand is kept, and every turn its time; then a third of it: it is there for late hands to use up."""


@dataclass(frozen=True)
class RealSheet:
    """A copy as it really is: the moments of its actions that are past or can't be moved (action -> ms).

    Its next action begins at `ready` at the soonest (ms; None: now). `left` is what remains of its laying and light where
    a part of that is done (ms; None: all of it, or nothing).
    """

    number: int
    fixed: Mapping[int, int]
    ready: int | None = None
    left: int | None = None


@dataclass(frozen=True)
class Followed:
    """When every action of every sheet begins, and by when the hands must be at the baths in use (ms; None: never).

    `anew`: an order of the hands was known for these sheets, and they were too late for it.
    """

    starts: Starts
    wanted_by: int | None
    anew: bool = False


class Following:
    """The plan of an edition and its order of the hands, as far as they still hold."""

    def __init__(self, edition: Edition) -> None:
        self.work, self.marks = edition.work, edition.marks
        most = {v.step: max(inside(edition, copy, v) for copy in range(edition.copies)) for v in self.work.visits}
        self._kept = {v.step: v.kept(self.work.hands.slack, most[v.step]) for v in self.work.visits}
        self._lag = _period(edition)
        self._order = [(copy + 1, k) for _, _, copy, k in edition.hands]

    def follow(self, sheets: Sequence[RealSheet], now: int) -> Followed:
        """The plan from now on (ms) for these sheets, in the order in which they go."""
        order = self._known(sheets)
        if order is not None:
            for share, late in TIGHTER:
                work, kept = self._tighter(share)
                if (starts := self._in_order(work, kept, late, order, sheets, now)) is not None:
                    return Followed(starts, self._wanted_by(sheets, starts))
        starts = self._refitted(sheets, now)
        at = sorted((begins, c, k) for c, row in enumerate(starts) for k, begins in enumerate(row))
        self._order = [(sheets[c].number, k) for _, c, k in at]
        return Followed(starts, self._wanted_by(sheets, starts), order is not None)

    def _tighter(self, share: int) -> tuple[Work, dict[int, int]]:
        hands = replace(self.work.hands, slack=self.work.hands.slack // share)
        kept = {step: ms // share // SECOND * SECOND for step, ms in self._kept.items()}
        return replace(self.work, hands=hands), kept

    def _known(self, sheets: Sequence[RealSheet]) -> list[tuple[int, int]] | None:
        """The order for these sheets, spoiled ones left out; None where one is new or its paper is half done."""
        place = {sheet.number: c for c, sheet in enumerate(sheets)}
        if any(sheet.left is not None for sheet in sheets) or not set(place) <= {number for number, _ in self._order}:
            return None
        return [(place[number], k) for number, k in self._order if number in place]

    def _in_order(
        self,
        work: Work,
        kept: Mapping[int, int],
        late: int,
        order: Sequence[tuple[int, int]],
        sheets: Sequence[RealSheet],
        now: int,
    ) -> Starts | None:
        """Everything as early as the order lets it be; None where it does not hold."""
        count = len(work.actions)
        floor, fixed = [now] * (count * len(sheets)), set()
        for c, sheet in enumerate(sheets):
            first = min((k for k in range(count) if k not in sheet.fixed), default=count)
            if first < count:
                floor[c * count + first] = now if sheet.ready is None else sheet.ready
            for k, at in sheet.fixed.items():
                floor[c * count + k] = at
                fixed.add(c * count + k)
        every = in_order(work, self.marks, order, len(sheets), kept, late)
        constraints = [c for c in every if not (c.first in fixed and c.then in fixed)]
        found = earliest(len(floor), constraints, floor=floor)
        if isinstance(found, Contradiction) or any(found[i] != floor[i] for i in fixed):
            return None
        return tuple(tuple(found[c * count : (c + 1) * count]) for c in range(len(sheets)))

    def _wanted_by(self, sheets: Sequence[RealSheet], starts: Starts) -> int | None:
        """By when the hands must be at the baths in use, each movement put off as long as its limit lets it (ms); None: never.

        What is done before the next sheet is laid does not count. A turn may be late; a lift that ends on its second has a
        third of its slack before it.
        """
        actions, marks = self.work.actions, self.marks
        laid = next((row[0] for row, sheet in zip(starts, sheets, strict=True) if 0 not in sheet.fixed), FAR)
        limits: list[tuple[int, int]] = []
        for row, sheet in zip(starts, sheets, strict=True):
            for visit in (visit for visit in self.work.visits if visit.entry in sheet.fixed):
                since = sheet.fixed[visit.entry] + actions[visit.entry].touch
                turns = [k for k in self.work.turns(visit) if k not in sheet.fixed and row[k] > laid]
                limits += [(since + marks[k] + LATE_TURN, actions[k].takes) for k in turns]
                if row[visit.exit] < laid:
                    continue
                if visit.exit in sheet.fixed:
                    limits.append((sheet.fixed[visit.exit] - self.work.hands.slack // 3, actions[visit.exit].takes))
                elif visit.most is not None:
                    limits.append((since + visit.most - actions[visit.exit].touch, actions[visit.exit].takes))
        wanted = FAR
        for at, takes in sorted(limits, reverse=True):
            wanted = min(at, wanted - takes)
        return wanted if wanted < FAR else None

    def _refitted(self, sheets: Sequence[RealSheet], now: int) -> Starts:
        fitted = [_Refit(self, self._kept, sheets, now, lag).run() for lag in sorted({0, self._lag})]
        return min(fitted, key=lambda starts: starts[-1][-1] if starts else 0)


def _period(edition: Edition) -> int:
    """How long after each other the last copies came into their first bath (ms)."""
    first = edition.work.visits[0].entry
    return edition.starts[-1][first] - edition.starts[-2][first] if edition.copies > 1 else 0


class _Refit:
    """Sheets fitted anew into the hands."""

    def __init__(self, plan: Following, kept: Mapping[int, int], sheets: Sequence[RealSheet], now: int, lag: int) -> None:
        self.work, self.marks, self.sheets, self.now = plan.work, plan.marks, sheets, now
        loosest = dict.fromkeys(kept, 0)
        self.ways = [blocks_of(self.work, self.marks, way) for way in (kept, loosest)]
        self.insertion = Insertion(self.work, self.ways[0], len(sheets), lag)

    def run(self) -> Starts:
        """Exact lifts first, then what lies in trays, then the rest."""
        insertion = self.insertion
        for row, sheet in zip(insertion.rows, self.sheets, strict=True):
            row.update({**sheet.fixed, **dict(self._held_together(sheet))})
            for k, at in row.items():
                action = self.work.actions[k]
                if at + action.takes > self.now and not self._in_the_light(sheet, k, at):
                    insertion.diary.book(at, part_of(action, k, 0, self.work.hands.slack))
        rows = zip(insertion.rows, self.sheets, strict=True)
        for turned, k in [(row, k) for row, sheet in rows for k, at in row.items() if self._in_the_light(sheet, k, at)]:
            self._turn_after_the_light(turned, k)
        being_laid = [c for c, sheet in enumerate(self.sheets) if 0 not in sheet.fixed and (sheet.ready or self.now) < self.now]
        for c in being_laid:
            self._go_on_laying(c)
        in_trays = [c for c, sheet in enumerate(self.sheets) if self._stay(sheet) is not None]
        for c in (*in_trays, *(c for c in range(len(self.sheets)) if c not in in_trays)):
            self._fit(c)
        return insertion.starts()

    def _in_the_light(self, sheet: RealSheet, k: int, at: int) -> bool:
        """Whether a turn that is still to come falls into a light that is on: nobody is called then."""
        lights = (other.fixed[0] + self.work.actions[0].takes for other in self.sheets if self.work.lit and 0 in other.fixed)
        return k not in sheet.fixed and self.work.actions[k].kind == "turn" and self.now <= at < max(lights, default=0)

    def _turn_after_the_light(self, row: dict[int, int], k: int) -> None:
        """As soon as the hands are free again, if that is soon enough."""
        part, at, diary = part_of(self.work.actions[k], k, 0), row[k], self.insertion.diary
        row[k] = next((low for low, _ in diary.free(part, at, at + LATE_TURN) if low <= at + LATE_TURN), at)
        diary.book(row[k], part)

    def _go_on_laying(self, c: int) -> None:
        """The hands are at its paper: that comes before what can wait, if it goes at all."""
        first, ready = self._shortened(self.ways[0], self.sheets[c])[0], self.sheets[c].ready or 0
        begins = fit([first], [max(ready, self.insertion.floor(c, first))], self.insertion.diary)
        if len(first.parts) == 1 and begins is not None and begins[0] <= self.now:
            self.insertion.book(c, [first], begins)

    def _held_together(self, sheet: RealSheet) -> Iterator[tuple[int, int]]:
        """What is still to come of a block that has begun: a rhythm, or an exact bath, holds it together."""
        for block in self.ways[0]:
            begun = [part for part in block.parts if part.action in sheet.fixed]
            if begun:
                anchor = sheet.fixed[begun[-1].action] - begun[-1].offset
                yield from ((part.action, anchor + part.offset) for part in block.parts if part.action not in sheet.fixed)

    def _stay(self, sheet: RealSheet) -> Visit | None:
        """The bath whose end is still to be found."""
        return next((v for v in self.work.visits if v.entry in sheet.fixed and v.exit not in sheet.fixed), None)

    def _fit(self, c: int) -> None:
        """Where it goes best; a bath that is over its most ends as soon as it can, whatever the hands do."""
        row, sheet = self.insertion.rows[c], self.sheets[c]
        for diary in (self.insertion.diary, Diary(0)):
            for blocks in self.ways:
                first = next((i for i, block in enumerate(blocks) if block.parts[-1].action not in row), None)
                if first is None:
                    return
                rest = self._shortened(blocks[first:], sheet)
                floors = [max(self.now, self.insertion.floor(c, block)) for block in rest]
                if sheet.ready is not None:
                    floors[0] = max(sheet.ready, self.insertion.floor(c, rest[0]))
                begins = fit(rest, floors, diary, self._behind(blocks, first, row))
                if begins is not None:
                    self.insertion.book(c, rest, begins)
                    return
        self._at_once(row)

    def _at_once(self, row: dict[int, int]) -> None:
        """Every action that is left as soon as the one before allows it."""
        actions = self.work.actions
        for k in range(len(actions)):
            if k not in row:
                stay = next((v for v in self.work.visits if v.entry < k <= v.exit), None)
                came = row[stay.entry] + actions[stay.entry].touch if stay is not None else 0
                due = 0 if stay is None else came + (stay.least - actions[k].touch if k == stay.exit else self.marks[k])
                row[k] = max(self.now, due, row[k - 1] + actions[k - 1].takes if k else 0)
                self.insertion.diary.book(row[k], part_of(actions[k], k, 0))

    def _shortened(self, blocks: Sequence[Block], sheet: RealSheet) -> list[Block]:
        """A sheet whose paper is half done needs less of the hands for the rest."""
        if sheet.left is None or blocks[0].parts[0].action:
            return list(blocks)
        first = replace(blocks[0], parts=(replace(blocks[0].parts[0], takes=sheet.left),))
        return [first, replace(blocks[1], least=sheet.left), *blocks[2:]]

    def _behind(self, blocks: Sequence[Block], first: int, row: Mapping[int, int]) -> int | None:
        """When the block before would have begun, by when the sheet came into the bath it is in."""
        if first == 0:
            return None
        leaves = blocks[first].parts[0].action
        anchor = next((v.entry for v in self.work.visits if v.exit == leaves), blocks[first - 1].parts[0].action)
        offset = next(part.offset for block in blocks for part in block.parts if part.action == anchor)
        return row[anchor] - offset
