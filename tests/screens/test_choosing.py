"""The dry side: what is offered is what is chosen, and no line of a card, least of all its cautions, is out of reach."""

import asyncio
from pathlib import Path

import pytest

from assistant.places import shipped
from assistant.planning.briefing import LABEL
from assistant.printing.dry_side import offered
from assistant.recipe.loader import load
from assistant.screens.choosing import ELSEWHERE, Card, Chosen, DrySide, Offered, draw_card, lines, possible

FILES = sorted(shipped("recipes").glob("*.yaml"), key=lambda file: file.name)
SHIPPED = [Offered(file.stem, load(file).recipe) for file in FILES]
SIZES = ((60, 20), (80, 24), (100, 30), (160, 50))


def chosen(*keys):
    app = DrySide(SHIPPED)

    async def play():
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.press(*keys)
            await pilot.pause()
            assert app.is_running is (not keys or keys[-1] not in ("enter", "escape", *ELSEWHERE))
        return app.return_value

    return asyncio.run(play())


def test_the_recipe_looked_at_is_printed_in_the_copies_shown():
    second = SHIPPED[1]
    assert chosen("down", "right", "enter") == Chosen(second.name, second.recipe.copies + 1)
    assert chosen("up", "enter") == Chosen(SHIPPED[-1].name, SHIPPED[-1].recipe.copies)
    assert chosen("plus", "plus", "minus", "enter") == Chosen(SHIPPED[0].name, SHIPPED[0].recipe.copies + 1)
    assert chosen("escape") is None


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("at", range(len(SHIPPED)), ids=[one.name for one in SHIPPED])
def test_every_word_of_a_card_can_be_read(at, size):
    copies = SHIPPED[at].recipe.copies
    pages = [draw_card(SHIPPED, Card(at, copies, read), *size) for read in range(12)]
    read = " ".join(word for page in pages for row in page for word in row.text.split())
    for line in (*lines(SHIPPED[at], copies), LABEL):
        assert all(word in read for word in line.split())
    for page in pages:
        assert len(page) == size[1]
        assert all(len(row.text) <= size[0] for row in page)
        assert any(row.text.startswith(f"> {SHIPPED[at].name}") for row in page)


def test_copies_that_cannot_be_printed_are_not_begun_and_the_card_says_why():
    first = SHIPPED[0]
    assert possible(first, first.copies)
    assert not possible(first, 61)
    assert any("from 1 to 60" in line for line in lines(first, 61))
    assert DrySide(SHIPPED[:1]).card.copies == first.copies
    with pytest.raises(ValueError, match="no recipe"):
        DrySide([])


def test_a_recipe_with_faults_is_shown_with_them_and_not_printed(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("shed.yaml").write_text("format: 1\ntitle: Shed\ntrays: {}\nsteps: []\n", encoding="utf-8")
    Path("letter.yaml").write_text("to: the harbour office\n", encoding="utf-8")
    found = offered()
    assert [one.name for one in found[:2]] == ["shed.yaml", SHIPPED[0].name]
    rows = "\n".join(row.text for row in draw_card(found, Card(), 100, 30))
    assert "> shed.yaml: has faults" in rows
    assert "shed.yaml:4:1: steps: there is nothing to do" in rows
    assert not possible(found[0], 1)


def test_the_neighbouring_rooms_are_reached_and_the_card_is_come_back_to():
    for key, room in ELSEWHERE.items():
        gone = chosen("down", "plus", key)
        assert (gone.room, gone.card.at, gone.card.copies) == (room, 1, SHIPPED[1].copies + 1)
    again = DrySide(SHIPPED, card=gone.card)
    assert again.card == gone.card


def test_the_brightness_of_the_session_is_chosen_too():
    assert chosen("b", "enter").level == "work"
    assert chosen("b", "b", "b", "b", "enter").level == "paper"


def test_help_is_on_one_key_and_any_key_puts_it_away():
    app = DrySide(SHIPPED)

    async def play():
        async with app.run_test(size=(60, 20)) as pilot:
            await pilot.press("f1")
            await pilot.pause()
            shown = [row.text for row in app.pane.rows]
            await pilot.press("enter")  # puts the help away, and prints nothing
            await pilot.pause()
            return shown, app.is_running

    shown, running = asyncio.run(play())
    assert running
    assert len(shown) == 20
    text = " ".join(" ".join(shown).split())
    assert all(line in text for line in DrySide.ON_KEYS)
