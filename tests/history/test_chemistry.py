"""Chemistry in use: what went through a bath since it was made, what wore it, and what that leaves for the next edition."""

import random
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.history.baths import Bath, BathEvent, BathUse, InUse, standing, topped_up
from assistant.history.chemistry import before_copy_one, days, lasting, rank_of, sentence, through, too_short
from assistant.pages.edition_text import edition_sheet
from assistant.planning.plan import make_plan
from assistant.printing.records_read import in_use, record_of
from assistant.recipe.loader import loads
from assistant.records.journal import Journal
from assistant.score.score import Score
from assistant.trade import capacity
from assistant.trade.quantities import parse_size
from tests.records.sessions import EVENTFUL, MORNING, OVER, TEXT, a_bath, keep

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
RECIPE = loads(TEXT).recipe


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "records.sqlite") as opened:
        yield opened


def made(name: str, at: datetime = MORNING, volume: int | None = None, lasts: float | None = None) -> Bath:
    return Bath(1, name, "bath", name, None, volume, lasts, None, at)


def worn(tray: str, wear: float, at: datetime = MORNING - DAY) -> InUse:
    written = RECIPE.trays[tray]
    return standing(made(tray, at, written.volume, written.lasts), [BathUse(at, wear)], MORNING + DAY, tray)


def test_sheets_count_by_area_and_spoiled_ones_too(journal: Journal) -> None:
    """12x16 in is 2.4 sheets of 8x10 in [math]; every session develops four, one of them torn, and fixes three."""
    stood = {tray: a_bath(journal, tray, MORNING) for tray in ("developer", "fixer", "toner")}
    for number in range(3):
        keep(journal, EVENTFUL, OVER, started=MORNING + number * DAY, stood=stood)
    first = in_use(journal, stood, RECIPE, MORNING + HOUR)
    assert first["developer"].through == pytest.approx(4 * 2.4)
    all_three = in_use(journal, stood, RECIPE, MORNING + 3 * DAY)
    assert all_three["developer"].through == pytest.approx(12 * 2.4)
    assert all_three["fixer"].through == pytest.approx(9 * 2.4)
    assert all_three["fixer"].takes == 40
    assert all_three["toner"].through == pytest.approx(6 * 2.4)


def test_sheets_of_a_size_that_nobody_wrote_are_counted_apart(journal: Journal) -> None:
    stood = {"fixer": a_bath(journal, "fixer", MORNING)}
    keep(journal, EVENTFUL, OVER, text=TEXT.replace("size: 12x16 in, ", ""), stood=stood)
    bath = in_use(journal, stood, RECIPE, MORNING + HOUR)["fixer"]
    assert (bath.through, bath.unsized) == (0, 3)


def test_blank_sheets_count_in_every_bath(journal: Journal) -> None:
    text = TEXT.replace("copies: 3\n", "copies: 3\nblank: 2\n")
    stood = {tray: a_bath(journal, tray, MORNING) for tray in ("developer", "fixer")}
    keep(journal, EVENTFUL, OVER, text=text, stood=stood)
    state = in_use(journal, stood, RECIPE, MORNING + HOUR)
    assert state["developer"].through == pytest.approx((4 + 2) * 2.4)
    assert state["fixer"].through == pytest.approx((3 + 2) * 2.4)
    found = lasting(loads(text).recipe, 8, "fixer", None)
    assert found is not None
    assert found.needs == pytest.approx(10 * 2.4)


def test_two_trays_of_one_name_are_two_baths_if_two_baths_stood_there(journal: Journal) -> None:
    old, new = a_bath(journal, "fixer A", MORNING), a_bath(journal, "fixer B", MORNING)
    keep(journal, EVENTFUL, OVER, stood={"fixer": old})
    keep(journal, EVENTFUL, OVER, started=MORNING + DAY, stood={"fixer": new})
    for bath in (old, new):
        assert in_use(journal, {"fixer": bath}, RECIPE, MORNING + 2 * DAY)["fixer"].through == pytest.approx(3 * 2.4)


def test_who_came_before_in_this_toner_is_kept_and_said(journal: Journal) -> None:
    """Two prints of 1:20 and 1:50 an evening; a fresh toner begins from nothing."""
    stood = {"toner": a_bath(journal, "toner", MORNING)}
    for number in range(2):
        keep(journal, EVENTFUL, OVER, started=MORNING + number * DAY, stood=stood)
    bath = in_use(journal, stood, RECIPE, MORNING + 2 * DAY)
    assert bath["toner"].pulled == (80_000, 110_000, 80_000, 110_000)
    assert before_copy_one(RECIPE, 3, bath, MORNING + 2 * DAY) == [
        "toner: the last prints in this toner took 1:50.0, 1:20.0, 1:50.0: look from 1:20.0."
    ]
    sheet = edition_sheet(record_of(journal, journal.session(2)))
    assert "before them in toner: 2 prints, at last 1:20.0, 1:50.0" in sheet
    anew = {"toner": a_bath(journal, "toner B", MORNING + DAY)}
    assert in_use(journal, anew, RECIPE, MORNING + 2 * DAY)["toner"].pulled == ()


# Worked values.


def test_a_published_capacity() -> None:
    """20 sheets of 8x10 in a litre of acid fixer: 2 l take 20.78 sheets of 11x14 (Anchell, The Darkroom Cookbook, p. 108)."""
    text = TEXT.replace("12x16 in", "11x14 in").replace("bath: rapid fixer, mix: 1+4, volume: 2 l", "bath: fixer, volume: 2 l")
    recipe = loads(text).recipe
    assert recipe.trays["fixer"].lasts == 20
    assert capacity.USUAL["acid fixer"] == (20, 20)
    twenty, more = lasting(recipe, 20, "fixer", None), lasting(recipe, 21, "fixer", None)
    assert twenty is not None
    assert more is not None
    assert (twenty.spent_at, more.spent_at) == (None, 21)
    assert twenty.takes / parse_size("11x14 in").equivalents == pytest.approx(20.78, abs=0.005)


def test_topping_up_is_the_law_of_mixtures() -> None:
    """Half poured out and fresh poured in, again and again: what is left halves each time, like a fill and dump [math]."""
    volume, wear = 2000.0, 32.0
    for left in (16.0, 8.0, 4.0):
        volume, wear = topped_up(volume, wear, 1000, 1000)
        assert (volume, wear) == (2000, left)
    assert topped_up(2000, 30, 500, 1500) == (3000, 22.5)


def test_uses_and_top_ups_count_in_the_order_in_which_they_were() -> None:
    top = BathEvent(MORNING + 2 * HOUR, "topped up", {"bled": 1000, "fed": 1000})
    bath = replace(made("fixer", volume=2000, lasts=20), events=(top,))
    sheets = [BathUse(MORNING + HOUR, 20.0), BathUse(MORNING + 3 * HOUR, 5.0), BathUse(MORNING + 9 * HOUR, 99.0)]
    state = standing(bath, sheets, MORNING + 4 * HOUR)
    assert (state.through, state.wear, state.volume, state.takes, state.left) == (25, 15, 2000, 40, 25)


def test_a_second_fixing_bath_counts_sheets_and_is_worn_from_when_it_stands_first() -> None:
    """The first bath takes up nearly all the silver; when it is spent the second takes its place (Anchell, p. 107)."""
    text = TEXT.replace("- fix: {for", "- fix: {tray: fixer, for")
    text = text.replace("  water:", "  second:    {bath: rapid fixer, volume: 2 l, lasts: 20 per litre}\n  water:")
    step = "  - fix: {name: Second fixer, tray: second, for: 2 min, at_most: 5 min}\n"
    two = loads(text.replace("  - hold:", f"{step}  - hold:")).recipe
    assert [rank_of(two, tray) for tray in ("fixer", "second", "stop")] == [1, 2, 1]
    assert lasting(two, 90, "second", None) is None
    passed = [BathUse(MORNING, 30.0, wears=False), BathUse(MORNING + HOUR, 4.0)]
    state = standing(made("B", volume=2000, lasts=20), passed, MORNING + DAY)
    assert (state.through, state.wear, state.left) == (34, 4, 36)


def test_a_hundred_invented_evenings_against_sums_made_by_hand(journal: Journal) -> None:
    """Random editions in random baths; the sums here are made from the numbers drawn, never from the records."""
    chance = random.Random(1907)
    sizes = ("5x7 in", "8x10 in", "11x14 in", "12x16 in")
    baths = {name: a_bath(journal, name, MORNING - DAY, "fixer", volume=5000, lasts=20.0) for name in ("A", "B", "C")}
    by_hand = dict.fromkeys(baths, 0.0)
    played = {}
    for evening in range(100):
        size, copies, name = chance.choice(sizes), chance.randint(2, 4), chance.choice("ABC")
        text = TEXT.replace("12x16 in", size).replace("reference: 1\n", "")
        if copies not in played:
            played[copies] = rehearse(Score(make_plan(loads(text).recipe, copies)), Punctual())
        done = played[copies]
        when, stood = MORNING + evening * DAY, {"fixer": baths[name]}
        keep(journal, done.hands, done.bench.now, text=text, copies=copies, started=when, stood=stood)
        wide, high = (int(side) for side in size.removesuffix(" in").split("x"))
        by_hand[name] += copies * wide * high / 80
    for name, bath in baths.items():
        assert in_use(journal, {"fixer": bath}, RECIPE, MORNING + 200 * DAY)["fixer"].through == pytest.approx(by_hand[name])


# Before copy one.


def test_before_copy_one_it_says_which_copy_the_bath_will_not_take() -> None:
    """2 l at 20 to the litre take 40 sheets of 8x10: after 21 of them 19 are left, seven of 12x16 in (16.8)."""
    baths = {"fixer": worn("fixer", 21.0)}
    baths["fixer"] = replace(baths["fixer"], bath=replace(baths["fixer"].bath, events=(TESTED,)))
    assert before_copy_one(RECIPE, 8, baths, MORNING) == [
        "fixer: 21.0 sheets of 8x10 went through, of 40.0 that it takes: spent at copy 8 of 8 (12x16 in). "
        "Top it up or mix it fresh."
    ]
    assert before_copy_one(RECIPE, 7, baths, MORNING) == [
        "fixer: 21.0 sheets of 8x10 went through, of 40.0 that it takes: enough for 7 copies of 12x16 in and 0 more."
    ]
    assert too_short(RECIPE, 8, baths) == ["fixer"]
    assert too_short(RECIPE, 7, baths) == []


TESTED = BathEvent(MORNING, "tested", {"test": "silver", "good": True})


def test_the_sentence_before_copy_one() -> None:
    baths = {"fixer": worn("fixer", 14.0), "developer": worn("developer", 0.0)}
    assert sentence(RECIPE, 8, baths) == "fixer: used one four of forty, this session takes one nine: enough"
    assert sentence(RECIPE, 12, baths) == (
        "fixer: used one four of forty, this session takes twenty nine: not enough for copy eleven"
    )
    assert sentence(RECIPE, 8, {"developer": worn("developer", 0.0)}) == ""
    assert sentence(RECIPE, 8, {"fixer": worn("fixer", 14.0), "developer": worn("developer", 40.0)}) == (
        "developer: used forty of sixty, this session takes one nine: enough"
    ), "the worst one"
    assert sentence(RECIPE, 12, {"fixer": worn("fixer", 14.0), "developer": worn("developer", 55.0)}) == (
        "developer: used fifty five of sixty, this session takes twenty nine: not enough for copy three. and one more"
    )
    assert sentence(RECIPE, 20, {}) == "fixer: takes forty, this session takes forty eight: not enough for copy seventeen"


def test_a_fresh_bath_is_only_spoken_of_when_it_will_not_last() -> None:
    assert before_copy_one(RECIPE, 8, {}, MORNING) == []
    assert before_copy_one(RECIPE, 8, {"fixer": worn("fixer", 0.0)}, MORNING) == []
    assert before_copy_one(RECIPE, 20, {}, MORNING) == [
        "fixer: takes 40.0 sheets of 8x10: spent at copy 17 of 20 (12x16 in). Top it up or mix it fresh."
    ]


def test_an_old_bath_is_said_with_the_reason() -> None:
    """Working fixer two months at most (Anchell); a developer in an open tray one session [practice]."""
    old = {tray: worn(tray, 0.0, MORNING - 70 * DAY) for tray in ("developer", "fixer", "toner", "water")}
    assert before_copy_one(RECIPE, 3, old, MORNING) == [
        "developer: mixed 70 days ago. In an open tray a developer keeps for one session. Follow its label.",
        "fixer: mixed 70 days ago. A working fixer keeps for two months at most. Follow its label.",
        "fixer: before toning mind that it is 70 days old. A test: traycall baths test",
    ]
    young = {tray: worn(tray, 0.0, MORNING - 23 * HOUR) for tray in ("developer", "fixer")}
    assert before_copy_one(RECIPE, 3, young, MORNING) == []
    labelled = replace(old["developer"], bath=replace(old["developer"].bath, keeps=90))
    assert before_copy_one(RECIPE, 3, {"developer": labelled}, MORNING) == []


def test_the_third_rotation_is_said() -> None:
    bath = worn("fixer", 0.0)
    up = BathEvent(MORNING - HOUR, "moved up", {"rotation": 3})
    said = before_copy_one(RECIPE, 3, {"fixer": replace(bath, bath=replace(bath.bath, events=(up,)))}, MORNING)
    assert said == ["fixer: the fixing baths have changed places 3 times: after the third mix both fresh."]


@pytest.mark.parametrize(("age", "words"), [(HOUR, "less than a day"), (DAY, "a day"), (3 * DAY, "3 days")])
def test_ages_are_whole_days(age: timedelta, words: str) -> None:
    assert days(age) == words


@pytest.mark.parametrize(
    ("sized", "unsized", "said"),
    [(0.0, 0, "nothing"), (2.4, 0, "2.4 sheets of 8x10"), (0.0, 1, "1 of a size that was not written"),
     (2.4, 2, "2.4 sheets of 8x10 and 2 of a size that was not written")],
)  # fmt: skip
def test_only_what_went_through_is_said(sized, unsized, said):
    assert through(InUse(bath=None, tray="fixer", through=sized, unsized=unsized, wear=sized)) == f"{said} went through"
