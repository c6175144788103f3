"""What a printer would miss: each of these was once said wrongly, or not at all."""

from collections import Counter
from itertools import pairwise

import pytest

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.places import shipped
from assistant.planning.plan import make_plan
from assistant.recipe.loader import load
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from assistant.session.passing import beat
from tests.session import cards


def played(*steps, late=0, **card):
    return rehearse(Score(make_plan(cards.recipe(*steps, **card))), Punctual(late))


def heard(rehearsal, *kinds):
    return [cue.words for cue in rehearsal.heard if cue.kind in kinds]


FILM = {"kind": "film", "size": "4x5 in"}
SOAK = {"kind": "wash", "name": "Soak", "tray": "water", "for": "1 min", "begin": "by hand"}
BLEACH = {"kind": "tone", "name": "Bleach", "tray": "rinse", "by_eye": {"from": "30 s", "to": "90 s"}}
CARE = {**cards.TRAYS, "rinse": {"bath": "bleach", "holds": 60, "care": ["goggles"]}}


def test_darkness_is_asked_for_before_every_sheet_and_what_to_shut_is_named():
    asks = heard(played(cards.DEVELOP, cards.STOP, cards.FIX, cards.WASH, copies=3, light="none", paper=FILM), "ask")
    into = [words for words in asks if "into the developer" in words]
    assert len(into) == 3
    assert all(words.startswith("room light off, box shut, screen dark. sheet") for words in into)


def test_the_box_is_shut_before_white_light():
    safe = heard(rehearse(cards.edition(3, 0), Punctual()), "safe")
    assert safe
    assert all(words.startswith("box shut, white light is safe") for words in safe)


def test_every_toner_has_its_own_history_and_cautions_and_is_begun_by_a_hand():
    rinse = {"kind": "wash", "name": "Rinse", "tray": "water", "for": "2 min"}
    bleach = {**BLEACH, "tray": "rinse"}
    steps = (cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.FIX, cards.HOLD, bleach, rinse, cards.TONE, cards.HOLD)
    asks = heard(played(*steps, copies=2, trays=CARE), "ask")
    bleaching = [words for words in asks if "into the bleach" in words]
    toning = [words for words in asks if "copy" in words and "into the toner" in words]
    assert bleaching[0].startswith("goggles first. copy one into the bleach")
    assert "took one minute" in bleaching[1]
    assert toning[0].startswith("gloves and ventilation first. copy one into the toner")
    assert "took" not in toning[0]  # what the bleach took is no hint for the toner
    assert toning[1] == "copy two into the toner. copy one took one minute twenty two"


def test_a_rinse_that_is_too_short_is_answered_with_what_is_missing():
    hold = {**cards.HOLD, "at_least": "5 min"}
    score = Score(make_plan(cards.recipe(cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.FIX, hold, cards.TONE, cards.WASH)))
    whole = rehearse(score, Punctual())
    waited = next(stay for stay in whole.stays if stay.kind == "hold").lasted
    assert 300_000 <= waited < 330_000
    in_hold = next(stay for stay in whole.stays if stay.kind == "hold").from_ms
    bench = open_bench(score)
    for at, happening in whole.hands:
        if at < in_hold:
            bench = advance(bench, happening, at).bench
    outcome = advance(beat(bench, in_hold + 20_000), h.Tap(), in_hold + 120_000)
    assert outcome.refused
    assert outcome.answer.words == "copy one has been two minutes in the holding water. wait three minutes more"


@pytest.mark.parametrize(
    ("celsius", "doubt"), [(22, None), (26, "outside your two points, a guess"), (11, "too cold to develop well")]
)
def test_a_reading_beyond_the_known_points_says_so(celsius, doubt):
    law = {"temperature_law": {"points": [["20 C", "2 min"], ["24 C", "90 s"]]}}
    score = Score(make_plan(cards.recipe(cards.EXPOSE, {**cards.DEVELOP, **law}, cards.STOP, cards.FIX, cards.WASH)))
    said = advance(open_bench(score), h.Reading("developer", celsius), 12_000).answer.words
    assert said.endswith(doubt) if doubt else ". " not in said


def test_a_bath_that_a_hand_begins_is_asked_for_and_promised_no_pip():
    whole = played(SOAK, cards.DEVELOP, cards.STOP, cards.FIX, cards.WASH, copies=1, light="none", paper=FILM)
    assert "into the developer" not in heard(whole, "pip")
    assert "into the developer. tap as it goes in" in heard(whole, "ask")
    on_cue = played(SOAK, {**cards.DEVELOP, "begin": "on cue"}, cards.STOP, cards.FIX, cards.WASH, copies=1)
    assert "into the developer" in heard(on_cue, "pip")
    assert {stay.lasted for stay in on_cue.stays if stay.kind == "develop"} == {120_000}


def test_film_is_a_sheet_and_is_not_squeegeed_on_both_sides():
    whole = played(cards.DEVELOP, cards.STOP, cards.FIX, cards.WASH, copies=2, light="none", paper=FILM)
    assert not any("cop" in words for words in heard(whole, "ask", "pip", "tell", "heard"))
    assert heard(whole, "pip")[-1] == "last bath done. hang up to dry"
    assert heard(whole, "tell")[-1] == "two sheets done"
    own = played(cards.DEVELOP, cards.STOP, cards.FIX, cards.WASH, paper={**FILM, "finish": "onto the line"})
    assert heard(own, "pip")[-1] == "last bath done. onto the line"


def test_the_warning_counts_to_the_lift_and_says_so():
    calls = [cue for cue in rehearse(cards.proof(), Punctual()).heard if cue.step == "develop" and cue.kind in ("call", "lift")]
    warning, lift = calls[-2:]
    assert (warning.words, lift.at - warning.at) == ("ten to lift", 10_000)


def test_own_words_for_lift_and_pip():
    stop = {**cards.STOP, "for": "60 s", "lift": "pour out", "pip": "pour in the fixer"}
    whole = played(cards.EXPOSE, cards.DEVELOP, stop, cards.FIX, cards.WASH)
    assert [cue.words for cue in whole.heard if cue.step == "stop"] == ["ten to pour out", "pour out", "pour in the fixer"]


def test_water_is_changed_when_the_hands_are_free():
    trays = {**cards.TRAYS, "water": {"bath": "holding water", "holds": 60, "refresh": "2 min"}}
    steps = (cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.FIX, cards.HOLD, cards.TONE, cards.RINSE, cards.WASH)
    whole = played(*steps, copies=3, trays=trays)
    changes = [cue.at for cue in whole.heard if cue.kind == "water"]
    assert changes
    toning = [(stay.from_ms, stay.to_ms) for stay in whole.stays if stay.kind == "tone"]
    assert not any(begun <= at < over for at in changes for begun, over in toning)
    pips = [cue.at for cue in whole.heard if cue.kind in ("pip", "lift")]
    assert not any(0 <= pip - at < 30_000 for at in changes for pip in pips)


def test_the_first_good_print_is_looked_at_although_the_first_of_all_is_void():
    score = cards.edition(3, 0)
    bench = open_bench(score)
    for at, happening in ((12_000, h.Tap()), (40_000, h.Tap()), (60_000, h.Void(1))):
        bench = advance(bench, happening, at).bench
    for at, happening in ((80_000, h.Tap()), (120_000, h.Tap())):
        bench = advance(bench, happening, at).bench
    said = [cue.words for passage in bench.promised for cue in passage.cues if cue.kind == "safe"]
    assert said == ["box shut, white light is safe. look at copy two before the next"]


def test_a_development_by_eye_is_pulled_like_a_print_from_the_toner():
    develop = {"kind": "develop", "tray": "developer", "by_eye": {"from": "90 s", "to": "3 min"},
               "look": [{"at": "60 s", "words": "first tones"}]}  # fmt: skip
    whole = played(cards.EXPOSE, develop, cards.STOP, cards.FIX, cards.WASH, copies=2)
    assert {stay.lasted for stay in whole.stays if stay.kind == "develop"} == {135_000}
    assert "at one minute. first tones" in heard(whole, "look")
    assert "took two minutes one five. into the stop" in heard(whole, "heard")
    assert whole.bench.finished


@pytest.mark.parametrize(("limits", "target"), [({"at_least": "2 min"}, 120_000), ({"at_most": "90 s"}, 90_000)])
def test_a_development_by_the_first_tone_is_held_to_its_least_and_most(limits, target):
    develop = {"kind": "develop", "tray": "developer", "factor": "5", "drain": "15 s", **limits}
    whole = played(cards.EXPOSE, develop, cards.STOP, cards.FIX, cards.WASH)
    assert next(stay for stay in whole.stays if stay.kind == "develop").lasted == target


def test_several_prints_in_one_toner_go_in_and_come_out_together():
    whole = played(
        cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.FIX, cards.HOLD, {**BLEACH, "together": True}, cards.RINSE, cards.WASH,
        copies=4, reference=1,
    )  # fmt: skip
    bleached = [stay for stay in whole.stays if stay.kind == "tone"]
    assert [stay.copy for stay in bleached] == [1, 2, 3]
    assert len({(stay.from_ms, stay.to_ms) for stay in bleached}) == 1
    assert sum("all copies into the bleach" in words for words in heard(whole, "ask")) == 1
    assert whole.bench.finished


@pytest.mark.parametrize("late", [0, 5_000, 40_000])
@pytest.mark.parametrize("card", [*cards.ALL, cards.with_a_law])
def test_every_good_recipe_is_printed_to_its_end(card, late):
    assert rehearse(card(), Punctual(late)).bench.finished


@pytest.mark.parametrize("late", [0, 5_000])
def test_water_is_changed_at_most_once_in_its_time_however_the_sheets_come(late):
    trays = {**cards.TRAYS, "washer": {"bath": "wash water", "holds": 60, "refresh": "5 min"}}
    steps = (cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.FIX, cards.WASH)
    changes = [cue.at for cue in played(*steps, copies=4, trays=trays, late=late).heard if cue.kind == "water"]
    assert len(changes) > 8
    assert min(after - before for before, after in pairwise(changes)) > 150_000


def test_no_water_is_changed_when_all_sheets_are_about_to_leave_it():
    trays = {**cards.TRAYS, "water": {"bath": "holding water", "holds": 60, "refresh": "12 min 40 s"}}
    whole = played(cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.FIX, cards.HOLD, cards.WASH, copies=3, trays=trays)
    leaves = max(stay.to_ms for stay in whole.stays if stay.kind == "hold")
    assert not [cue for cue in whole.heard if cue.words == "change holding water" and leaves - 60_000 < cue.at < leaves]


@pytest.mark.parametrize("late", [0, 5_000, 20_000])
def test_no_water_is_changed_while_a_sheet_that_has_had_its_light_is_carried(late):
    trays = {**cards.TRAYS, "water": {"bath": "holding water", "holds": 60, "refresh": "70 s"}}
    whole = played(cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.FIX, cards.HOLD, cards.WASH, copies=6, trays=trays, late=late)
    water = [cue.at for cue in whole.heard if cue.kind == "water"]
    carried = [(lit.to_ms, bath.from_ms) for lit, bath in pairwise(whole.stays) if lit.kind == "expose" and bath.copy == lit.copy]
    assert len(carried) == 6
    assert len(water) > 6
    assert not [at for at in water for over, came in carried if over <= at <= came]


def test_the_authors_own_words_are_kept_when_copies_become_sheets():
    trays = {**cards.TRAYS, "stop": {"bath": "copy stop"}}
    stop = {**cards.STOP, "name": "Copy stop", "say": [{"at": "10 s", "words": "as on the first copy"}]}
    whole = played(cards.DEVELOP, stop, cards.FIX, cards.WASH, copies=2, light="none", paper=FILM, trays=trays)
    said = [cue.words for cue in whole.heard]
    assert "into the copy stop" in said
    assert "as on the first copy" in said
    assert any("sheet two into the developer" in words for words in said)


def test_of_several_prints_only_the_name_is_said_where_one_copy_is_made():
    prints = [{"name": "Bow"}, {"name": "Stern", "copies": 2}]
    asks = heard(played(cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.FIX, cards.WASH, prints=prints), "ask")
    assert any("copy one. bow. place paper" in words for words in asks)
    assert any("copy two. stern, one of two. change the negative" in words for words in asks)


@pytest.mark.parametrize("copies", [1, 2])
def test_with_two_holds_in_a_row_the_next_hand_is_asked_for_and_asked_for_again(copies):
    score = Score(make_plan(cards.recipe(cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.FIX, cards.HOLD, cards.RINSE, cards.WASH,
                                         copies=copies)))  # fmt: skip
    whole = rehearse(score, Punctual())
    asks = [cue for cue in whole.heard if cue.kind == "ask"]
    into = next(cue for cue in asks if "into the toned prints' water" in cue.words)
    last_in = max(stay.from_ms for stay in whole.stays if stay.name == "Holding water")
    assert 0 < into.at - last_in <= 20_000
    bench = open_bench(score)
    for at, happening in (hand for hand in whole.hands if hand[0] < into.at):
        bench = advance(bench, happening, at).bench
    again = [cue.at - into.at for passage in bench.promised for cue in passage.cues if cue.words == into.words]
    assert again[:5] == [0, 60_000, 180_000, 600_000, 1_200_000]


@pytest.mark.parametrize("file", sorted(shipped("recipes").glob("*.yaml")), ids=lambda file: file.stem)
def test_nothing_is_called_twice(file):
    """Of a sheet's stay one lift and one pip, and white light once a moment, also fifteen seconds after a pip."""
    whole = rehearse(Score(make_plan(load(file).recipe)), Punctual())
    once = Counter((cue.at // 5_000, cue.kind, cue.words, cue.copy) for cue in whole.heard if cue.kind in ("lift", "pip", "safe"))
    assert [cue for cue, times in once.items() if times > 1] == []
    wet = Counter((stay.copy, stay.name) for stay in whole.stays if stay.target_ms is not None and stay.kind != "expose")
    lifts = [cue for cue in whole.heard if cue.kind == "lift"]
    assert 0 < len(lifts) <= sum(wet.values())


def test_a_dodge_is_announced_with_area_tool_and_seconds_before_the_light():
    expose = {**cards.EXPOSE, "time": "16 s", "parts": [{"dodge": "door", "stops": "1/3", "say": "small card"}]}
    asked = heard(played(expose, cards.DEVELOP, cards.STOP, cards.FIX, cards.WASH), "ask")[0]
    assert asked == "place paper. dodge the door. small card. for three point three seconds. tap when ready"


def test_what_has_to_be_set_is_asked_for_as_the_enlarger_was_really_left():
    """At first nobody knows how; after a sheet that was spoiled between its lights it is not as at a sheet's end."""
    parts = [{"light": "hard", "time": "7 s", "filter": "5"}, {"burn": "sky", "stops": "1/2"}]
    expose = {**cards.EXPOSE, "filter": "00", "aperture": "f/11", "parts": parts}
    score = Score(make_plan(cards.recipe(expose, cards.DEVELOP, cards.STOP, cards.FIX, cards.WASH, copies=2)))
    bench = open_bench(score)
    asks = heard(rehearse(score, Punctual()), "ask")
    assert [ask for ask in asks if "place paper" in ask] == [
        "copy one of two. place paper. filter zero zero. f eleven. tap when ready",
        "safelight only. copy two of two. place paper",
    ]
    assert "same sheet. filter five. for seven seconds" in asks
    for at, happening in ((10_000, h.Tap()), (40_000, h.Tap()), (60_000, h.Void(1))):
        bench = advance(bench, happening, at).bench
    said = [cue.words for passage in bench.promised for cue in passage.cues if "place paper" in cue.words]
    assert said[0] == "copy two of two. place paper. filter zero zero"


def test_water_is_not_to_be_changed_with_dry_hands_between_a_sheets_question_and_its_bath():
    """Copy two is asked for 17 s after copy one came into the holding water, at 315 s, whose change is due 38 s later."""
    trays = {**cards.TRAYS, "water": {"bath": "holding water", "holds": 60, "refresh": "38 s"}}
    steps = (cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.FIX, cards.HOLD, cards.WASH)
    bench = open_bench(Score(make_plan(cards.recipe(*steps, copies=2, trays=trays))))
    due = 315_000 + 38_000

    def changes(bench):
        return [cue.at for passage in bench.promised for cue in passage.cues if cue.kind == "water"]

    for at in (10_000, 45_000):
        bench = advance(bench, h.Tap(), at).bench
    bench = beat(bench, due - 8_000)
    assert [(ask.copies, ask.at) for ask in bench.asks] == [((2,), 332_000)]
    assert min(changes(bench)) == 332_000 + 180_000  # nobody is at the paper
    lit = advance(bench, h.Tap(), due + 12_000).bench
    assert min(changes(advance(lit, h.Tap(), due + 40_000).bench)) == due + 50_000
    for before, at in ((bench, due + 10_000), (lit, due + 60_000)):  # spoiled in its question, or on its way from the lamp
        spoiled = advance(advance(before, h.Void(2), at).bench, h.HoldPlan(), at + 1_000).bench
        assert min(changes(spoiled)) == at + 10_000


def test_that_white_light_is_safe_is_said_when_the_sheet_has_been_moved():
    """Safe after 60 s of a minute in the fixer: the pip into the wash comes at the same moment, and hands go first."""
    whole = played(cards.EXPOSE, cards.DEVELOP, cards.STOP, {**cards.FIX, "for": "1 min"}, cards.WASH)
    (safe,) = (cue.at for cue in whole.heard if cue.kind == "safe")
    washed = next(stay.from_ms for stay in whole.stays if stay.kind == "wash")
    assert safe == washed + 5_000


def test_a_sheet_that_waits_for_no_other_is_asked_for_when_its_next_tray_has_room():
    wash = {"kind": "wash", "name": "Short wash", "tray": "rinse", "for": "5 min", "together": True}
    water = {**cards.HOLD, "gather": False}
    card = cards.recipe(cards.EXPOSE, cards.DEVELOP, cards.STOP, wash, water, cards.FIX, copies=5)
    played = rehearse(Score(make_plan(card)), Punctual())
    fixed = sorted((stay.from_ms, stay.to_ms) for stay in played.stays if stay.kind == "fix")
    assert len(fixed) == 5
    assert all(sum(begun <= at < over for begun, over in fixed) <= 3 for at, _ in fixed)
