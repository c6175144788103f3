"""Hundreds of taps of one button in one session after another: early, late, twice, just at a change; and now and then held.

A happening of the other attack is a tap every third time; here nearly all are, so that every question meets a hand at
every moment. What must hold is found from what was heard: no light begins whose paper was not asked for since the last
light of that sheet, and every tap is answered with what it did, and for which copy.
"""

import random
from dataclasses import replace

from assistant.conductor.conductor import Conductor
from assistant.conductor.planner import planner_for
from assistant.conductor.twins import NoJournal, RecordingDesk, SetClock
from assistant.planning.hand_times import Hands
from assistant.score import words
from assistant.score.cues import Cue
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.advance import Outcome, open_bench
from assistant.session.bench import Bench
from assistant.session.copy import Copy
from assistant.session.hands import FOR_HANDS
from assistant.session.passing import beat
from assistant.session.place import InBath, InLight
from tests.session import cards

EACH = 250
"""Taps of one case."""
OVERLAPPED = 0.3
"""So many sessions have several copies in the baths at once: after each of their taps the planner works out the rest."""
ALONE = (*cards.ALL, cards.with_a_law)
HELD = 0.04
"""So many taps go on to be held: the tap is taken back and the plan is on hold."""
OFF = (-1, 0, 1, 300, 700, 2_000, 4_000, 4_001, 9_000, 14_999, 15_000, 15_001, 40_000)
"""How long after a call a hand comes (ms), about every limit that a tap is judged by."""


def attack(seed: int) -> str:
    """What is wrong in so many taps over random sessions, "" where nothing is."""
    chance, left = random.Random(seed), EACH
    while left > 0:
        score = drawn(chance)
        taps, wrong = session(chance, score, left)
        if wrong:
            return wrong
        left -= taps
    return ""


def drawn(chance: random.Random) -> Score:
    """A card in so many copies."""
    card = chance.choice(cards.OVERLAPPED if chance.random() < OVERLAPPED else ALONE)
    return card(chance.choice((1, 2, 2, 3, 4)))


def session(chance: random.Random, score: Score, most: int) -> tuple[int, str]:
    """One session until it is over, or so many taps are made: how many there were, and what was wrong."""
    clock, desk = SetClock(), RecordingDesk()
    conductor = Conductor(open_bench(score), clock, desk, NoJournal(), planner_for(score, Hands()))
    conductor.open()
    lit: dict[int, int] = {}
    for count in range(most):
        clock.at = moment(chance, conductor.bench)
        if chance.random() < 0.3:
            conductor.beat()  # a wake may come, or not
        desk.until(clock.at)
        before = beat(conductor.bench, clock.at)
        outcome = conductor.tell(h.Tap())
        wrong = told(before, outcome) or unasked(before, outcome.bench, desk.heard, lit)
        if wrong:
            return count + 1, f"tap {count + 1} at {clock.at} ms of {score.plan.recipe.title}: {wrong}"
        if chance.random() < HELD:
            clock.at += 1_200
            desk.until(clock.at)
            conductor.tell(h.Undo())
            conductor.tell(h.HoldPlan())
        if conductor.bench.finished and chance.random() < 0.5:
            return count + 1, ""
    return most, ""


def moment(chance: random.Random, bench: Bench) -> int:
    """When the next tap comes: at once again, soon, or about the next call for a hand."""
    if chance.random() < 0.25:
        return bench.now + chance.choice((0, 40, 200, 900, 2_000, 4_000, 9_000))
    calls = (cue.at for passage in bench.promised for cue in passage.cues if cue.at > bench.now and cue.kind in FOR_HANDS)
    call = min(calls, default=None)
    if call is None:
        return bench.now + chance.choice((1_000, 30_000, 300_000))
    return max(bench.now, call + chance.choice(OFF))


def told(before: Bench, outcome: Outcome) -> str:
    """An answer says what became of the sheet it names; where several are out it says which one that is."""
    answer, after = outcome.answer, outcome.bench
    if answer is None or not answer.words:
        return "a tap without an answer"
    if answer.words == words.ALL_DONE and not after.finished:
        return f"not all is done: {[copy.place for copy in after.living()]}"
    changed = [copy for copy, was in zip(after.copies, before.copies, strict=False) if copy != was]
    if outcome.refused or answer.kind == "wait":
        moved = [copy.number for copy in changed if type(copy.place) is not type(before.copy(copy.number).place)]
        return f"{answer.words!r}, and yet copies {moved} moved" if moved else ""
    if not changed:
        done = (after.held, after.one_by_one) != (before.held, before.one_by_one)
        return "" if done else f"nothing was done, and the answer is {answer.words!r}"
    among = before.in_company or after.in_company
    if answer.copy is None and len(changed) == 1 and among:
        return f"copy {changed[0].number} moved among others, and {answer.words!r} names nobody"
    named = next((copy for copy in changed if answer.copy in (None, copy.number)), None)
    if named is None:
        return f"{answer.words!r} is of copy {answer.copy}, and {[copy.number for copy in changed]} changed"
    done = became(before, after, named)
    if done not in answer.words:
        return f"copy {named.number}: {before.copy(named.number).place} to {named.place}; {done!r} is not in {answer.words!r}"
    if answer.copy is not None and among and words.number(answer.copy) not in answer.words:
        return f"several are out, and {answer.words!r} does not name copy {answer.copy}"
    return ""


def became(before: Bench, after: Bench, copy: Copy) -> str:
    """What the answer has to name of a sheet that a tap has changed."""
    place, was = copy.place, before.copy(copy.number).place
    if copy.void:
        return "void"
    if isinstance(place, InLight):
        return words.LIGHT
    if isinstance(was, InBath) and was.target is None and place == replace(was, target=place.target):
        return "first tone"
    return (after.score.name(place.step) or words.OUT).lower()


def unasked(before: Bench, after: Bench, heard: list[Cue], lit: dict[int, int]) -> str:
    """No light begins whose words had not begun since that sheet's last light, or since its last count-in was broken off.

    `lit` keeps when a light of a sheet was begun last.
    """
    for copy in after.copies:
        was = before.copies[copy.number - 1].place if copy.number <= len(before.copies) else None
        if not isinstance(copy.place, InLight) or copy.place == was:
            continue
        since = copy.place.since
        asks = [cue.at for cue in heard if cue.kind == "ask" and cue.copy == copy.number and cue.at <= since]
        if max(asks, default=-1) <= lit.get(copy.number, -1):
            return f"the light of copy {copy.number} was not asked for: asked at {asks}, begun at {since}"
        lit[copy.number] = since
    return ""
