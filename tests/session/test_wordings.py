"""A printer's own wordings: what cannot be told from another, or is too short, is refused; the shipped ones are not."""

import pytest

from assistant.session.said import PHRASES
from assistant.session.wordings import TOO_NEAR, WORDINGS, apart, in_force, wrong_wording


def test_every_phrase_has_its_words_and_none_is_taken_for_another():
    assert list(WORDINGS) == list(PHRASES)
    for name, wordings in WORDINGS.items():
        assert [wrong_wording(name, wording, {}) for wording in wordings] == [""] * len(wordings)


@pytest.mark.parametrize(
    ("name", "wording", "said"),
    [
        ("hold", "halt", "it has 1 syllable"),
        ("no", "let it be", ""),
        ("void", "drop {}", "it has 1 syllable"),
        ("pick", "this is the one", "with {} once"),
        ("undo", "take {} back again", "no signs"),
        ("undo", "take it back!", "no signs"),
        ("hold", "take it back", 'it is taken for "take it back"'),
        ("hold", "tayk id bag", 'it is taken for "take it back"'),
        ("go", "say id again", 'it is taken for "say it again"'),
        ("again", "repeat that for me once more if you would please", "it has 11 syllables"),
        ("lunch", "bring the sandwiches", "nothing is said for lunch"),
    ],
)
def test_an_own_wording(name, wording, said):
    wrong = wrong_wording(name, wording, {name: wording})
    assert said in wrong
    assert bool(wrong) == bool(said)


def test_two_own_wordings_are_told_apart_too():
    own = {"go": "carry on then", "hold": "carry him then"}
    assert "carry on then" in wrong_wording("hold", own["hold"], own)
    assert wrong_wording("go", "take it back", {"go": "take it back", "undo": "that was not right"}) == ""


def test_its_own_takes_the_place_of_the_shipped_one_and_a_shipped_one_stays_with_its_fellows():
    assert in_force({"in": "she is in the water"})["in"] == ("she is in the water",)
    assert in_force({"in": "it is in now"})["in"] == WORDINGS["in"]


def test_distances_are_those_of_sounds():
    assert apart("wait for me", "waight four mee") < TOO_NEAR < apart("wait for me", "what comes next")
    assert apart("take it back", "take it back") == 0
