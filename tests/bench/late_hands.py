"""Editions of eight printed by hands that are late: what becomes of the sheets, and of the records, one at a time and overlapped.

The person is a model and no measurement: one pair of hands that hears every call, answers it after a time drawn from a
lognormal curve (sigma 0.6), goes on with what it has begun when it is asked again, is interrupted at three calls of a
hundred for five to thirty seconds, and taps only where it was late. Where the answer names another sheet than was meant it
taps once more: the hand is at the button then, so that it takes a moment and no reaction to a call, but it too may be called
away. A tap is misread where it was first taken for another sheet, and left so where that second tap did not put it right. An
edition fails where a development is off by more than three seconds, or another bath by more than one
second beyond its least or most.

`python -m tests.bench late_hands` plays a hundred editions a line; `python -m tests.bench.late_hands 1000 2` a thousand, in two
processes.
"""

import random
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache, partial
from multiprocessing import Pool
from pathlib import Path

from assistant.conductor.conductor import Conductor
from assistant.conductor.planner import EditionPlanner
from assistant.conductor.twins import NoJournal, RecordingDesk, SetClock
from assistant.planning.among_copies import Starts, in_order
from assistant.planning.constraints import earliest
from assistant.planning.following import LATE_TURN, TIGHTER, Followed, Following, RealSheet
from assistant.planning.hand_times import Hands
from assistant.planning.plan import make_plan
from assistant.recipe.loader import loads
from assistant.score.cues import Cue
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.advance import Outcome, open_bench
from assistant.session.bench import ends
from assistant.session.passing import due
from assistant.session.place import InLight

EDITION = (Path(__file__).parents[2] / "recipes" / "slipway-edition.yaml").read_text(encoding="utf-8")
SIGMA, INTERRUPTED, AWAY = 0.6, 0.03, (5_000, 30_000)
NAMED, AGAIN = 1_500, (300, 2_000)
"""So long after a tap its answer has named the sheet (ms), and so long after that comes the second tap."""
PLACE, CARRY, CHANGE, TURN = 20_000, 10_000, 5_000, 3_000
WORTH_A_TAP = 1_000
"""A move so late (ms) is tapped; on its pip none is."""
DEVELOPMENT_OFF, BATH_OFF, RECORD_OFF = 3_000, 1_000, 1_500
FIRST_STATION = 4


@dataclass
class Person:
    """One pair of hands; moments in ms."""

    chance: random.Random
    reaction: int
    interrupted: bool
    free: int = 0
    taps: list[tuple[int, int]] = field(default_factory=list)
    """When it taps, and for which copy."""
    true: dict[tuple[int, int], int] = field(default_factory=dict)
    """Copy and step -> when the sheet really touched that bath."""
    laid: set[int] = field(default_factory=set)
    laying: int = 0
    first: dict[int, int] = field(default_factory=dict)
    """Copy -> when it was tapped for, while that is taken for another."""
    tapped = misread = put_right = 0

    def answers(self) -> int:
        """How long until the hands answer a call."""
        away = self.away()
        return round(self.reaction * self.chance.lognormvariate(0, SIGMA) + away)

    def away(self) -> float:
        """How long they are called away, now and then."""
        return self.chance.uniform(*AWAY) if self.interrupted and self.chance.random() < INTERRUPTED else 0

    def asked(self, cue: Cue) -> None:
        """A question: paper is laid, or a sheet carried to its bath."""
        copy = cue.copy or 0
        takes = CARRY if cue.step != "expose" else 1_500 if copy in self.laid else PLACE
        if any(tap[1] == copy for tap in self.taps):
            return  # the hands are at it
        self.laying = copy if cue.step == "expose" else 0
        begun = max(cue.at + self.answers(), self.free)
        self.free = begun + round(takes * self.chance.uniform(0.85, 1.15))
        self.taps.append((self.free, copy))

    def lifted(self, cue: Cue, pip: int, step: int) -> None:
        """A sheet is lifted at its call and goes in on its pip, if the hands are there in time; what was begun waits."""
        pending = [tap for tap in self.taps if tap[0] > cue.at and tap[1] == self.laying]
        busy = self.free if not pending else cue.at
        begun = max(cue.at + self.answers(), busy)
        real = max(pip + round(self.chance.uniform(0, 500)), begun + (pip - cue.at) // 2)
        self.true[cue.copy or 0, step + 1] = real
        for tap in pending:
            self.taps.remove(tap)
            self.taps.append((max(tap[0], real + CHANGE) + (real - cue.at), tap[1]))
        self.free = max([real, *(tap[0] for tap in self.taps if tap[1] == self.laying)])
        if real - pip > WORTH_A_TAP:
            self.taps.append((real, cue.copy or 0))

    def turned(self, cue: Cue) -> None:
        """A turn, where the hands are free within ten seconds."""
        if self.free <= cue.at + 10_000:
            self.free = max(cue.at + self.answers(), self.free) + TURN

    def answered(self, meant: int, outcome: Outcome, at: int, again: bool = False) -> None:
        """What the answer to a tap says, and what is done about it."""
        answer = outcome.answer
        if answer is None:
            return
        self.tapped += not again
        first = self.first.pop(meant, at) if again else at
        self.put_right += again and answer.copy == meant
        if answer.kind in ("wait", "refused"):
            self.laid.add(meant)
            self.laying = 0
        elif answer.kind == "heard" and answer.copy == meant:
            copy = outcome.bench.copy(meant)
            self.laying = 0 if self.laying == meant else self.laying
            if isinstance(copy.place, InLight):
                self.free = ends(outcome.bench, copy) or at
            elif copy.step == 1:
                self.true[meant, 1] = first
        elif answer.copy not in (None, meant) and not again:
            self.misread += 1
            self.first[meant] = at
            self.taps.append((round(at + NAMED + self.chance.uniform(*AGAIN) + self.away()), -meant))


@dataclass(frozen=True)
class Printed:
    """How an edition went: whether it failed, taps, misread ones and those left so, records off by more than 1.5 s, and when
    it was through.
    """

    failed: bool
    taps: int
    misread: int
    left: int
    false: int
    through: int


def printed(score: Score, person: Person, planner: EditionPlanner | None) -> Printed:
    """One edition up to the water in which all gather."""
    clock, desk = SetClock(), RecordingDesk()
    conductor = Conductor(open_bench(score), clock, desk, NoJournal(), planner)
    conductor.open()
    seen = 0
    for _ in range(5_000):
        bench = conductor.bench
        if all(copy.step >= FIRST_STATION for copy in bench.living()):
            break
        moments = [cue.at for passage in bench.promised for cue in passage.cues if cue.at > clock.at]
        moments += [at for at, _ in person.taps if at >= clock.at]
        moments += [at for at in [due(bench)] if at is not None]
        if not moments:
            break
        clock.at = max(clock.at, min(moments))
        desk.until(clock.at)
        conductor.beat()
        for cue in desk.heard[seen:]:
            _hears(person, conductor, cue)
        seen = len(desk.heard)
        for at, meant in [tap for tap in person.taps if tap[0] <= clock.at]:
            person.taps.remove((at, meant))
            outcome = conductor.tell(h.Tap())
            person.answered(abs(meant), outcome, clock.at, again=meant < 0)
        seen = len(desk.heard)
    return _judged(conductor, person)


def _hears(person: Person, conductor: Conductor, cue: Cue) -> None:
    bench = conductor.bench
    if cue.kind == "ask" and cue.copy is not None:  # to go on one at a time is no work of the hands: it is not taken
        person.asked(cue)
    elif cue.kind == "agitate" and cue.copy is not None:
        person.turned(cue)
    elif cue.kind == "lift" and cue.copy is not None:
        copy = bench.copy(cue.copy)
        end = ends(bench, copy)
        if end is not None and copy.step < FIRST_STATION:
            person.lifted(cue, end, copy.step)


def _judged(conductor: Conductor, person: Person) -> Printed:
    bench = conductor.bench
    steps = bench.plan.recipe.steps
    failed, false = not all(copy.step >= FIRST_STATION for copy in bench.living()), 0
    for (copy, step), came in person.true.items():
        recorded = next((stay.from_ms for stay in bench.copy(copy).stays if stay.step == step), bench.copy(copy).since)
        false += recorded is None or abs(recorded - came) > RECORD_OFF
        left = person.true.get((copy, step + 1))
        if left is None or step >= FIRST_STATION:
            continue
        lasted, found = left - came, steps[step]
        if found.kind == "develop":
            failed |= abs(lasted - (found.target or 0)) > DEVELOPMENT_OFF
        else:
            least, most = found.at_least or found.target or 0, found.at_most
            failed |= lasted < least - BATH_OFF or (most is not None and lasted > most + BATH_OFF)
    through = max((copy.since or 0 for copy in bench.copies), default=0)
    return Printed(failed, person.tapped, person.misread, person.misread - person.put_right, false, through)


@cache
def _score(flow: str) -> Score:
    return Score(make_plan(loads(EDITION.replace("flow: one at a time", f"flow: {flow}")).recipe, 8))


class FixedOrder(Following):
    """The plan made once, and its order of the hands only kept, whatever they really do."""

    def follow(self, sheets: Sequence[RealSheet], now: int) -> Followed:
        """Everything as early as the order lets it be; limits that can't be kept in it are broken."""
        place = {sheet.number: c for c, sheet in enumerate(sheets)}
        order = [(place[number], k) for number, k in self._order if number in place]
        for share, late in TIGHTER:
            work, kept = self._tighter(share)
            if (starts := self._in_order(work, kept, late, order, sheets, now)) is not None:
                return Followed(starts, self._wanted_by(sheets, starts))
        starts = self._without_limits(order, sheets, now)
        return Followed(starts, self._wanted_by(sheets, starts))

    def _without_limits(self, order: Sequence[tuple[int, int]], sheets: Sequence[RealSheet], now: int) -> Starts:
        count = len(self.work.actions)
        floor = [sheet.fixed.get(k, now) for sheet in sheets for k in range(count)]
        fixed = {c * count + k for c, sheet in enumerate(sheets) for k in sheet.fixed}
        every = in_order(self.work, self.marks, order, len(sheets), {}, LATE_TURN)
        found = earliest(len(floor), [c for c in every if c.least >= 0 and c.then not in fixed], floor=floor)
        assert isinstance(found, list), "an order of the hands by itself is no circle"
        return tuple(tuple(found[c * count : (c + 1) * count]) for c in range(len(sheets)))


class FixedPlanner(EditionPlanner):
    """The plan is made once, before copy one."""

    follows = FixedOrder


WAYS: dict[str, type[EditionPlanner] | None] = {
    "one at a time": None,
    "fixed order": FixedPlanner,
    "live": EditionPlanner,
    "own pace": EditionPlanner,
}
"""A way of printing -> who plans: "live" and the fixed order for hands as in the settings, "own pace" for these."""
LINES = ((500, False), (2_000, False), (2_000, True), (4_000, True))
"""After how long the hands answer a call (ms), and whether they are called away."""


def measure(editions: int, processes: int = 1) -> None:
    """The table, a line for each way of printing and each reaction; the figures do not depend on the number of processes."""
    print(f"late hands, {editions} editions a line: failed %, taps misread and left so %, stays told falsely an edition, through")
    with Pool(processes) as pool:
        for reaction, interrupted in LINES:
            for name in WAYS:
                if name == "own pace" and reaction <= Hands().pace:
                    continue  # that is the settings' own
                found = pool.map(partial(_one, name, reaction, interrupted), range(editions), chunksize=5)
                who = f"{reaction / 1000:g} s{' and 3 %' if interrupted else ''}"
                print(f"  {who:12}{name:15}{_figures(found)}", flush=True)


def _figures(found: Sequence[Printed]) -> str:
    taps, editions = max(1, sum(one.taps for one in found)), len(found)
    misread, left = (100 * sum(figures) / taps for figures in zip(*((one.misread, one.left) for one in found), strict=True))
    failed, false = 100 * sum(one.failed for one in found) / editions, sum(one.false for one in found) / editions
    through = sum(one.through for one in found) / editions / 60_000
    return f"{failed:6.1f}{misread:7.2f}{left:7.2f}{false:7.2f}{through:8.1f} min"


def run() -> None:
    """A hundred editions a line."""
    measure(100)


def _one(name: str, reaction: int, interrupted: bool, seed: int) -> Printed:
    person, planner = Person(random.Random(seed), reaction, interrupted), WAYS[name]
    if planner is None:
        return printed(_score("one at a time"), person, None)
    score = _score("overlap")
    hands = Hands(pace=reaction) if name == "own pace" else Hands()
    return printed(score, person, planner(score, hands))


if __name__ == "__main__":
    measure(*map(int, sys.argv[1:]))
