"""The baths on the screen, over a real journal: every key does what the command does, and any window shows the one looked at."""

import asyncio
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.printing.bath_screen import BathShelf
from assistant.records.baths import Baths
from assistant.records.journal import Journal
from assistant.screens.baths import BathsScreen, Place, draw_baths
from tests.pages.hostile import ACTING, HOSTILE
from tests.records.sessions import MORNING, a_bath


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "records.sqlite") as opened:
        yield opened


def pressed(journal: Journal, *keys: str, size: tuple[int, int] = (80, 24)) -> BathsScreen:
    app = BathsScreen(BathShelf(journal))

    async def play() -> None:
        async with app.run_test(size=size) as pilot:
            await pilot.press(*keys)
            await pilot.pause()
            assert app.pane.rows == tuple(draw_baths(app.lines, app.place, *size))

    asyncio.run(play())
    return app


def typed(words: str) -> list[str]:
    return [{" ": "space", ",": "comma"}.get(letter, letter) for letter in words]


def test_a_bath_is_added_topped_up_mixed_anew_and_retired(journal: Journal) -> None:
    store = Baths(journal)
    app = pressed(journal, "n", *typed("fixer A, fixer, 3 l, 20 per litre"), "enter")
    assert app.place.said.startswith("fixer A: mixed ")
    (bath,) = store.in_use()
    assert (bath.name, bath.volume, bath.lasts, bath.told("stood")[0].details) == ("fixer A", 3000, 20.0, {"tray": "fixer"})
    app = pressed(journal, "t", *typed("500 ml, 1 l"), "enter")
    assert app.place.said == "fixer A: 3.5 l, worn like 0.0 sheets of 8x10 (before: 0.0)."
    app = pressed(journal, "m", "enter")
    assert "sheets are counted from there" in app.place.said
    assert [one.number for one in store.in_use()] == [2]
    app = pressed(journal, "x", *typed("spent"), "enter")
    assert "fixer A is retired." in app.place.said
    assert "ask the local authority" in app.place.said
    assert store.in_use() == ()
    assert [one.retired.details["why"] for one in store.all() if one.retired] == ["mixed anew", "spent"]


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        (["t", *typed("500"), "enter"], "Two volumes are wanted, like 500 ml, 500 ml"),
        (["t", *typed("500, 500"), "enter"], '"500"'),
        (["t", *typed("9 l, 1 l"), "enter"], "Only 2 l are in jug"),
        (["n", *typed("jug"), "enter"], "jug is in use already"),
        (["n", "enter"], "Say its name"),
        (["x", "escape"], ""),
    ],
)
def test_what_cannot_be_is_answered_and_nothing_is_kept(journal: Journal, keys: list[str], said: str) -> None:
    a_bath(journal, "jug", MORNING, volume=2000)
    before = Baths(journal).all()
    assert pressed(journal, *keys).place.said.startswith(said)
    assert Baths(journal).all() == before


@pytest.mark.parametrize("size", [(1, 1), (20, 6), (39, 10), (60, 20), (80, 24), (160, 50)])
def test_the_bath_looked_at_is_seen_in_any_window(journal: Journal, size: tuple[int, int]) -> None:
    for number in range(12):
        a_bath(journal, f"bath {number}", MORNING)
    lines = BathShelf(journal).lines()
    for at in range(12):
        for asked in ("", "t"):
            rows = draw_baths(lines, Place(at, asked=asked), *size)
            assert len(rows) == size[1]
            assert max(len(row.text) for row in rows) <= size[0]
            if size[1] >= 20:
                assert any(row.text.startswith(f"> bath {at} ") for row in rows)


def test_foreign_words_do_nothing_on_it(journal: Journal) -> None:
    for words in HOSTILE:
        a_bath(journal, words, MORNING)
    lines = BathShelf(journal).lines()
    for at in range(len(HOSTILE)):
        for row in draw_baths(lines, Place(at, said=HOSTILE[at]), 60, 20):
            assert not [sign for sign in [*ACTING, "\n"] if sign in row.text]


def test_without_a_terminal_the_plain_way_is_named(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    assert main(["baths", "look"]) == 1
    assert capsys.readouterr().err == "The baths on the screen need a terminal. As plain text: traycall baths\n"
