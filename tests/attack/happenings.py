"""Random happenings at random moments of random sessions: taps, words, sleeps, readings, in any order and at any time."""

import random

from assistant.conductor.conductor import Conductor
from assistant.conductor.planner import planner_for
from assistant.conductor.rehearsal import Punctual
from assistant.conductor.twins import NoJournal, RecordingDesk, SetClock
from assistant.planning.hand_times import Hands
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from assistant.session.bench import Bench
from assistant.session.passing import beat, due
from assistant.session.view import face
from tests.attack import held
from tests.session import cards

EACH = 40
"""Happenings of one session."""
MOST_STACKED = 5
"""More sheets are not in the developer before the first is lifted."""
COPIES = (1, 1, 2, 2, 3, 4, 7)


class Heard(RecordingDesk):
    """A desk that nobody hears while the computer sleeps."""

    def sleep(self, since: int, until: int) -> None:
        """What was to sound after one moment and by another is heard by nobody."""
        self.until(since)
        for voice, cues in self._waiting.items():
            self._waiting[voice] = tuple(cue for cue in cues if cue.at > until)


class Kept(NoJournal):
    """A journal in memory."""

    def __init__(self) -> None:
        self.entries: list[tuple[int, h.Happening]] = []

    def append(self, at: int, happening: h.Happening, bench: Bench) -> None:
        self.entries.append((at, happening))


def drawn(chance: random.Random, bench: Bench) -> h.Happening:
    """One happening: a tap most often."""
    number = chance.choice((None, None, None, *range(len(bench.copies) + 3)))
    ago = chance.choice((0, 500, 3_000, 14_000, 60_000, 4_000_000))
    tray = chance.choice((*bench.plan.recipe.trays, "nowhere"))
    return chance.choice(
        (h.Tap(),) * 9
        + (h.Undo(), h.Void(number), h.Moved(number, ago), h.HoldPlan(), h.Go(), h.Go(), h.End(), h.SayAgain(), h.HowLong())
        + (h.Note("thin"), h.Another(), h.Fresh(tray))
        + (h.Reading(tray, chance.choice((-300.0, 15.0, 20.0, 23.5, 99.0))), h.Pick(chance.randrange(9)))
    )


def moment(chance: random.Random, bench: Bench, printer: Punctual) -> int:
    """When it happens: soon, much later, just about a change, or when a punctual hand would come."""
    soon, hand = due(bench), printer.next(bench)
    choices = [bench.now + chance.randrange(2_000), bench.now + chance.randrange(200_000)]
    choices += [soon + chance.choice((-1, 0, 1, 500, 14_999, 15_000, 15_001))] * 3 if soon is not None else []
    choices += [hand[0] + chance.choice((0, 0, 300, 4_000))] * 4 if hand is not None else []
    if chance.random() < 0.02:
        choices = [bench.now + chance.randrange(40_000_000)]
    return max(bench.now, chance.choice(choices))


def attack(seed: int) -> str:
    """What is wrong in one session of random happenings, "" where nothing is."""
    chance = random.Random(seed)
    card, copies = chance.choice((*cards.ALL, *cards.OVERLAPPED)), chance.choice(COPIES)
    score = card(min(copies, MOST_STACKED) if card is cards.stack else copies)
    clock, desk, journal = SetClock(), Heard(), Kept()
    conductor = Conductor(open_bench(score), clock, desk, journal, planner_for(score, Hands()))
    conductor.open()
    printer = Punctual()
    gone: dict[int, int] = {}
    for _ in range(EACH):
        before = conductor.bench
        clock.at = moment(chance, before, printer)
        if chance.random() < 0.5:
            conductor.beat()  # a wake may come, or not
            wrong = _looked_at(conductor, desk, gone)
            if wrong:
                return wrong
        happening = drawn(chance, before)
        if chance.random() < 0.03:
            happening = h.Woke(chance.randrange(conductor.bench.now, clock.at + 1))
            desk.sleep(happening.since, clock.at)
        desk.until(clock.at)
        settled = beat(before, clock.at) if not isinstance(happening, h.Woke) else before
        outcome = conductor.tell(happening)
        gone |= {copy.number: clock.at for copy in before.copies[len(outcome.bench.copies) :]}
        wrong = _told(settled, happening, outcome, desk) or _looked_at(conductor, desk, gone)
        if wrong:
            return f"after {happening} at {clock.at}: {wrong}"
    return _replayed(conductor, journal, clock.at)


def _told(before, happening, outcome, desk) -> str:
    after = outcome.bench
    if outcome.answer is None:
        return "no answer"
    if outcome.refused:
        if not outcome.answer.words:
            return "refused without a reason"
        if after.copies != before.copies and not isinstance(happening, h.Woke):
            return "refused, and yet it changed something"
        return ""
    if isinstance(happening, h.Tap | h.Moved) and not outcome.answer.words:
        return "a hand that is not told what it did"
    changed = [c.number for c, was in zip(after.copies, before.copies, strict=False) if c != was]
    named = outcome.answer.copy
    if isinstance(happening, h.Tap) and changed and named not in (None, *changed):
        return f"the answer names copy {named}, and {changed} changed"
    if isinstance(happening, h.Tap) and len(changed) == 1 and named is None and len(list(after.living())) > 1:
        return f"the answer names nobody, and copy {changed[0]} changed"
    return held.begun_unasked(before, after, desk.heard)


def _looked_at(conductor: Conductor, desk: RecordingDesk, gone: dict[int, int]) -> str:
    bench = conductor.bench
    soon = due(bench)
    if soon is not None and soon <= bench.now:
        return f"due in the past: {soon}"
    shown = face(bench)
    found = (held.white_light(bench, desk.heard, shown.light, gone), held.trays(bench), held.words(desk.heard[-8:]))
    return next(filter(None, (*found, *(held.stays(copy.stays) for copy in bench.copies))), "")


def _replayed(conductor: Conductor, journal: Kept, at: int) -> str:
    again = open_bench(conductor.bench.score)
    for told_at, happening in journal.entries:
        again = advance(again, happening, told_at).bench
    if beat(again, at) != beat(conductor.bench, at):
        return "replay is not the bench"
    return ""
