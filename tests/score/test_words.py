"""What is said, in words: no digit ever reaches the voice."""

import re

import pytest

from assistant.score import words


@pytest.mark.parametrize(
    ("ms", "said"),
    [
        (1_000, "one second"),
        (2_500, "two point five seconds"),
        (9600, "nine point six seconds"),
        (15_000, "one five seconds"),
        (50_000, "fifty seconds"),
        (59_600, "sixty seconds"),
        (60_000, "one minute"),
        (72_000, "one minute twelve"),
        (150_000, "two minutes thirty"),
        (3_600_000, "one hour"),
        (3_900_000, "one hour five minutes"),
        (7_200_000, "two hours"),
    ],
)
def test_spans(ms, said):
    assert words.span(ms) == said


@pytest.mark.parametrize(
    ("ms", "said"),
    [
        (82_000, "one twenty two"),
        (65_000, "one oh five"),
        (60_000, "one minute"),
        (110_000, "one fifty"),
        (77_000, "one minute one seven"),  # "one one seven" would be 117
        (920_000, "one five minutes twenty"),  # "one five twenty" would be 15, 20
    ],
)
def test_times_in_a_row_are_short_and_cannot_be_taken_for_others(ms, said):
    assert words.brief(ms) == said


@pytest.mark.parametrize(
    ("value", "said"), [(0, "zero"), (19, "nineteen"), (40, "forty"), (99, "ninety nine"), (115, "one hundred fifteen")]
)
def test_numbers(value, said):
    assert words.number(value) == said


def test_a_row_of_words():
    assert words.listed([]) == ""
    assert words.listed(["gloves"]) == "gloves"
    assert words.listed(["gloves", "fan", "water"]) == "gloves, fan and water"


def test_what_waits_is_told_with_its_most():
    assert words.waits(3, "Fixer", 240_000, 120_000, 300_000) == (
        "copy three has been four minutes in the fixer; most is five minutes"
    )
    assert words.waits(1, "Developer", 160_000, 120_000, None) == "copy one is forty seconds over in the developer"


def test_what_may_stain_is_said_right_after_the_sheet_that_it_is_said_of():
    alone = words.into_toner("Toner", 2, ["Gloves"], words.fixed_short([2], named=True), words.took(1, 62_000))
    assert alone == "gloves first. copy two into the toner. it was fixed short and may stain. copy one took one minute two"
    assert words.fixed_short([2], named=False) == "copy two was fixed short and may stain"
    assert words.fixed_short([2, 5], named=False) == "copies two and five were fixed short and may stain"


def test_prints_that_pass_the_toner_by_are_told_so():
    assert words.stays_untoned("Rinse", [8]) == "copy eight stays untoned, into the rinse"
    assert words.stays_untoned("Rinse", [7, 8]) == "copies seven and eight stay untoned, into the rinse"


MS = 19_000
TIMES = [
    words.within("place paper", MS), words.took(1, MS), words.look_from([MS], MS, tired=False),
    words.new_exposure([1, 2], MS), words.another(9, "", 1, 1, MS), words.another(9, "Ferry", 2, 2, MS),
    words.most("Fixer", MS), words.left(3, "Fixer", MS), words.waits(1, "Fixer", MS, None, 30_000),
    words.waits(1, "Fixer", 2 * MS, MS, None), words.look(MS, "blacks"), words.look(MS, ""), words.past_range(MS),
    words.pulled(MS, "Rinse"), words.remaining(1, "Fixer", MS), words.staying(1, "Fixer", MS), words.free_for(MS),
    words.through(MS, "Water"), words.taken(1, "Stop", MS), words.taken(None, "Stop", -MS), words.moved(1, "Stop", MS),
    words.first_tone(MS, ""), words.held_to(MS, True, ""), words.comes(MS, "lift"),
    words.too_short_yet(1, "Rinse", MS, 2 * MS), words.first_time("twenty degrees", MS),
    words.new_time("twenty degrees", "Bath", MS), words.picked(4, MS), words.judge([MS]), words.nobody_listened(MS),
    words.developer_going(19), words.wait(2, MS),
]  # fmt: skip


@pytest.mark.parametrize("said", TIMES)
def test_no_time_opens_a_phrase_where_it_could_be_a_sheets_number(said):
    """After a pause, or after the name of a bath or a strip's number, "one nine seconds" is one, and then nine seconds."""
    assert "one nine" in said
    assert not re.search(r"(^|[.,:;] |fixer |stop |rinse |bath |strip \w+ |filter \w+ )one nine", said)
