"""The baths on the screen, over a real journal: every key does what the command does, and foreign words stay words."""

import sqlite3
from contextlib import closing

import pytest
from textual.widgets import Input

from assistant.cli.main import main
from assistant.records.baths import Baths
from assistant.records.journal import Journal
from assistant.screens.dry.outside import DryState
from tests.pages.hostile import ACTING, HOSTILE
from tests.records.every_row import unguard
from tests.records.sessions import MORNING, a_bath
from tests.screens.dry.stage import own, played  # noqa: F401

pytestmark = pytest.mark.usefixtures("own")


def said(*questions):
    """What comes of each key and of what is written; None leaves the question."""
    shown = []

    async def play(stage):
        for key, words in questions:
            await stage.press(key)
            if words is None:
                await stage.press("escape")
            else:
                for asked, word in zip(stage.app.screen.query(Input), words.split(", "), strict=False):
                    asked.value = word
                await stage.press("enter")
            shown.append(stage.text())
            if "Not done" in shown[-1]:  # what was typed still stands there
                assert all(word in shown[-1] for word in words.split(", "))
                await stage.press("escape")

    played(play, state=DryState(baths=True))
    return shown


def test_a_bath_is_added_topped_up_mixed_again_and_retired():
    (added,) = said(("n", "fixer A, fixer, 3 l, 20 per litre"))
    assert "fixer A: mixed " in added
    with Journal.open() as journal:
        (bath,) = Baths(journal).in_use()
    assert (bath.name, bath.volume, bath.lasts, bath.told("stood")[0].details) == ("fixer A", 3000, 20.0, {"tray": "fixer"})
    topped_up, mixed, retired = said(("t", "500 ml, 1 l"), ("m", ""), ("x", "spent"))
    assert "fixer A: 3.5 l, worn like 0.0 sheets of 8x10 (before: 0.0)." in topped_up
    assert "sheets are counted from" in mixed
    assert "fixer A is retired." in retired
    assert "local authority" in retired
    with Journal.open() as journal:
        assert Baths(journal).in_use() == ()
        assert len(Baths(journal).all()) == 2


def test_what_cannot_be_is_answered_and_nothing_is_kept():
    with Journal.open() as journal:
        a_bath(journal, "jug", MORNING, volume=2000)
        before = Baths(journal).all()
    asked = {
        ("t", "500 ml"): '"" is not a volume',
        ("t", "500, 500"): '"500"',
        ("t", "9 l, 1 l"): "Only 2 l are in jug",
        ("n", "jug"): "jug is in use already",
        ("x", None): "Baths in use",
        ("n", ""): "Say its name",
    }
    for answer, shown in zip(asked.values(), said(*asked), strict=True):
        assert answer in shown
    with Journal.open() as journal:
        assert Baths(journal).all() == before


def test_where_there_is_none_it_says_what_to_do():
    (shown,) = said(("m", ""))
    assert "No bath has been written down yet: n adds one." in shown


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


def test_baths_that_cannot_be_read_are_said_in_their_window(own):  # noqa: F811
    with Journal.open() as journal:
        a_bath(journal, "fixer", MORNING)
    with closing(sqlite3.connect(own / "records.sqlite", isolation_level=None)) as connection:
        unguard(connection)
        connection.execute("UPDATE baths SET made = 'x'")

    async def look(stage):
        assert "The records in" in stage.text()
        assert "No bath has been written down" not in stage.text()
        await stage.press("escape")
        assert "Print F2" in stage.text()

    played(look, state=DryState(baths=True))
