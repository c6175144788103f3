"""What a recipe's author writes, as the voice says it. Common practice, no source."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.places import shipped
from assistant.planning.plan import make_plan
from assistant.recipe.loader import load
from assistant.score import words
from assistant.score.score import Score
from assistant.score.spoken import spoken


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("stop down to f/11", "stop down to f eleven"),
        ("f/5.6", "f five point six"),
        ("f/22, then back", "f twenty two, then back"),
        ("1+9", "one plus nine"),
        ("1 + 4", "one plus four"),
        ("burn 1/2 stop", "burn a half stop"),
        ("2/3 stop", "two thirds stop"),
        ("1 1/2 stops", "one and a half stops"),
        ("filter 2 1/2", "filter two and a half"),
        ("20 C", "twenty degrees"),
        ("20.5 °C", "twenty point five degrees"),
        ("19°", "nineteen degrees"),
        ("12x16 in", "twelve by sixteen inches"),
        ("8 x 10", "eight by ten"),
        ("turn every 30 s", "turn every thirty seconds"),
        ("1 min", "one minute"),
        ("2 min 30 s", "two minutes thirty seconds"),
        ("8 %", "eight per cent"),
        ("1 l", "one litre"),
        ("sheet 3 & 4", "sheet three and four"),
        ("9.6 s", "nine point six seconds"),
        ("grade 2.5.", "grade two point five."),
        ("batch A3", "batch A3"),
        ("copy two of eight. place paper", "copy two of eight. place paper"),
        ("bow to the left", "bow to the left"),
        ("a C clamp", "a C clamp"),
    ],
)
def test_as_a_printer_says_it(written, said):
    assert spoken(written) == said


@given(st.text(max_size=60))
def test_anything_can_be_said_and_saying_it_again_changes_nothing(text):
    once = spoken(text)
    assert spoken(once) == once


@given(st.integers(0, 9999))
def test_no_figure_is_left(number):
    assert not re.search(r"\d", spoken(f"print {number} more"))


@pytest.mark.parametrize("file", sorted(shipped("recipes").glob("*.yaml")), ids=lambda file: file.stem)
def test_the_sentences_of_a_session_stay_as_they_are(file):
    for cue in rehearse(Score(make_plan(load(file).recipe)), Punctual()).heard:
        assert spoken(cue.words) == cue.words


def test_in_is_a_unit_only_where_a_phrase_ends():
    assert spoken("12x16 in the big tray") == "twelve by sixteen in the big tray"
    assert spoken("30 in the water") == "thirty in the water"
    assert spoken("trim 2 in") == "trim two inches"


def test_how_long_a_copy_waits_is_said_in_whole_seconds():
    assert words.waits(1, "Developer", 30_500, 30_000, None) == "copy one is one second over in the developer"
    held = words.waits(2, "Fixer", 123_400, 120_000, 180_000)
    assert held == "copy two has been two minutes three in the fixer; most is three minutes"
    assert words.staying(1, "Toner", 11_400) == "copy one has been eleven seconds in the toner"
