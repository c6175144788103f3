"""Editions of eight printed by hands that are late: what becomes of the sheets, and of the records, one at a time and overlapped.

The person is a model and no measurement: one pair of hands that hears every call, answers it after a time drawn from a
lognormal curve (sigma 0.6), goes on with what it has begun when it is asked again, is interrupted at three calls of a
hundred for five to thirty seconds, taps only where it was late, and taps once more where the answer names another sheet
than was meant. An edition fails where a development is off by more than three seconds, or another bath by more than one
second beyond its least or most.

`python -m tests.bench late_hands` plays a hundred editions a line; `measure(1000)` takes ten times as long.
"""

import random
from dataclasses import dataclass, field
from pathlib import Path

from assistant.conductor.conductor import Conductor
from assistant.conductor.planner import EditionPlanner
from assistant.conductor.twins import NoJournal, RecordingDesk, SetClock
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
    tapped = misread = 0

    def answers(self) -> int:
        """How long until the hands answer a call."""
        away = self.chance.uniform(*AWAY) if self.interrupted and self.chance.random() < INTERRUPTED else 0
        return round(self.reaction * self.chance.lognormvariate(0, SIGMA) + away)

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
        self.tapped += 1
        if answer.kind in ("wait", "refused"):
            self.laid.add(meant)
            self.laying = 0
        elif answer.kind == "heard" and answer.copy == meant:
            copy = outcome.bench.copy(meant)
            self.laying = 0 if self.laying == meant else self.laying
            if isinstance(copy.place, InLight):
                self.free = ends(outcome.bench, copy) or at
            elif copy.step == 1:
                self.true[meant, 1] = at
        elif answer.copy not in (None, meant):
            self.misread += 1
            if not again:
                self.taps.append((at + 1_500 + self.answers(), -meant))


@dataclass(frozen=True)
class Printed:
    """How an edition went: whether it failed, taps and misread ones, records off by more than 1.5 s, and when it was through."""

    failed: bool
    taps: int
    misread: int
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
    return Printed(failed, person.tapped, person.misread, false, through)


def measure(runs: int) -> None:
    """The table, a line for each way of printing and each reaction."""
    texts = EDITION, EDITION.replace("flow: one at a time", "flow: overlap")
    alone, together = (Score(make_plan(loads(text).recipe, 8)) for text in texts)
    print(f"late hands, {runs} editions a line: failed %, taps misread %, stays told falsely an edition, through")
    for reaction, interrupted in ((500, False), (2_000, False), (2_000, True), (4_000, True)):
        own = Hands(pace=max(2_000, reaction))
        ways = (("one at a time", alone, None), ("overlapped", together, Hands()), ("own pace", together, own))
        for name, score, hands in ways:
            if name == "own pace" and own == Hands():
                continue
            found = [_one(score, hands, seed, reaction, interrupted) for seed in range(runs)]
            taps = sum(one.taps for one in found)
            failed, misread = sum(one.failed for one in found) / runs, sum(one.misread for one in found) / max(1, taps)
            false, through = sum(one.false for one in found) / runs, sum(one.through for one in found) / runs / 60_000
            who = f"{reaction / 1000:g} s{' and 3 %' if interrupted else ''}"
            print(f"  {who:12}{name:15}{100 * failed:6.1f}{100 * misread:7.2f}{false:7.2f}{through:8.1f} min", flush=True)


def run() -> None:
    """A hundred editions a line."""
    measure(100)


def _one(score: Score, hands: Hands | None, seed: int, reaction: int, interrupted: bool) -> Printed:
    person = Person(random.Random(seed), reaction, interrupted)
    return printed(score, person, None if hands is None else EditionPlanner(score, hands))
