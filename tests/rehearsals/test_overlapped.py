"""Several copies in the baths at once: whole sessions under punctual, late and odd hands, judged by their log alone."""

import itertools
import json
import os
import random
from dataclasses import replace
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.conductor.beforehand import overlapped
from assistant.conductor.conductor import Conductor
from assistant.conductor.planner import planner_for
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.conductor.twins import NoJournal, RecordingDesk, SetClock
from assistant.history import own_pace
from assistant.history.course import course_of
from assistant.planning.hand_times import Hands
from assistant.planning.plan import make_plan
from assistant.recipe.loader import loads
from assistant.records.entries import happened
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench, replay
from assistant.session.bench import Bench, ends
from assistant.session.copy import Copy
from assistant.session.passing import beat, due
from assistant.session.place import AskedFor, Assumed, InBath, InLight, Waiting
from assistant.session.view import face
from tests.planning import invented
from tests.rehearsals.overlap_log import faults
from tests.session import cards

EDITION = (Path(__file__).parents[2] / "recipes" / "slipway-edition.yaml").read_text(encoding="utf-8")
OVERLAPPED = EDITION.replace("flow: one at a time", "flow: overlap")
INTO_THE_WATER = 4


def edition(copies: int, more: str = "") -> Score:
    return Score(make_plan(loads(OVERLAPPED + more).recipe, copies))


def kept_and_read(happening: h.Happening) -> h.Happening:
    name, details = h.as_row(happening)
    return happened(name, json.dumps(details))


def in_the_water(played) -> int:
    return max(stay.from_ms for stay in played.stays if stay.step == INTO_THE_WATER)


@pytest.fixture(scope="module")
def eight():
    return rehearse(edition(8), Punctual())


def test_eight_lie_in_the_water_after_half_an_hour_and_are_developed_alike(eight):
    alone = rehearse(Score(make_plan(loads(EDITION).recipe, 8)), Punctual())
    assert in_the_water(eight) < 31 * 60_000 < 43 * 60_000 < in_the_water(alone)
    assert {stay.lasted for stay in eight.stays if stay.kind == "develop"} == {120_000}
    assert all(stay.verdict == "good" for stay in eight.stays)
    assert eight.bench.finished


def test_the_log_of_eight_is_one_that_hands_can_follow(eight):
    assert faults(edition(8).plan.recipe, eight.heard, eight.stays) == []


def test_every_sheet_is_turned_early_in_its_fixer(eight):
    """One that is never moved there would tone unevenly: each has its first turn before others have more."""
    turned = [(cue.copy, cue.at) for cue in eight.heard if cue.kind == "agitate"]
    fixed = [stay for stay in eight.stays if stay.kind == "fix"]
    for stay in fixed:
        assert any(copy == stay.copy and 0 < at - stay.from_ms <= 40_000 for copy, at in turned), stay


def test_a_bath_in_which_the_hands_turn_no_sheet_is_named_before_the_session(eight):
    (said,) = overlapped(edition(8), Hands())
    unturned = [
        stay.copy for sheet in course_of(eight.bench).sheets for stay in sheet.stays if stay.kind == "stop" and stay.left_out
    ]
    assert said == f"No turn in the stop: sheets {', '.join(map(str, unturned))}. Move each well as it goes in."
    assert overlapped(edition(1), Hands()) == []


def test_one_rhythm_for_the_whole_edition(eight):
    begun = {stay.copy: stay.from_ms for stay in eight.stays if stay.kind == "develop"}
    over = {stay.copy: stay.to_ms for stay in eight.stays if stay.kind == "develop"}
    turns = {
        copy: tuple(c.at - at for c in eight.heard if c.kind == "agitate" and c.copy == copy and at < c.at < over[copy])
        for copy, at in begun.items()
    }
    assert len(set(turns.values())) == 1
    assert all(abs(turn - mark) <= 10_000 for turn, mark in zip(turns[1], (30_000, 60_000, 90_000), strict=True))


def test_one_copy_is_called_as_it_is_one_at_a_time():
    """Two copies of this recipe are turned at other times; a second sheet that comes in between takes no turn from the first."""
    text = invented.text(9, 1)
    card, alone = loads(text).recipe, loads(text.replace("flow: overlap\nfirst: in company\n", "")).recipe
    one = rehearse(Score(make_plan(alone, 1)), Punctual()).heard
    assert rehearse(Score(make_plan(card, 1)), Punctual()).heard == one
    evening = Evening(Score(make_plan(card, 1)))
    evening.follow(lambda bench: bench.copy(1).bath is not None)
    evening.tell(h.Another(), evening.bench.now + 5_000)
    evening.follow(lambda bench: bench.copies[-1].bath is not None and bench.copies[-1].step > 1)
    turns = [[cue for cue in heard if (cue.kind, cue.copy) == ("agitate", 1)] for heard in (evening.desk.heard, one)]
    assert [cue.at for cue in turns[0]] == [cue.at for cue in turns[1]]
    assert evening.bench.planned is not None, "from then on there are several"


@pytest.mark.parametrize("late", [0, 5_000])
def test_turns_that_nobody_was_called_for_are_kept_with_the_stay(late):
    """Counted from what was heard: the recipe's turns of a stay so long, less those that were called in it."""
    played = rehearse(edition(4), Punctual(late))
    turned = [(cue.copy, cue.at) for cue in played.heard if cue.kind == "agitate"]
    stays = [stay for sheet in course_of(played.bench).sheets for stay in sheet.stays if stay.step in (1, 2, 3)]
    for stay in stays:
        step = played.bench.plan.recipe.steps[stay.step]
        wanted = len(range(step.agitate.every, stay.lasted - step.drain - 2_000, step.agitate.every))
        called = sum(copy == stay.copy and stay.from_ms < at < stay.to_ms - step.drain for copy, at in turned)
        assert stay.left_out == max(0, wanted - called), stay
    assert any(stay.left_out for stay in stays)


@pytest.mark.parametrize("card", cards.OVERLAPPED)
def test_other_cards_too(card):
    score = card(4)
    played = rehearse(score, Punctual())
    assert faults(score.plan.recipe, played.heard, played.stays) == []
    assert played.bench.finished


@pytest.mark.parametrize("name", ["bleach-and-sepia", "boat-shed-door", "ferry-split-filter", "two-bath-fixing"])
def test_other_recipes_too(name):
    """Burns, a bath that is moved all the time, two fixing baths, two lights through two filters."""
    text = (Path(__file__).parents[2] / "recipes" / f"{name}.yaml").read_text(encoding="utf-8")
    text = "\n".join(line for line in text.splitlines() if not line.startswith("flow:")) + "\nflow: overlap\n"
    score = Score(make_plan(loads(text).recipe, 4))
    played = rehearse(score, Punctual())
    assert faults(score.plan.recipe, played.heard, played.stays) == []
    assert {stay.lasted for stay in played.stays if stay.kind == "develop"} == {score.plan.recipe.steps[1].target}


def test_every_turn_of_a_development_is_called_and_none_of_any_bath_twice_however_late():
    """A turn that falls into the light of another sheet, whose hand came late, is called when the light is over."""
    played = rehearse(edition(5), Punctual(8_000))
    for stay in (stay for stay in played.stays if stay.step in (1, 2, 3)):
        step = played.bench.plan.recipe.steps[stay.step]
        turns = [cue.at for cue in played.heard if (cue.kind, cue.copy) == ("agitate", stay.copy)]
        within = sorted(at for at in turns if stay.from_ms < at < stay.to_ms)
        assert all(after - before >= min(8_000, step.agitate.every // 2) for before, after in itertools.pairwise(within)), stay
        assert stay.kind != "develop" or len([at for at in within if at < stay.to_ms - step.drain]) == 3, stay


def test_a_turn_that_was_put_off_is_still_called_whatever_is_told_meanwhile():
    evening = Evening(edition(3))
    evening.follow(lambda bench: bench.planned is not None and any(one[1] == 1 for one in bench.planned.turns), Punctual(8_000))
    number, _, turns = next(one for one in evening.bench.planned.turns if one[1] == 1)
    marks = dict(evening.bench.planned.rhythm)[1]
    mark, put_off = next((mark, at) for mark, at in zip(marks, turns, strict=True) if at > mark)
    since = evening.bench.copy(number).since
    evening.tell(h.Fresh("toner"), since + (mark + put_off) // 2)
    evening.until(since + put_off)
    assert (since + put_off, number) in [(cue.at, cue.copy) for cue in evening.desk.heard if cue.kind == "agitate"]


def test_late_hands_are_followed():
    """Every move comes late: developments are as late, and alike; no bath goes beyond its most."""
    played = rehearse(edition(6), Punctual(5_000))
    assert {stay.lasted for stay in played.stays if stay.kind == "develop"} == {125_000}
    assert [stay for stay in played.stays if stay.kind != "develop" and stay.verdict != "good"] == []
    assert in_the_water(played) < 6 * 5 * 60_000


def test_in_company_from_the_first_waives_the_look():
    alone, together = (rehearse(edition(3, more), Punctual()) for more in ("", "first: in company\n"))
    assert in_the_water(together) < in_the_water(alone) - 60_000
    asked = [[cue.words for cue in played.heard if cue.kind == "ask"] for played in (alone, together)]
    assert [any("safelight" in words for words in said) for said in asked] == [True, False], "no white light, no safelight"


class Kept(NoJournal):
    """A journal in memory."""

    def __init__(self) -> None:
        self.entries: list[tuple[int, h.Happening]] = []

    def append(self, at, happening, bench) -> None:
        self.entries.append((at, happening))


class Evening:
    """A conductor on a clock of its own, worked by hand."""

    def __init__(self, score: Score) -> None:
        self.clock, self.desk, self.journal = SetClock(), RecordingDesk(), Kept()
        self.conductor = Conductor(open_bench(score), self.clock, self.desk, self.journal, planner_for(score, Hands()))
        self.conductor.open()

    @property
    def bench(self):
        return self.conductor.bench

    def until(self, at: int) -> None:
        while (moment := due(self.bench)) is not None and moment <= at:
            self.clock.at = moment
            self.desk.until(moment)
            self.conductor.beat()
        self.clock.at = at
        self.desk.until(at)
        self.conductor.beat()

    def tell(self, happening: h.Happening, at: int):
        self.until(at)
        return self.conductor.tell(happening)

    def follow(self, until, printer: Punctual | None = None) -> None:
        """A punctual printer's hands, as long as `until` does not hold."""
        printer = printer or Punctual()
        for _ in range(500):
            if until(self.bench):
                return
            moment, hand = due(self.bench), printer.next(self.bench)
            if hand is None or (moment is not None and moment <= hand[0]):
                assert moment is not None, "nothing more happens"
                self.until(moment)
            else:
                self.tell(hand[1], hand[0])
                printer.played(hand)
        raise AssertionError("it never came to that")


def asked_for(number: int):
    return lambda bench: any(ask.copies == (number,) and bench.copy(number).boxed for ask in bench.asks)


def test_a_replay_never_plans(eight, monkeypatch):
    """The journal's happenings alone make the bench again; what the planner would say by then is never asked."""
    evening = Evening(edition(3))
    evening.follow(lambda bench: all(copy.step >= INTO_THE_WATER for copy in bench.copies))
    assert sum(isinstance(happening, h.Planned) for _, happening in evening.journal.entries) > 3
    monkeypatch.setattr("assistant.planning.following.Following.follow", lambda *given: 1 / 0)
    again = open_bench(edition(3))
    for at, happening in evening.journal.entries:
        again = advance(again, kept_and_read(happening), at).bench
    assert beat(again, evening.bench.now) == evening.bench


def test_what_is_written_of_a_plan_is_read_again_as_it_was():
    planned = h.Planned(((1, 2, 30_000),), ((1, (20_000, 70_000)),), ((1, 3, ()),), h.NextAsk(2, 0, 0, 5_000, None))
    assert kept_and_read(planned) == planned


def test_a_question_closes_for_a_lift_and_opens_again_in_the_next_gap():
    evening = Evening(edition(3))
    evening.follow(asked_for(3))
    first, two = evening.bench.asks[0], evening.bench.copy(2)
    evening.until(two.since + two.target)
    assert evening.bench.asks == ()
    assert isinstance(evening.bench.copy(3).place, AskedFor)
    evening.follow(asked_for(3))
    assert evening.bench.asks[0].at > first.at
    evening.until(evening.bench.now + 1_800_000)  # with nothing in a bath it never closes
    assert [ask.copies for ask in evening.bench.asks] == [(3,)]


def test_an_open_question_is_said_again_after_anothers_pip_and_then_a_tap_answers_it():
    """One goes into the stop on its pip while the light for two is asked for: nothing was late, and the tap is two's."""
    score = Score(make_plan(loads(OVERLAPPED + "first: in company\n").recipe, 2))
    bench = open_bench(score)
    for happening, at in ((h.Tap(), 10_000), (h.Tap(), 40_000), (h.Planned(ask=h.NextAsk(2, 0, 0, 150_000)), 41_000)):
        bench = advance(bench, happening, at).bench
    pip = 160_000
    said = sorted(cue.at for passage in bench.promised for cue in passage.cues if cue.kind == "ask" and cue.at < 200_000)
    assert said == [150_000, pip + 4_000, pip + 34_000]  # into the stop, and into the fixer
    late, answered = (advance(bench, h.Tap(), pip + after) for after in (3_000, 6_000))
    assert (late.answer.copy, answered.answer.copy) == (1, 2)
    assert late.bench.copy(1).since == pip + 3_000
    assert isinstance(answered.bench.copy(2).place, InLight)


def test_a_light_that_would_meet_a_lift_has_to_wait_and_the_sheet_counts_as_laid():
    evening = Evening(edition(3))
    evening.follow(asked_for(3))
    two = evening.bench.copy(2)
    lift = two.since + two.target - 15_000
    answer = evening.tell(h.Tap(), lift - 4_000).answer
    assert answer.kind == "wait"
    assert answer.words == "wait. two lifts in four"
    assert evening.bench.copy(3).place.laid
    evening.until(lift + 1_000)
    assert not any(isinstance(copy.place, InLight) for copy in evening.bench.copies)
    evening.follow(lambda bench: isinstance(bench.copy(3).place, InLight))
    said = [cue.words for cue in evening.desk.heard if cue.kind == "ask" and cue.at > lift]
    assert said[0] == "three. tap when ready"
    begun = evening.bench.copy(3).place.since
    calls = [cue.at for cue in evening.desk.heard if cue.kind in ("lift", "pip") and cue.copy == 2]
    assert all(not begun <= at <= begun + 12_600 for at in calls)


def test_a_tap_that_has_to_wait_and_tells_nothing_new_is_none_to_undo():
    """Two was said to lie there by the first tap alone: undo takes that back, whatever was tapped in vain since."""
    score = Score(make_plan(loads(OVERLAPPED + "first: in company\n").recipe, 2))
    bench = open_bench(score)
    for happening, at in ((h.Tap(), 10_000), (h.Tap(), 40_000), (h.Planned(ask=h.NextAsk(2, 0, 0, 120_000)), 41_000)):
        bench = advance(bench, happening, at).bench
    said, refused = [], []
    for happening, at in ((h.Tap(), 135_000), (h.Tap(), 141_000), (h.Undo(), 142_000), (h.Undo(), 143_000)):
        outcome = advance(bench, happening, at)
        bench, said, refused = outcome.bench, [*said, outcome.answer.words], [*refused, outcome.refused]
    undone = ["undone: copy two is not laid", "undone: copy one is not in the developer"]
    assert said == ["wait. one lifts in ten", "wait. one lifts in four", *undone]
    assert refused == [False, True, False, False], "a button that is held takes back what its own press did"
    assert bench.copy(2).place == AskedFor(120_000)


def test_an_undo_takes_the_plans_back_that_were_made_with_its_hand():
    """One is fixed until 390 s as planned; the plan after its early move knows nothing of that bath any more."""
    score = Score(make_plan(loads(OVERLAPPED + "first: in company\n").recipe, 2))
    bench = open_bench(score)
    planned = (h.Planned(stays=((1, 3, 200_000),)), 41_000)
    moved = ((h.Tap(), 387_000), (h.Planned(), 387_000))
    for happening, at in ((h.Tap(), 10_000), (h.Tap(), 40_000), planned, *moved, (h.Undo(), 388_000)):
        bench = advance(bench, happening, at).bench
    assert (bench.copy(1).step, ends(bench, bench.copy(1))) == (3, 390_000)


def test_a_second_tap_hands_the_first_to_the_other_sheet():
    """A tap that was late for two's pip is taken for three's light; tapped once more it is two's, and the light is broken off."""
    evening = Evening(edition(4))
    evening.follow(lambda bench: isinstance(bench.copy(2).place, InBath) and bench.copy(2).step == 2)
    pip = evening.bench.copy(2).since
    evening.follow(lambda bench: bool(bench.asks))
    asked = evening.bench.asks[0].at
    early = advance(evening.bench, h.Tap(), asked + 4_500).answer
    assert early.copy == 2, "nobody has carried a sheet so soon"
    first = evening.tell(h.Tap(), asked + 5_000)
    assert first.answer.copy == 3
    for later in (0, 1_000):
        noted = advance(first.bench, h.Note("a clink"), first.bench.now + later)
        tapped = advance(noted.bench, h.Tap(), first.bench.now + 2_000)
        assert [words for _, words in tapped.bench.notes] == ["a clink"], "what was told since the first tap is not lost"
    second = evening.tell(h.Tap(), first.bench.now + 2_000)
    assert second.answer.copy == 2
    assert "copy two" in second.answer.words
    assert all(ask.at > second.bench.now for ask in second.bench.asks), "what was taken back is asked anew"
    assert evening.bench.copy(2).since == first.bench.now
    assert evening.bench.copy(2).since > pip
    assert not isinstance(evening.bench.copy(3).place, InBath)
    again = open_bench(edition(4))
    for at, happening in evening.journal.entries:
        again = advance(again, happening, at).bench
    assert beat(again, evening.bench.now) == evening.bench


def test_a_second_tap_takes_no_light_back_that_is_over_and_answers_what_was_asked_since():
    """Half a second of light for two, while a tap may still say that one went into the fixer late."""
    expose = {**cards.EXPOSE, "time": "0.5 s", "count_in": "0.1 s"}
    card = cards.recipe(expose, cards.DEVELOP, cards.STOP, cards.FIX, cards.HOLD, copies=3, flow="overlap")
    sheets = Copy(1, Assumed(3, 995_000, 120_000, 1_025_000)), Copy(2), Copy(3)
    bench = Bench(Score(make_plan(card)), sheets, now=1_000_000, planned=h.Planned())
    bench = advance(bench, h.Planned(ask=h.NextAsk(2, 0, 0, 1_000_000)), 1_000_000).bench
    lit = advance(bench, h.Tap(), 1_010_000)
    assert (lit.answer.copy, lit.answer.words) == (2, "copy two, light")
    again = advance(lit.bench, h.Tap(), 1_012_000)
    assert (again.answer.copy, again.bench.copy(1).since) == (1, 1_010_000)
    assert [stay.lasted for stay in again.bench.copy(2).stays] == [500]
    answered = advance(lit.bench, h.Tap(), 1_013_000)
    assert answered.answer.words == "copy two, developer"


def test_a_second_tap_answers_the_pip_that_came_since_the_first():
    """Two goes into the developer while one drains above the fixer; a tap after the pip of one takes nothing of two back."""
    sheets = Copy(1, InBath(3, 883_000, 120_000)), Copy(2, Waiting(1, 0, 980_000)), Copy(3)
    bench = Bench(cards.overlapped(), sheets, now=985_000, planned=h.Planned())
    bench = advance(bench, h.Planned(ask=h.NextAsk(2, 1, 0, 985_000)), 985_000).bench
    pip = ends(bench, bench.copy(1))
    first = advance(bench, h.Tap(), pip - 2_000)
    assert first.answer.words == "copy two, developer"
    before, after = (advance(first.bench, h.Tap(), pip + since) for since in (-500, 1_000))
    assert before.answer.words.endswith(". copy two is not in the developer"), "what is taken back is said"
    assert after.answer.words == "copy one, holding water"
    assert after.bench.copy(1).since == pip + 1_000
    assert after.bench.copy(2).since == pip - 2_000


@pytest.mark.parametrize("seed", [6, 36])
def test_an_undo_asks_anew_on_replay_too(seed):
    """A tap after an undo answers what the undo has asked: taken again without that question it would mean something else."""
    chance, evening = random.Random(seed), Evening(edition(3))
    words = {"tap": h.Tap(), "undo": h.Undo(), "moved": h.Moved(None, 3_000)}
    for _ in range(60):
        at = evening.bench.now + chance.choice((500, 2_000, 3_000, 8_000, 15_000, 30_000))
        what = chance.choice(("tap", "tap", "tap", "undo", "none", "moved"))
        if what == "none":
            evening.until(at)
            continue
        evening.tell(words[what], at)
        assert replay(evening.bench, evening.bench.history, evening.bench.now).copies == evening.bench.copies


def test_two_taps_for_two_pips_are_taken_in_the_order_of_the_calls():
    """One's pip at 1 s, two's at 14 s, both missed: the first tap alone would be two's, the second says that it was one's."""
    sheets = Copy(1, InBath(3, 881_000, 120_000)), Copy(2, InBath(1, 894_000, 120_000)), Copy(3)
    bench = Bench(cards.overlapped(), sheets, now=1_000_000, planned=h.Planned())
    first = advance(bench, h.Tap(), 1_020_000)
    assert (first.answer.copy, first.bench.copy(2).since) == (2, 1_020_000)
    noted = advance(first.bench, h.Note("wet"), 1_025_000).bench
    second = advance(first.bench, h.Tap(), 1_027_000)
    assert second.answer.words == "copy one, holding water, late by one nine seconds. copy two, stop, late by one three seconds"
    assert [copy.since for copy in second.bench.copies[:2]] == [1_020_000, 1_027_000]
    assert second.bench.late == (19_000, 13_000)
    assert advance(noted, h.Tap(), 1_027_000).bench.copy(2).since == 1_020_000, "something else came in between"
    again = advance(second.bench, h.Tap(), 1_029_000)
    assert (again.answer.copy, again.bench.copy(1).since) == (None, 1_020_000)
    early = advance(bench, h.Tap(), 1_015_000).bench
    assert advance(early, h.Tap(), 1_030_500).bench.copy(2).since == 1_015_000, "too far apart: two's time was right"
    spoken = advance(bench, h.Tap(ago=8_000), 1_024_000).bench
    assert spoken.copy(2).since == 1_016_000
    assert advance(spoken, h.Tap(), 1_026_000).bench.copy(1).since == 1_016_000, "what was said in words counts from its moment"


def test_two_taps_for_a_pip_and_a_question_after_it_are_taken_in_that_order_too():
    evening = Evening(edition(3))
    evening.follow(lambda bench: any(ask.copies == (3,) and ask.step == 1 for ask in bench.asks))
    asked = evening.bench.asks[0].at
    assert evening.tell(h.Tap(), asked + 8_000).answer.copy == 3
    after = evening.tell(h.Tap(), asked + 19_000)
    assert after.answer.words == "copy two, stop, late by one five seconds. copy three, developer"
    assert [after.bench.copy(n).since for n in (2, 3)] == [asked + 8_000, asked + 19_000]
    again = open_bench(edition(3))
    for at, happening in evening.journal.entries:
        again = advance(again, happening, at).bench
    assert beat(again, evening.bench.now) == evening.bench


def test_whoever_was_away_for_half_a_minute_is_still_heard():
    """Two went into the fixer twenty five seconds late: its time counts from there, and is not cut."""
    evening = Evening(edition(2))
    evening.follow(lambda bench: isinstance(bench.copy(2).place, InBath) and bench.copy(2).step == 3)
    pip = evening.bench.copy(2).since
    answer = evening.tell(h.Tap(), pip + 25_000).answer
    assert answer.words == "copy two, fixer, late by twenty five seconds"
    assert evening.bench.copy(2).since == pip + 25_000
    assert evening.bench.copy(2).stays[-1].verdict == "good"


def test_a_tap_for_a_closed_question_goes_before_a_pip_long_past():
    """Two's paper was asked for before one's pip, and one is being lifted out of its stop: whoever taps has laid two."""
    score = Score(make_plan(loads(OVERLAPPED + "first: in company\n").recipe, 2))
    bench = open_bench(score)
    ask = h.NextAsk(2, 0, 0, 150_000, closes=170_000, soonest=8_000)
    for happening, at in ((h.Tap(), 10_000), (h.Tap(), 40_000), (h.Planned(ask=ask), 41_000)):
        bench = advance(bench, happening, at).bench
    pip = 160_000
    answers = [advance(bench, h.Tap(), pip + after).answer for after in (14_000, 18_000)]
    assert [(answer.kind, answer.copy) for answer in answers] == [("heard", 1), ("wait", 2)]


def test_a_tap_in_the_drain_cuts_no_bath():
    evening = Evening(edition(3))
    evening.follow(lambda bench: isinstance(bench.copy(2).place, InBath) and bench.copy(2).step == 1)
    two = evening.bench.copy(2)
    lift = two.since + two.target - 15_000
    evening.tell(h.Tap(), lift + 4_000)
    assert evening.bench.copy(2).step == 1
    assert evening.tell(h.Tap(), lift + 12_000).answer.copy == 2
    assert evening.bench.copy(2).step == 2


def test_a_slow_answer_to_a_question_is_not_taken_for_a_sheet_that_drains():
    """Three is asked into the developer while two drains over the stop: whoever taps before two's pip has put three in."""
    evening = Evening(edition(3))
    evening.follow(lambda bench: any(ask.copies == (3,) and ask.step == 1 for ask in bench.asks))
    two = evening.bench.copy(2)
    assert two.step == 2
    pip = ends(evening.bench, two)
    evening.until(pip - 4_000)
    assert evening.bench.asks != ()
    assert evening.conductor.tell(h.Tap()).answer.copy == 3


def test_after_a_sleep_one_move_is_named_the_development_first():
    evening = Evening(edition(4))
    evening.follow(lambda bench: bench.copy(3).bath is not None and bench.copy(3).step == 1 and bench.copy(2).step == 3)
    since = evening.bench.now + 1_000
    evening.until(since)
    evening.clock.at = since + 600_000
    said = evening.conductor.tell(h.Woke(since)).answer.words
    assert "copy three" in said
    assert "copy two" not in said
    assert evening.bench.asks == ()
    assert evening.conductor.tell(h.Tap()).answer.copy == 3
    assert evening.tell(h.Tap(), evening.bench.now + 8_000).answer.copy == 2


def test_after_a_sleep_a_full_tray_is_emptied_first():
    evening = Evening(edition(4))
    evening.follow(lambda bench: bench.copy(3).bath is not None and bench.copy(3).step == 2)
    evening.follow(lambda bench: bench.copy(4).bath is not None and bench.copy(4).step == 1)
    since = max(evening.bench.now, 1 + (evening.bench.copy(3).since or 0))
    assert evening.bench.copy(3).step == 2, "three is still in the stop, which holds one"
    evening.clock.at = since + 600_000
    assert "copy three" in evening.conductor.tell(h.Woke(since)).answer.words
    assert evening.conductor.tell(h.Tap()).answer.copy == 3
    assert evening.tell(h.Tap(), evening.bench.now + 8_000).answer.copy == 4


def test_on_hold_exposed_sheets_are_still_developed_and_no_new_one_is_asked_for():
    evening = Evening(edition(4))
    evening.follow(lambda bench: isinstance(bench.copy(3).place, InLight))
    answer = evening.tell(h.HoldPlan(), evening.bench.now + 13_000).answer
    assert answer.words == "on hold. no new copy"  # three waits for its bath: nobody knows when it will be through
    evening.follow(lambda bench: bench.copy(3).bath is not None)
    evening.tell(h.Go(), evening.bench.now + 1_000)
    said = evening.tell(h.HoldPlan(), evening.bench.now + 1_000).answer.words
    assert said.startswith("on hold. no new copy. the last is in the holding water in five minutes ")
    evening.follow(lambda bench: all(copy.step == INTO_THE_WATER for copy in bench.copies[:3]))
    assert evening.bench.copies[3].boxed
    assert evening.bench.asks == ()
    evening.tell(h.Go(), evening.bench.now + 60_000)
    evening.follow(lambda bench: bench.copy(4).step == INTO_THE_WATER)


def test_how_long_begins_with_how_long_no_hand_is_wanted():
    evening = Evening(edition(3))
    evening.follow(lambda bench: bench.copy(2).bath is not None and bench.copy(2).step == 1)
    assert evening.conductor.tell(h.HowLong()).answer.words.startswith("free for ")


def test_a_reading_changes_the_plan_with_the_development():
    law = OVERLAPPED.replace("drain: 15 s", "drain: 15 s\n      temperature_law: {coefficient: 2}", 1)
    score = Score(make_plan(loads(law).recipe, 4))
    evening = Evening(score)
    evening.follow(lambda bench: bench.copy(2).bath is not None and bench.copy(2).step == 1)
    evening.tell(h.Reading("developer", 21.0), evening.bench.now + 1_000)
    evening.follow(lambda bench: all(copy.step >= INTO_THE_WATER for copy in bench.copies))
    lasted = [stay.lasted for copy in evening.bench.copies for stay in copy.stays if stay.kind == "develop"]
    assert lasted[:2] == [120_000, 120_000]
    assert lasted[2] == lasted[3] < 120_000


def test_the_screen_counts_to_the_next_hand_and_knows_when_hands_are_free():
    evening = Evening(edition(3))
    evening.follow(lambda bench: bench.copy(2).bath is not None and bench.copy(2).step == 1)
    shown = face(evening.bench)
    first = min(cue.at for passage in evening.bench.promised for cue in passage.cues if cue.kind in ("agitate", "ask", "lift"))
    assert shown.free == first - evening.bench.now
    assert "two turns now" in [one.words for one in shown.coming]
    two = evening.bench.copy(2)
    lift = two.since + two.target - 15_000
    evening.until(lift - 9_000)
    shown = face(evening.bench).urgent
    assert (shown.copy, shown.ms, shown.then, shown.target, shown.planned) == (2, 9_000, "lift", 120_000, None)
    evening.until(lift + 5_000)
    shown = face(evening.bench).urgent
    assert (shown.copy, shown.ms, shown.then, shown.called) == (2, 10_000, "lift, then into the stop", True)
    assert face(evening.bench).free is None, "the hands hold a sheet that drains"


@pytest.fixture(scope="module")
def slow():
    """An evening whose hands answer twelve seconds late, when it was just offered to go on one at a time."""
    evening = Evening(edition(8))
    evening.follow(lambda bench: bench.offer is not None, Punctual(12_000))
    evening.until(evening.bench.offer)
    return evening


def test_hands_that_are_too_slow_again_and_again_are_offered_one_at_a_time(slow):
    bench = slow.bench
    assert slow.desk.heard[-1].words == "one at a time? tap for yes"
    assert (face(bench).tap, face(bench).wanted.ask) == ("go on one at a time", "one at a time")
    assert bench.asks == ()
    assert sum(told.happening.anew for told in bench.history if isinstance(told.happening, h.Planned)) == 4
    assert not beat(bench, bench.now + 8_001).one_by_one
    assert "one at a time" not in face(beat(bench, bench.now + 8_001)).tap


def test_taken_the_rest_goes_one_at_a_time_and_undone_it_does_not(slow):
    at, before = slow.bench.now + 2_000, slow.bench
    taken = slow.tell(h.Tap(), at)
    assert taken.answer.words == "one at a time from the next sheet on"
    undone = advance(taken.bench, h.Undo(), at + 1_000)
    assert (undone.answer.words, undone.bench.one_by_one) == ("undone: several at a time again", False)
    out = {copy.number for copy in before.living() if not copy.boxed}
    slow.follow(lambda bench: all(copy.step >= INTO_THE_WATER for copy in bench.copies))
    later = [copy for copy in slow.bench.copies if copy.number not in out]
    lit = [(copy.stays[0].from_ms, copy.stays[-1].to_ms) for copy in later]
    assert len(later) > 1
    assert all(last < first for (_, last), (first, _) in itertools.pairwise(lit))
    assert {stay.lasted for copy in later for stay in copy.stays if stay.kind == "develop"} == {120_000}
    again = open_bench(edition(8))
    for moment, happening in slow.journal.entries:
        again = advance(again, kept_and_read(happening), moment).bench
    assert beat(again, slow.bench.now) == slow.bench


def test_a_pace_is_proposed_from_taps_that_came_late(slow):
    quick = rehearse(edition(3), Punctual(1_500)).bench
    assert own_pace.proposed(quick, Hands()) == ""  # the plan leaves room for two seconds
    late = rehearse(edition(3), Punctual(3_500)).bench
    said = own_pace.proposed(late, Hands())
    assert said.startswith("Your taps came 4 seconds late at 9 of 9 moves: `hands.pace = 4` in the settings ")
    assert own_pace.proposed(late, Hands(pace=4_000)) == ""
    own = edition(3, "hands: {pace: 3 s}\n")
    assert "`pace: 4 s` among the recipe's `hands`" in own_pace.proposed(rehearse(own, Punctual(3_500)).bench, Hands())
    assert own_pace.proposed(rehearse(Score(make_plan(loads(EDITION).recipe, 2)), Punctual(3_500)).bench, Hands()) == ""


FAULTY = {
    "two in a tray at one moment": lambda stays: [
        replace(s, from_ms=next(o.to_ms for o in stays if o.copy == 2 and o.step == 1)) if (s.copy, s.step) == (3, 1) else s
        for s in stays
    ],
    "a development cut by five seconds": lambda stays: [
        replace(s, to_ms=s.to_ms - 5_000) if (s.copy, s.step) == (4, 1) else s for s in stays
    ],
    "a fixer beyond its most": lambda stays: [
        replace(s, to_ms=s.from_ms + 301_000) if (s.copy, s.step) == (5, 3) else s for s in stays
    ],
}


@pytest.mark.parametrize("fault", FAULTY)
def test_the_judge_of_logs_sees_a_wrong_stay(eight, fault):
    assert faults(edition(8).plan.recipe, eight.heard, FAULTY[fault](eight.stays)) != []


WRONG = [("lift", 3, 900_000), ("ask", 4, -8_000), ("agitate", 5, 12_000), ("safe", 8, -60_000), ("ask", 2, -1_000)]


@pytest.mark.parametrize(("kind", "copy", "by"), WRONG)
def test_the_judge_of_logs_hears_a_wrong_call(eight, kind, copy, by):
    wrong = [cue._replace(at=cue.at + by) if (cue.kind, cue.copy) == (kind, copy) else cue for cue in eight.heard]
    assert faults(edition(8).plan.recipe, wrong, eight.stays) != []


def test_the_judge_of_logs_misses_a_number(eight):
    wrong = [cue._replace(words="lift") if (cue.kind, cue.copy) == ("lift", 4) else cue for cue in eight.heard]
    assert faults(edition(8).plan.recipe, wrong, eight.stays) != []


def test_the_transcript_of_eight(tmp_path, capsys):
    file, recipe = Path(__file__).with_name("eight-overlapped.txt"), tmp_path / "edition.yaml"
    recipe.write_text(OVERLAPPED, encoding="utf-8")
    assert main(["rehearse", str(recipe)]) == 0
    text = capsys.readouterr().out
    if os.environ.get("GOLDEN") == "write":
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")
