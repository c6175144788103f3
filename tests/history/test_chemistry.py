"""Chemistry in use: what went through a bath since it was mixed, and what that leaves for the next edition."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from assistant.history.baths import Mixing
from assistant.history.chemistry import InUse, before_copy_one, days, in_use, mixed_before, takes
from assistant.recipe.loader import loads
from assistant.records.journal import Journal
from assistant.records.printed import Printed, printed
from tests.records.sessions import EVENTFUL, MORNING, OVER, TEXT, keep

HOUR, DAY = timedelta(hours=1), timedelta(days=1)


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "records.sqlite") as opened:
        yield opened


def three_days(journal: Journal, text: str = TEXT) -> list[Printed]:
    """The eventful session (two sheets fixed before it slept, four developed), on three mornings."""
    for number in range(3):
        keep(journal, EVENTFUL, OVER, text=text, started=MORNING + number * DAY)
    return [printed(journal, s) for s in journal.sessions()]


def test_sheets_count_by_area_and_spoiled_ones_too(journal: Journal) -> None:
    """12x16 in is 2.4 sheets of 8x10 in [math]; every session develops four, one of them torn, and fixes three."""
    history = three_days(journal)
    assert in_use("developer", MORNING, history, MORNING + HOUR).sheets == pytest.approx(4 * 2.4)
    assert in_use("developer", MORNING, history, MORNING + 3 * DAY).sheets == pytest.approx(12 * 2.4)
    assert in_use("fixer", MORNING, history, MORNING + 3 * DAY).sheets == pytest.approx(9 * 2.4)
    assert in_use("toner", MORNING, history, MORNING + 3 * DAY).sheets == pytest.approx(6 * 2.4)


def test_only_what_went_through_since_it_was_mixed_counts_to_the_sheet(journal: Journal) -> None:
    history = three_days(journal)
    between = MORNING + timedelta(minutes=10)  # copy 3 went into the developer at 9:10, copy 4 at 16:40
    assert in_use("developer", between, history, MORNING + HOUR).sheets == pytest.approx(2.4)
    assert in_use("developer", MORNING + DAY, history, MORNING + 2 * DAY).sheets == pytest.approx(4 * 2.4)
    assert in_use("developer", MORNING + 9 * DAY, history, MORNING + 10 * DAY).sheets == 0


def test_sheets_of_a_size_that_nobody_wrote_are_counted_apart(journal: Journal) -> None:
    history = three_days(journal, TEXT.replace("size: 12x16 in, ", ""))
    bath = in_use("fixer", MORNING, history, MORNING + HOUR)
    assert (bath.sheets, bath.unsized) == (0, 3)


def test_a_mixing_is_corrected_by_saying_it_again() -> None:
    said = [Mixing("fixer", MORNING), Mixing("fixer", MORNING - DAY), Mixing("stop", MORNING + DAY)]
    assert mixed_before(said, "fixer", MORNING + HOUR) == MORNING - DAY
    assert mixed_before(said, "fixer", MORNING - HOUR) == MORNING - DAY
    assert mixed_before(said, "stop", MORNING) is None
    assert mixed_before(said, "toner", MORNING) is None


def test_before_copy_one_it_says_which_copy_the_bath_will_not_take() -> None:
    """2 l at 20 to the litre take 40 sheets of 8x10: after 21 of them 19 are left, seven of 12x16 in (16.8)."""
    recipe = loads(TEXT).recipe
    assert takes(recipe, "fixer") == 40
    worn = {"fixer": InUse("fixer", MORNING - DAY, 21.0, 0)}
    assert before_copy_one(recipe, 8, worn, MORNING) == [
        "fixer: 21.0 sheets of 8x10 went through, of 40.0 that it takes: spent at copy 8 of 8 (12x16 in). Mix it anew."
    ]
    assert before_copy_one(recipe, 7, worn, MORNING) == [
        "fixer: 21.0 sheets of 8x10 went through, of 40.0 that it takes: enough for 7 copies of 12x16 in and 0 more."
    ]


def test_a_fresh_bath_is_only_spoken_of_when_it_will_not_last() -> None:
    recipe = loads(TEXT).recipe
    assert before_copy_one(recipe, 8, {}, MORNING) == []
    assert before_copy_one(recipe, 8, {"fixer": InUse("fixer", MORNING, 0.0, 0)}, MORNING) == []
    assert before_copy_one(recipe, 20, {}, MORNING) == [
        "fixer: takes 40.0 sheets of 8x10: spent at copy 17 of 20 (12x16 in). Mix it anew."
    ]


def test_an_old_bath_is_said_with_the_reason() -> None:
    """Working fixer two months at most (Anchell); a developer in an open tray one session [practice]."""
    recipe = loads(TEXT).recipe
    old = {tray: InUse(tray, MORNING - 70 * DAY, 0.0, 0) for tray in ("developer", "fixer", "toner", "water")}
    assert before_copy_one(recipe, 3, old, MORNING) == [
        "developer: mixed 70 days ago. In an open tray a developer keeps for one session. Its label knows better.",
        "fixer: mixed 70 days ago. A working fixer keeps for two months at most. Its label knows better.",
    ]
    young = {tray: InUse(tray, MORNING - 23 * HOUR, 0.0, 0) for tray in ("developer", "fixer")}
    assert before_copy_one(recipe, 3, young, MORNING) == []


@pytest.mark.parametrize(("age", "words"), [(HOUR, "less than a day"), (DAY, "a day"), (3 * DAY, "3 days")])
def test_ages_are_whole_days(age: timedelta, words: str) -> None:
    assert days(age) == words
