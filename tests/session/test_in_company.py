"""Benches with two to twelve sheets under way: what a sheet hears, where it goes and whose a tap is, whatever the others do."""

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from assistant.planning.plan import make_plan
from assistant.recipe.model import Recipe
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from assistant.session.bench import Bench, ends
from assistant.session.changes import SOONEST, WINDOW
from assistant.session.copy import Copy
from assistant.session.hands import hands, meant
from assistant.session.passing import beat, due
from assistant.session.place import Assumed, Called, InBath, InLight
from assistant.session.promise import promise
from tests.session import cards

BATHS = (1, 2, 3)
"""Steps of `roomy` in which a clock runs: developer, stop, fixer."""


def roomy(holds: int = 60) -> Score:
    """The proof's way with trays that hold so many, so that any number of sheets may be in flight."""
    narrow = ("developer", "stop", "fixer")
    trays = {name: {**tray, "holds": holds if name in narrow else 60} for name, tray in cards.TRAYS.items()}
    steps = [cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.FIX, cards.HOLD]
    card = {"title": "Slipway panel", "trays": trays, "steps": steps, "copies": 12}
    return Score(make_plan(Recipe.model_validate(card)))


ROOMY = roomy()
TARGETS = {1: 120_000, 2: 30_000, 3: 120_000}
LATE = {2: 25_000, 3: 30_000, 4: 15_000}
"""Into which step how long after its pip a tap still says when a sheet went in (ms)."""

flights = st.lists(st.tuples(st.sampled_from(BATHS), st.integers(0, 119_999)), min_size=2, max_size=12)
"""For every sheet the bath it is in, and how long it has been there (ms)."""


def in_flight(score: Score, sheets: list[tuple[int, int]], now: int = 1_000_000) -> Bench:
    copies = [
        Copy(number, InBath(step, now - stayed % TARGETS[step], TARGETS[step])) for number, (step, stayed) in enumerate(sheets, 1)
    ]
    return Bench(score, tuple(copies), now=now)


def heard(bench: Bench, number: int) -> list[tuple[int, str]]:
    """What a copy will hear, without the words: those name it in company."""
    kinds = ("lift", "pip", "agitate", "over")
    cues = (cue for passage in promise(bench) for cue in passage.cues)
    return sorted((cue.at, cue.kind) for cue in cues if cue.copy == number and cue.kind in kinds)


@settings(max_examples=40, deadline=None)
@given(flights)
def test_a_copy_hears_the_same_alone_or_in_company(sheets):
    bench = in_flight(ROOMY, sheets)
    for copy in bench.copies:
        alone = Bench(ROOMY, (Copy(1, copy.place),), now=bench.now)
        assert heard(bench, copy.number) == heard(alone, 1)


@settings(max_examples=40, deadline=None)
@given(flights)
def test_every_act_now_call_names_its_sheet_where_several_are_out(sheets):
    bench = in_flight(ROOMY, sheets)
    out = {c.number: ends(bench, c) + sum(TARGETS[s] for s in BATHS if s > c.step) for c in bench.copies}
    for passage in promise(bench):
        for cue in passage.cues:
            alone = sum(1 for over in out.values() if over >= cue.at) < 2
            if cue.kind in ("lift", "pip") and not alone:
                assert cue.copy is not None
                assert cue.words.split()[0] == NUMBERS[cue.copy], cue


NUMBERS = dict(enumerate(["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"], 1))


@settings(max_examples=40, deadline=None)
@given(flights, st.integers(1, 4))
def test_no_tray_is_ever_told_to_hold_more_than_it_can(sheets, holds):
    score = roomy(holds)
    bench = in_flight(score, [sheet for step in BATHS for sheet in [one for one in sheets if one[0] == step][:holds]])
    while (moment := due(bench)) is not None:
        bench = beat(bench, moment)
        for step in BATHS:
            assert sum(1 for copy in bench.copies if copy.bath is not None and copy.step == step) <= holds
    for copy in bench.copies:
        assert isinstance(copy.place, Called) or copy.step == 4


def test_a_pip_into_a_full_tray_is_a_call_and_a_hand_moves_it_when_there_is_room():
    bench = beat(in_flight(roomy(1), [(1, 119_000), (2, 1_000)]), 1_002_000)
    first = bench.copy(1)
    assert isinstance(first.place, Called)
    assert first.step == 1
    hand = meant(bench, 1_003_000)
    assert hand is not None
    assert hand.copies == (1,)


@settings(max_examples=60, deadline=None)
@given(flights, st.integers(0, 150_000))
def test_a_tap_belongs_to_the_last_act_now_call_whose_window_is_open(sheets, later):
    at = 1_000_000 + later
    bench = beat(in_flight(ROOMY, sheets), at)
    open_now = {}
    for copy in bench.copies:
        place, end = copy.place, ends(bench, copy)
        if isinstance(place, Assumed) and place.since <= at <= place.since + LATE[place.step]:
            open_now[copy.number] = place.since
        elif end is not None and end - min(SOONEST, bench.step_of(copy).drain) <= at <= end:
            open_now[copy.number] = end - bench.step_of(copy).drain
    hand = meant(bench, at)
    if not open_now:
        assert hand is None or not hand.act_now
    else:
        assert hand is not None
        assert open_now[hand.copies[0]] == max(open_now.values())


@settings(max_examples=60, deadline=None)
@given(flights, st.integers(0, 14_999))
def test_a_tap_after_a_pip_sets_just_that_sheet_right(sheets, late):
    bench = in_flight(ROOMY, sheets)
    pip = min(ends(bench, copy) for copy in bench.copies)
    at = pip + late
    before = beat(bench, at)
    hand = meant(before, at)
    outcome = advance(bench, h.Tap(), at)
    assert hand is not None
    assert not outcome.refused
    changed = [copy.number for copy in outcome.bench.copies if copy != before.copy(copy.number)]
    assert changed == list(hand.copies)


def test_a_late_tap_for_one_sheet_does_not_cut_the_next_ones_bath():
    """One has just gone into the stop on its pip, two drains over the developer: three seconds late is for one."""
    bench = in_flight(ROOMY, [(1, 119_000), (1, 106_000)])
    after = advance(bench, h.Tap(), 1_004_000).bench
    assert after.copy(1).since == 1_004_000
    assert isinstance(after.copy(2).place, InBath)
    assert after.copy(2).step == 1
    pip = ends(after, after.copy(2))
    assert pip == 1_000_000 + 14_000


@settings(max_examples=30, deadline=None)
@given(flights, st.integers(0, 200_000))
def test_all_hands_lie_in_order_and_each_sheet_has_at_most_one(sheets, later):
    bench = beat(in_flight(ROOMY, sheets), 1_000_000 + later)
    found = hands(bench, bench.now)
    for hand in found:
        assert hand.latest is None or hand.earliest <= hand.latest
        assert hand.earliest <= hand.due + WINDOW
    numbers = [number for hand in found if hand.what not in ("begin", "void") for number in hand.copies]
    assert len(numbers) == len(set(numbers))


def test_two_groups_in_baths_done_together_are_both_called():
    """The first two prints are in the second wash while the third ends the first one: both ends are called."""
    aid = {"kind": "wash", "name": "Washing aid", "tray": "rinse", "for": "3 min", "together": True}
    score = Score(make_plan(cards.recipe(cards.EXPOSE, cards.DEVELOP, cards.FIX, aid, cards.WASH, copies=3)))
    done = Copy(1, InBath(4, 900_000, 2_400_000)), Copy(2, InBath(4, 900_000, 2_400_000))
    bench = Bench(score, (*done, Copy(3, InBath(3, 950_000, 180_000))), now=1_000_000)
    pips = sorted(cue.at for passage in promise(bench) for cue in passage.cues if cue.kind == "pip")
    assert pips == [950_000 + 180_000, 950_000 + 180_000 + 2_400_000]


@pytest.mark.parametrize("seconds", [3, 12, 16])
def test_a_word_without_a_number_is_about_what_the_voice_named_last(seconds):
    """Sheet two went in last, but the voice has just called sheet one out of its bath."""
    bench = in_flight(ROOMY, [(1, 104_000), (2, 1_000)])
    outcome = advance(bench, h.Void(), 1_000_000 + seconds * 1000)
    assert outcome.answer.copy == 1


def test_a_late_hand_sets_right_only_the_sheet_that_went_in_on_that_pip():
    """Two sheets have been in the shared wash for minutes when the third goes in on its pip, seven seconds late."""
    score = Score(make_plan(cards.recipe(cards.EXPOSE, cards.DEVELOP, cards.STOP, cards.WASH, copies=3)))
    washed = tuple(Copy(n, InBath(3, 500_000 + n, 2_400_000)) for n in (1, 2))
    bench = Bench(score, (*washed, Copy(3, InBath(2, 970_000, 30_000))), now=999_000)
    after = advance(bench, h.Tap(), 1_007_000).bench
    assert [copy.since for copy in after.copies] == [500_001, 500_002, 1_007_000]


def test_a_tap_too_soon_is_told_of_the_sheet_that_is_moved_next():
    bench = in_flight(ROOMY, [(3, 20_000), (2, 10_000), (1, 60_000)])
    assert advance(bench, h.Tap(), 1_001_000).answer.words == "copy two is in the stop for one nine seconds more"
    lit = bench.put(Copy(3, InLight(0, 0, 999_000)))
    assert advance(lit, h.Tap(), 1_001_000).answer.words == "counting in"


def test_an_undo_names_the_sheet_whose_move_is_as_before():
    bench = open_bench(cards.overlapped(first="in company"))
    lies = (h.Tap(), 10_000), (h.Tap(), 40_000), (h.Planned(ask=h.NextAsk(2, 0, 0, 50_000)), 41_000), (h.Tap(), 70_000)
    for happening, at in (*lies, (h.Moved(1, 30_500), 90_000)):
        bench = advance(bench, happening, at).bench
    assert advance(bench, h.Undo(), 91_000).answer.words == "undone: copy one went in as before"


def test_a_tap_on_hold_in_the_drain_of_a_bath_as_short_as_the_window_moves_its_sheet_on():
    sheets = Copy(1, Assumed(2, 970_000, 30_000, 1_000_000)), Copy(2)
    held = advance(Bench(cards.overlapped(2), sheets, now=970_000, planned=h.Planned()), h.HoldPlan(), 980_000).bench
    answer = advance(held, h.Tap(), 997_000).answer
    assert answer.words == "fixer, early by three seconds"


def test_how_long_after_an_end_is_answered():
    bench = in_flight(ROOMY, [(1, 1_000)])
    for _ in range(2):
        bench = advance(bench, h.End(), bench.now + 1_000).bench
    assert advance(bench, h.HowLong(), bench.now + 600_000).answer.words == "session ended"


def test_how_long_counts_sheets_that_wait_in_their_water():
    """A list of all that wait would be minutes long, and the one in the developer would be lost among them."""
    score = cards.edition(copies=4)
    hold = next(index for index, step in enumerate(score.plan.recipe.steps) if step.kind == "hold")
    waiting = tuple(Copy(n, InBath(hold, 500_000 + n, None)) for n in (1, 2, 3))
    bench = Bench(score, (*waiting, Copy(4, InBath(1, 970_000, 120_000))), now=999_000)
    said = advance(bench, h.HowLong(), 1_000_000).answer.words
    assert said == "copy four is in the developer for one minute thirty more. three are in the holding water"
