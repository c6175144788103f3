"""Sheets that lie in one developer together: in one by one, out one by one, each exactly its time."""

from itertools import pairwise

import pytest

from assistant.conductor.rehearsal import Punctual, Scripted, rehearse
from assistant.planning.plan import CannotPlan, make_plan
from assistant.recipe.model import TemperatureLaw
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from tests.session import cards

DEVELOPS = 1
"""The step in which the stack lies."""


def developed(whole):
    return [stay for stay in whole.stays if stay.step == DEVELOPS]


@pytest.mark.parametrize("late", [0, 5_000])
@pytest.mark.parametrize("copies", [1, 2, 4])
def test_every_sheet_has_its_time_and_comes_out_in_the_order_in_which_it_went_in(copies, late):
    stays = developed(rehearse(cards.stack(copies), Punctual(late)))
    assert [stay.copy for stay in stays] == list(range(1, copies + 1))
    assert {stay.lasted for stay in stays} == {120_000 + late}  # the same lateness for all, so the same development
    assert {after.from_ms - before.from_ms for before, after in pairwise(stays)} <= {20_000 + late}
    assert {after.to_ms - before.to_ms for before, after in pairwise(stays)} <= {20_000 + late}


def test_the_first_is_begun_by_a_hand_and_the_others_follow_on_named_pips():
    heard = rehearse(cards.stack(3), Punctual()).heard
    begun = next(cue for cue in heard if cue.words == "one into the developer. tap as it goes in")
    follow = [(cue.words, cue.at - begun.at) for cue in heard if cue.kind == "pip" and "into the developer" in cue.words]
    assert follow == [("two into the developer", 20_000), ("three into the developer", 40_000)]
    out = [cue.words for cue in heard if cue.step == "develop" and cue.kind in ("lift", "pip")]
    assert out == [f"{n} {does}" for n in ("one", "two", "three") for does in ("lifts now", "into the stop")]


def test_the_stack_is_agitated_as_one_between_the_last_in_and_the_first_out():
    whole = rehearse(cards.stack(3), Punctual())
    stays = developed(whole)
    turns = [cue for cue in whole.heard if cue.words == "turn"]
    # At 60 s three sheets of 3 s would not be through by the first lift, at 65 s.
    assert [cue.at - stays[-1].from_ms for cue in turns] == [30_000]
    assert turns[0].at < stays[0].to_ms - 15_000


def test_a_sheet_that_goes_in_late_puts_off_those_behind_it_and_keeps_its_time():
    bench = open_bench(cards.stack(3))
    whole = rehearse(cards.stack(3), Punctual())
    second = developed(whole)[1].from_ms
    for at, happening in (hand for hand in whole.hands if hand[0] < second):
        bench = advance(bench, happening, at).bench
    late = advance(bench, h.Tap(), second + 8_000)
    assert late.answer.words == "copy two, developer, late by eight seconds"
    cues = [cue for passage in late.bench.promised for cue in passage.cues]
    third = next(cue for cue in cues if cue.words == "three into the developer")
    out = next(cue for cue in cues if cue.words == "two into the stop")
    assert third.at == second + 28_000
    assert out.at == second + 128_000


def test_a_sheet_spoiled_before_its_turn_leaves_its_turn_to_the_next_and_no_other_is_asked_for():
    bench = open_bench(cards.stack(3))
    whole = rehearse(cards.stack(3), Punctual())
    first = developed(whole)[0].from_ms
    for at, happening in (hand for hand in whole.hands if hand[0] <= first):
        bench = advance(bench, happening, at).bench
    void = advance(bench, h.Void(2), first + 5_000)
    assert void.answer.words == "copy two is void"
    pips = [(cue.words, cue.at - first) for p in void.bench.promised for cue in p.cues if "into the developer" in cue.words]
    assert pips == [("three into the developer", 25_000)]


def test_after_a_sleep_no_pip_is_taken_for_done_and_the_rest_wait_for_the_one_before_them():
    bench = open_bench(cards.stack(3))
    whole = rehearse(cards.stack(3), Punctual())
    first = developed(whole)[0].from_ms
    for at, happening in (hand for hand in whole.hands if hand[0] <= first):
        bench = advance(bench, happening, at).bench
    bench = advance(bench, h.Woke(first + 5_000), first + 60_000).bench
    assert [copy.step for copy in bench.copies] == [1, 0, 0]
    bench = advance(bench, h.Tap(), first + 70_000).bench
    assert bench.copy(2).since == first + 70_000
    assert "three into the developer" in [cue.words for p in bench.promised for cue in p.cues if cue.at == first + 90_000]


def test_a_reading_between_two_sheets_leaves_the_stack_one_time():
    law = {"temperature_law": TemperatureLaw(points=((20.0, 120_000), (24.0, 90_000)))}
    recipe = cards.stack(3).plan.recipe
    steps = tuple(step.model_copy(update=law) if step.kind == "develop" else step for step in recipe.steps)
    score = Score(make_plan(recipe.model_copy(update={"steps": steps})))
    whole = rehearse(score, Punctual())
    second = developed(whole)[1].from_ms
    reading = (second - 5_000, h.Reading("developer", 24.0))
    read = rehearse(score, Scripted(sorted([*whole.hands, reading], key=lambda hand: hand[0])))
    assert [stay.lasted for stay in developed(read)] == [120_000] * 3


def test_a_stack_too_large_for_its_time_is_refused_with_how_many_fit():
    with pytest.raises(CannotPlan, match=r"6 sheets, one every 20 s, are in after 1:40, .* print at most 5 at once"):
        cards.stack(6)


def test_the_first_that_is_not_put_in_is_over_by_what_came_after_its_call():
    heard = rehearse(cards.stack(3), Punctual(20_000)).heard
    assert "copy one is one five seconds over in the soak" in [cue.words for cue in heard if cue.kind == "over"]


def test_darkness_is_asked_for_once_for_the_stack():
    asks = [cue.words for cue in rehearse(cards.stack(3), Punctual()).heard if cue.kind == "ask"]
    assert [words for words in asks if "room light off" in words] == [
        "room light off, box shut, screen dark. copy one into the soak. tap as it goes in"
    ]
    assert "copy two into the soak" in asks
