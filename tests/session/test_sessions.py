"""Whole sessions and single events in them, as a printer would tell them."""

import pytest

from assistant.conductor.rehearsal import Punctual, Scripted, rehearse
from assistant.planning.plan import CannotPlan, make_plan
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from assistant.session.bench import Bench
from assistant.session.copy import Copy, Stay
from assistant.session.passing import beat
from assistant.session.place import Called, InBath
from assistant.session.promise import promise
from assistant.session.view import face
from tests.session import cards

OPENING = 10
"""Seconds of opening words: before them nobody is asked for anything, so all seconds in this file begin after them."""


def ms(seconds):
    return round((OPENING + seconds) * 1000)


def told(score, *hands):
    """A bench that was told these things at these seconds after the opening words."""
    bench = open_bench(score)
    for seconds, happening in hands:
        bench = advance(bench, happening, ms(seconds)).bench
    return bench


def at(bench, seconds):
    return beat(bench, ms(seconds))


def wanted(bench):
    return tuple(number for ask in bench.asks for number in ask.copies)


def stays(bench, kind):
    return [stay for copy in bench.copies for stay in copy.stays if stay.kind == kind]


# One copy in the developer twenty seconds after the opening (tapped), so its pip falls at 140 s.
IN = ((0, h.Tap()), (20, h.Tap()))


def test_eight_developments_of_exactly_the_same_time():
    played = rehearse(cards.edition(8, 1), Punctual())
    times = {stay.lasted for stay in played.stays if stay.kind == "develop"}
    assert times == {120_000}
    assert len([stay for stay in played.stays if stay.kind == "develop"]) == 8
    assert played.bench.finished


def test_every_copy_goes_the_whole_way_and_one_stays_untoned():
    played = rehearse(cards.edition(8, 1), Punctual())
    assert [copy.done for copy in played.bench.copies] == [True] * 8
    toned = {stay.copy for stay in played.stays if stay.kind == "tone"}
    assert toned == set(range(1, 8))
    assert {stay.verdict for stay in played.stays} == {"good"}


@pytest.mark.parametrize("late", [1_000, 5_000, 14_000, 20_000])
def test_late_hands_are_kept_as_they_were(late):
    played = rehearse(cards.edition(2, 0), Punctual(late))
    assert {stay.lasted for stay in played.stays if stay.kind == "develop"} == {120_000 + late}
    verdict = "good" if late <= 6_000 else "long"
    assert {stay.verdict for stay in played.stays if stay.kind == "develop"} == {verdict}


def test_a_tap_after_the_pip_says_when_it_was_done_and_all_follows():
    bench = at(told(cards.proof(), *IN, (143, h.Tap())), 143)
    assert stays(bench, "develop")[0].lasted == 123_000
    assert bench.copy(1).since == ms(143)
    stop_pip = min(c.at for p in bench.promised for c in p.cues if c.kind == "pip")
    assert stop_pip == ms(173)


def test_a_tap_while_the_sheet_drains_is_an_early_move():
    bench = told(cards.proof(), *IN, (138, h.Tap()))
    assert stays(bench, "develop")[0].lasted == 118_000
    assert stays(bench, "develop")[0].verdict == "good"


def test_a_tap_in_the_middle_of_a_bath_is_refused_and_says_where_the_sheet_is():
    bench = told(cards.proof(), *IN)
    outcome = advance(bench, h.Tap(), ms(30))
    assert outcome.refused
    assert outcome.answer.words == "copy one is in the developer for one minute fifty more"


def test_the_toner_is_never_ended_by_the_clock():
    score = cards.edition(1, 0)
    played = rehearse(score, Punctual())
    began = next(stay for stay in played.stays if stay.kind == "tone").from_ms
    hands = [hand for hand in played.hands if hand[0] <= began]
    alone = rehearse(score, Scripted(hands))
    bench = beat(alone.bench, began + 3 * 3_600_000)
    assert bench.step_of(bench.copy(1)).kind == "tone"
    cues = sorted((c for p in alone.bench.promised for c in p.cues if c.kind in ("look", "call")), key=lambda c: c.at)
    looks = [c.words for c in cues if c.at > began]
    assert looks[:3] == [
        "at one five seconds. deepest blacks",
        "at thirty seconds. green leaving the shadows",
        "at two minutes. past your range",
    ]


def test_a_spoiled_sheet_is_replaced_while_sheets_are_exposed_and_numbering_goes_on():
    bench = told(cards.edition(3, 0), *IN, (60, h.Void(1)))
    assert [copy.number for copy in bench.copies] == [1, 2, 3, 4]
    assert bench.copy(1).void
    assert bench.copy(1).stays[-1].verdict == "void"
    assert wanted(bench) == (2,)


def test_an_exposure_broken_off_voids_the_sheet():
    bench = told(cards.proof(2), (0, h.Tap()), (6, h.Void()))
    assert bench.copy(1).void
    exposure = bench.copy(1).stays[0]
    assert (exposure.kind, exposure.lasted, exposure.verdict) == ("expose", 3_000, "void")


def test_undo_takes_the_last_tap_back_and_another_takes_the_one_before():
    bench = told(cards.proof(), *IN, (25, h.Undo()))
    assert bench.copy(1).since is None
    assert wanted(bench) == (1,)
    refused = advance(bench, h.Undo(), ms(26))
    assert refused.refused
    assert "is exposed" in refused.answer.words


def test_undo_in_the_count_in_gives_the_sheet_back_its_box():
    bench = told(cards.proof(), (0, h.Tap()), (2, h.Undo()))
    assert bench.copy(1).boxed


def test_an_early_move_that_is_taken_back_after_its_pip_waits_for_a_hand():
    """The tap took the pip away, so nobody heard one: the sheet is still in the developer, and late."""
    bench = told(cards.proof(), *IN, (137, h.Tap()))
    assert bench.copy(1).step == 2
    undone = advance(bench, h.Undo(), ms(144))
    assert undone.answer.words == "undone: copy one is four seconds over in the developer"
    assert [stay.lasted for stay in stays(advance(undone.bench, h.Tap(), ms(147)).bench, "develop")] == [127_000]
    sooner = advance(bench, h.Undo(), ms(138.5))
    assert sooner.answer.words == "undone: copy one is still in the developer"
    assert at(sooner.bench, 140).copy(1).step == 2, "its pip is still to come, and is called"
    again = advance(undone.bench, h.Undo(), ms(145)).bench
    assert again.copy(1).since is None, "and the tap before it can be taken back too"


def test_what_is_void_without_its_word_too_is_not_said_to_count_again():
    """The plan is held in the light of a sheet that was told to be void: its light is broken off either way."""
    bench = told(cards.proof(2), (0, h.Tap()), (6, h.Void(1)), (6, h.HoldPlan()))
    undone = advance(bench, h.Undo(), ms(7))
    assert undone.refused
    assert undone.answer.words.startswith("too late to undo")


def test_undo_goes_no_further_than_a_pip_of_a_sheet_that_is_done_since():
    bench = told(cards.proof(), *IN, (292, h.Tap()))
    answers = [advance(bench, h.Undo(), ms(seconds)).answer.words for seconds in (295, 2_700)]
    assert answers == ["undone: copy one, final wash, on the pip", "too late to undo copy one, final wash, late by two seconds"]


def test_it_was_five_seconds_ago():
    bench = told(cards.proof(), *IN, (25, h.Moved(None, 5_000)))
    assert bench.copy(1).since == ms(20)
    bench = told(cards.proof(), (0, h.Tap()), (25, h.Tap()), (27, h.Moved(1, 5_000)))
    assert bench.copy(1).since == ms(22)
    assert advance(bench, h.Moved(1, 60_000), ms(28)).refused
    assert advance(bench, h.Moved(None, 3_000), ms(28)).answer.words == "developer, that was three seconds ago"


def test_hold_stops_no_chemistry_and_a_tap_goes_on():
    score = cards.proof(2)
    held = told(score, *IN, (30, h.HoldPlan()))
    later = at(held, 400)
    assert stays(later, "develop")[0].lasted == 120_000
    assert wanted(later) == ()
    going = advance(later, h.Tap(), ms(401))
    assert not going.refused
    assert wanted(going.bench) == (2,)


def test_white_light_is_said_once_a_sheet_and_not_while_another_is_out():
    played = rehearse(cards.edition(3, 0), Punctual())
    safe = [cue for cue in played.heard if cue.kind == "safe"]
    assert [cue.copy for cue in safe] == [1, 2, 3]
    fixed = {stay.copy: stay.from_ms + 60_000 for stay in played.stays if stay.kind == "fix"}
    assert [cue.at for cue in safe] == [fixed[1], fixed[2], fixed[3]]


def test_after_a_crash_no_pip_is_taken_for_heard_and_what_is_overdue_is_said():
    bench = told(cards.proof(), *IN, (200, h.Note("x")))
    assert bench.step_of(bench.copy(1)).kind == "fix"
    outcome = advance(bench, h.Woke(ms(200)), ms(170 + 240))
    assert "copy one has been four minutes in the fixer; most is five minutes" in outcome.answer.words
    assert isinstance(outcome.bench.copy(1).place, Called)
    after = advance(outcome.bench, h.Tap(), ms(415)).bench
    assert stays(after, "fix")[0].lasted == 245_000


@pytest.mark.parametrize("noted", [100, 150])  # 150: it is found only after the pip that the computer slept by then
def test_what_is_said_of_a_pip_that_nobody_heard_is_counted_from_its_time(noted):
    bench = told(cards.proof(), *IN, (noted, h.Note("x")))
    woken = advance(bench, h.Woke(ms(120)), ms(151))
    assert "copy one is eleven seconds over in the developer" in woken.answer.words
    moved = advance(woken.bench, h.Tap(), ms(160))
    assert moved.answer.words == "stop, late by twenty seconds"
    assert stays(moved.bench, "develop")[0].lasted == 140_000


def test_a_nap_during_an_exposure_voids_the_sheet():
    bench = told(cards.proof(), (0, h.Tap()), (60, h.Woke(ms(4))))
    assert bench.copy(1).void


def test_the_wash_starts_again_for_all_when_a_print_joins():
    score = cards.proof(2)
    played = rehearse(score, Punctual())
    washed = [stay for stay in played.stays if stay.kind == "wash"]
    assert len({stay.to_ms for stay in washed}) == 1
    assert min(stay.lasted for stay in washed) == 2_400_000
    assert max(stay.from_ms for stay in washed) + 2_400_000 == washed[0].to_ms


def test_water_is_changed_every_five_minutes_of_the_wash():
    played = rehearse(cards.proof(1), Punctual())
    began = next(stay for stay in played.stays if stay.kind == "wash").from_ms
    changes = [cue.at - began for cue in played.heard if cue.kind == "water"]
    assert changes == [300_000 * i for i in range(1, 8)]


def test_development_by_factor_follows_the_first_tone():
    """F 5 and first tone after 45 s make 225 s: Watkins 1901, in *Dictionary of Photography*."""
    bench = told(cards.by_hand(1), (0, h.Tap()), (20, h.Tap()), (65, h.Tap()))
    assert bench.copy(1).target == 225_000


def test_the_end_is_asked_for_twice():
    once = told(cards.proof(), *IN, (30, h.End()))
    assert not once.ended
    assert not at(once, 41).end_asked
    assert told(cards.proof(), *IN, (30, h.End()), (35, h.End())).ended


def test_a_copy_hears_the_same_alone_or_in_company():
    def heard(copies, copy):
        played = rehearse(cards.proof(copies), Punctual())
        began = next(s.from_ms for s in played.stays if s.copy == copy)
        own = [c for c in played.heard if c.copy == copy and c.kind not in ("ask", "safe", "heard")]
        return [(c.at - began, c.kind, c.words) for c in own]

    assert heard(1, 1) == heard(4, 1) == heard(4, 3)


def test_no_tray_ever_holds_more_than_it_can():
    played = rehearse(cards.edition(8, 1), Punctual(4_000))
    trays = cards.edition(8, 1).plan.recipe.trays
    for name, tray in trays.items():
        events = sorted((at, step) for s in played.stays if s.tray == name for at, step in ((s.from_ms, 1), (s.to_ms, -1)))
        inside = most = 0
        for _, step in events:
            inside += step
            most = max(most, inside)
        assert most <= tray.holds


def test_more_copies_than_the_holding_water_holds_are_refused_before_copy_one():
    card = cards.recipe(cards.EXPOSE, cards.DEVELOP, cards.FIX, cards.HOLD, cards.WASH).model_copy(
        update={
            "trays": {
                **cards.edition().plan.recipe.trays,
                "water": cards.edition().plan.recipe.trays["water"].model_copy(update={"holds": 4}),
            }
        }
    )
    with pytest.raises(CannotPlan, match="5 copies come there together and `water` holds 4"):
        Score(make_plan(card, 5))


def test_the_face_says_what_a_tap_does():
    bench = told(cards.edition(2, 0), *IN)
    assert face(bench).tap == ""
    assert face(at(bench, 139)).tap == "copy one: into the stop now"
    assert face(at(bench, 145)).tap == "copy one: it went into the stop now"
    assert face(open_bench(cards.edition(2, 0))).tap == ""
    assert face(at(open_bench(cards.edition(2, 0)), 0)).tap == "copy one: begin exposure"


def test_what_is_heard_in_the_developer():
    bench = told(cards.proof(), *IN)
    heard = [((c.at - ms(20)) / 1000, c.kind, c.words) for p in bench.promised for c in p.cues if c.step == "develop"]
    assert heard == [
        (30.0, "agitate", "turn"),
        (60.0, "agitate", "turn"),
        (60.0, "call", "half way"),
        (90.0, "agitate", "turn"),
        (95.0, "call", "ten to lift"),
        (105.0, "lift", "lift"),
        (120.0, "pip", "into the stop"),
    ]


def test_two_sheets_out_white_light_waits_for_the_second():
    score = cards.proof(2)
    one = Copy(1, InBath(3, 200_000, 120_000), (stay(1, 1, "develop", 50_000, 170_000),))
    two = Copy(2, InBath(1, 210_000, 120_000), (stay(2, 0, "expose", 195_000, 203_500),))
    passages = promise(Bench(score, (one, two), now=215_000))
    safe = [(cue.copy, cue.at) for passage in passages for cue in passage.cues if cue.kind == "safe"]
    assert safe == [(2, 210_000 + 120_000 + 30_000 + 60_000)]


def stay(copy, step, kind, begun, over):
    return Stay(copy, step, kind, kind, None, begun, over, over - begun, "good")


@pytest.mark.parametrize(("tap", "short"), [(286, True), (None, False)])
def test_a_print_that_was_fixed_short_is_said_before_it_is_toned(tap, short):
    hands = [*IN, *([(tap, h.Tap())] if tap else [])]
    bench = at(told(cards.edition(1, 0), *hands), 400)
    asked = next(cue.words for passage in bench.promised for cue in passage.cues if "into the toner" in cue.words)
    assert stays(bench, "fix")[0].verdict == ("short" if short else "good")
    assert ("fixed short" in asked) is short


def test_a_strip_shows_the_time_to_the_next_move_of_the_card():
    light = {"kind": "expose", "strip": {"first": "2 s", "step": "1", "strips": "3"}}
    bench = told(Score(make_plan(cards.recipe(light, cards.DEVELOP, cards.STOP, cards.FIX, cards.HOLD))), (0, h.Tap()))
    moves = ((4, (1_000, "move the card: 1 of 2")), (6, (1_000, "move the card: 2 of 2")), (8, (3_000, "light off")))
    for seconds, shown in moves:
        urgent = face(at(bench, seconds)).urgent
        assert (urgent.ms, urgent.then) == shown


def test_void_without_a_number_leaves_the_box_alone():
    assert not any(copy.void for copy in told(cards.edition(2, 0), (-1, h.Void())).copies)
    assert told(cards.edition(2, 0), (0, h.Void(1))).copies[0].void


def test_after_a_time_without_calls_what_is_wanted_is_asked_for_at_once():
    bench = told(cards.edition(2, 0), (0, h.Tap()), (300, h.Woke(ms(20))))
    asks = [cue.at for passage in bench.promised for cue in passage.cues if cue.kind == "ask" and cue.at > ms(300)]
    assert min(asks) - ms(300) <= 3_000


def test_white_light_is_never_said_while_a_tap_may_still_say_that_it_goes_into_the_fixer_only_now():
    fix = {**cards.FIX, "light_safe": "5 s"}
    score = Score(make_plan(cards.recipe(cards.EXPOSE, cards.DEVELOP, cards.STOP, fix, cards.HOLD)))
    fixed = 140 + 30  # the pip into the fixer
    bench = told(score, *IN)
    assert face(at(bench, fixed + 29)).light != "white"
    assert face(at(bench, fixed + 30)).light == "white"
    late = advance(at(bench, fixed + 14), h.Tap(), ms(fixed + 14)).bench
    assert face(at(late, fixed + 18.9)).light != "white"
    assert face(at(late, fixed + 19)).light == "white"
    prompt = advance(at(bench, fixed + 1), h.Tap(), ms(fixed + 1)).bench
    assert face(at(prompt, fixed + 6)).light == "white"


def test_an_undo_of_a_void_has_the_other_sheet_put_back_before_white_light():
    fixed = 140 + 30  # the pip into the fixer
    bench = told(cards.edition(2), *IN, (fixed + 70, h.Void(1)), (fixed + 74, h.Undo()))
    assert wanted(at(told(cards.edition(2), *IN, (fixed + 70, h.Void(1))), fixed + 74)) == (2,)
    alone = told(cards.edition(1, 0), *IN, (fixed + 70, h.Void(1)))
    assert wanted(at(alone, fixed + 74)) == (2,)
    undone = advance(at(alone, fixed + 74), h.Undo(), ms(fixed + 74))
    assert undone.answer.words.endswith("copy two back into its box")
    assert face(at(undone.bench, fixed + 93.9)).light != "white"
    assert face(at(undone.bench, fixed + 94)).light == "white"
    assert bench.copy(1).live


def test_a_sheet_that_was_asked_for_in_place_of_one_not_yet_exposed_is_that_one():
    bench = told(cards.edition(1, 0), (0, h.Void(1)))
    undone = advance(at(bench, 10), h.Undo(), ms(10))
    assert "back into its box" not in undone.answer.words
