"""The baths on the screen, over a real journal: every key does what the command does, and foreign words stay words."""

import pytest
from textual.widgets import Input

from assistant.cli.main import main
from assistant.records.baths import Baths
from assistant.records.journal import Journal
from assistant.screens.dry.outside import DryState
from tests.pages.hostile import ACTING, HOSTILE
from tests.records.sessions import MORNING, a_bath
from tests.screens.dry.stage import own, played  # noqa: F401

pytestmark = pytest.mark.usefixtures("own")


def said(key, words=None):
    """What comes of a key and of what is written; None leaves the question."""
    shown = []

    async def play(stage):
        await stage.press(key)
        if words is None:
            await stage.press("escape")
        else:
            for asked in stage.app.screen.query(Input):
                asked.value = words
            await stage.press("enter")
        shown.append(stage.text())

    played(play, state=DryState(baths=True))
    return shown[0]


def test_a_bath_is_added_topped_up_mixed_again_and_retired():
    assert "fixer A: mixed " in said("n", "fixer A, fixer, 3 l, 20 per litre")
    with Journal.open() as journal:
        (bath,) = Baths(journal).in_use()
    assert (bath.name, bath.volume, bath.lasts, bath.told("stood")[0].details) == ("fixer A", 3000, 20.0, {"tray": "fixer"})
    assert "fixer A: 3.5 l, worn like 0.0 sheets of 8x10 (before: 0.0)." in said("t", "500 ml, 1 l")
    assert "sheets are counted from" in said("m", "")
    retired = said("x", "spent")
    assert "fixer A is retired." in retired
    assert "local authority" in retired
    with Journal.open() as journal:
        assert Baths(journal).in_use() == ()
        assert len(Baths(journal).all()) == 2


@pytest.mark.parametrize(
    ("key", "words", "answer"),
    [
        ("t", "500", "Two volumes are wanted, like 500 ml, 500 ml"),
        ("t", "500, 500", '"500"'),
        ("t", "9 l, 1 l", "Only 2 l are in jug"),
        ("n", "jug", "jug is in use already"),
        ("n", "", "Say its name"),
        ("x", None, "Baths in use"),
    ],
)
def test_what_cannot_be_is_answered_and_nothing_is_kept(key, words, answer):
    with Journal.open() as journal:
        a_bath(journal, "jug", MORNING, volume=2000)
        before = Baths(journal).all()
    assert answer in said(key, words)
    with Journal.open() as journal:
        assert Baths(journal).all() == before


def test_where_there_is_none_it_says_what_to_do():
    assert "No bath has been written down yet: n adds one." in said("m", "")


def test_foreign_words_do_nothing_on_it():
    with Journal.open() as journal:
        for words in HOSTILE:
            a_bath(journal, words, MORNING)
    shown = []

    async def play(stage):
        for _ in HOSTILE:
            shown.extend(stage.rows())
            await stage.press("down")

    played(play, state=DryState(baths=True), size=(60, 20))
    assert not [sign for sign in [*ACTING, "\n"] for row in shown if sign in row]


def test_without_a_terminal_the_plain_way_is_named(capsys):
    assert main(["baths", "look"]) == 1
    assert capsys.readouterr().err == "The baths on the screen need a terminal. As plain text: traycall baths\n"
