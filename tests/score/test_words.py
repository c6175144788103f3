"""What is said, in words: no digit ever reaches the voice."""

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
        "copy three has been in the fixer four minutes; most is five minutes"
    )
    assert words.waits(1, "Developer", 160_000, 120_000, None) == "copy one is forty seconds over in the developer"
