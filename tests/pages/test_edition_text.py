"""The edition sheet: the whole of it once, as a printer reads it, and what happens at its edges."""

import os
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from assistant import __version__
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.history.baths import Bath, InUse
from assistant.pages.edition_text import edition_sheet
from assistant.records.journal import Journal
from assistant.records.printed import printed
from assistant.session import happenings as h
from assistant.trade.wording import to_tenth
from tests.records.sessions import EVENTFUL, MORNING, OVER, TEXT, at, keep, score_of

FIXER = Bath(1, "fixer", "bath", "fixer", None, None, None, None, MORNING - timedelta(days=3))
SHEET = Path(__file__).with_name("slipway.txt")


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "records.sqlite") as opened:
        yield opened


def test_the_sheet_of_an_eventful_session(journal: Journal) -> None:
    record = printed(journal, keep(journal, EVENTFUL, OVER))
    sheet = edition_sheet(replace(record, baths=(InUse(FIXER, "fixer", 16.8, 1, 16.8),)))
    if os.environ.get("GOLDEN") == "write":
        SHEET.write_text(sheet.replace(__version__, "VERSION"), encoding="utf-8")
    assert sheet == SHEET.read_text(encoding="utf-8").replace("VERSION", __version__)


def test_each_prints_toner_and_how_warm_it_was_are_there(journal: Journal) -> None:
    """The toner is read twice, before either print: the second one's is the later reading."""
    read = [(at("21:00"), h.Reading("toner", 21.5)), (at("24:10"), h.Reading("toner", 20.0))]
    keep(journal, sorted([*EVENTFUL, *read], key=lambda hand: hand[0]), OVER)
    sheet = edition_sheet(printed(journal, journal.session(1)))
    assert "  in selenium toner 1+9, 3 l\n" in sheet
    assert "after 1:20.0, 21.5 C\n" in sheet
    assert "after 1:50.0, 20 C\n" in sheet


def test_an_unfinished_session_says_what_is_still_in_a_bath(journal: Journal) -> None:
    record = printed(journal, keep(journal, EVENTFUL[:3], at("2:00"), ended=False))
    sheet = edition_sheet(record)
    assert "not ended; followed for 2:00.0" in sheet
    assert "3 copies planned: 1 not finished, 2 not begun" in sheet
    assert "Still in a bath where this record ends\n  copy 1, in Developer for 0:40.0\n" in sheet


def test_a_session_of_no_tap_has_a_sheet(journal: Journal) -> None:
    record = printed(journal, keep(journal, [], at("0:10")))
    sheet = edition_sheet(record)
    assert "3 copies planned: 3 not begun" in sheet
    for missing in ("Toning", "Void", "Notes", "Temperatures", "Nobody was called", "Still in a bath"):
        assert missing not in sheet.partition("The recipe")[0]


def test_the_recipe_is_there_as_it_was_to_the_letter(journal: Journal) -> None:
    record = printed(journal, keep(journal, EVENTFUL, OVER))
    written = edition_sheet(record).partition("The recipe, as it was printed from\n")[2]
    assert written.replace("\n    ", "\n").removeprefix("    ") == TEXT


@pytest.mark.parametrize("copies", [1, 5, 12])
def test_every_copys_every_stay_is_in_the_tables_and_no_line_is_too_wide(journal: Journal, copies: int) -> None:
    text = TEXT.replace("reference: 1\n", "")
    played = rehearse(score_of(text, copies), Punctual(1_000))
    session = keep(journal, played.hands, played.bench.now, text=text, copies=copies)
    sheet = edition_sheet(printed(journal, session)).partition("The recipe")[0]
    assert max(map(len, sheet.splitlines())) <= 78
    tables = sheet.partition("True times")[2].partition("Toning")[0]
    assert sorted(word for word in tables.split() if word.isdecimal()) == sorted(str(n) for n in range(1, copies + 1))
    for stay in played.stays:
        row = [line for line in tables.splitlines() if line.startswith(f"{stay.name} ")]
        assert any(to_tenth(stay.lasted) in line for line in row)


def test_two_targets_of_one_step_have_a_line_each(journal: Journal) -> None:
    text = TEXT.replace("develop: {for: 2 min, ", "develop: {for: 2 min, temperature_law: {coefficient: 2}, ")
    record = printed(journal, keep(journal, EVENTFUL, OVER, text=text))
    rows = [line for line in edition_sheet(record).splitlines() if line.startswith("Developer ")]
    # Read at 9:40 as 19.5 C: copies 1 to 3 were in before, copy 4 is given 120 s * 2 ** 0.05 = 124.2 s.
    assert [row.split()[1] for row in rows] == ["2:00.0", "2:04.2"]
    assert rows[1].split()[2:] == ["2:04.2"]


@pytest.mark.parametrize(
    ("ms", "words"),
    [(0, "0:00.0"), (49, "0:00.0"), (50, "0:00.1"), (59_950, "1:00.0"), (3_599_949, "59:59.9"), (3_600_000, "1:00:00.0")],
)
def test_spans_to_the_tenth(ms: int, words: str) -> None:
    assert to_tenth(ms) == words


def test_first_tones_are_listed_by_which_a_tiring_developer_shows(journal: Journal) -> None:
    """One 25 % over the first print's: developer is going [practice]; the sheet gives what that is seen by."""
    text = TEXT.replace("develop: {for: 2 min, drain: 15 s}", "develop: {factor: 6, drain: 15 s}")
    played = rehearse(score_of(text, 2), Punctual())
    session = keep(journal, played.hands, played.bench.now, text=text, copies=2)
    sheet = edition_sheet(printed(journal, session))
    assert "First visible tone\n  copy 1 after 0:20.0\n  copy 2 after 0:20.0\n" in sheet


def test_an_hour_in_the_wash_and_long_names_keep_their_columns(journal: Journal) -> None:
    text = TEXT.replace("for: 40 min, together", "for: 2 h, together")
    text = text.replace("name: Final wash", "name: The last long wash of them all")
    played = rehearse(score_of(text), Punctual())
    session = keep(journal, played.hands, played.bench.now, text=text)
    sheet = edition_sheet(printed(journal, session))
    lines = sheet.splitlines()
    (head,) = [line for line in lines if "target" in line]
    (wash,) = [line for line in lines if line.startswith("The last")]
    assert head == "                           target     copy 1     copy 2     copy 3"
    assert wash == "The last long wash of.. 2:00:00.0  2:01:46.5  2:00:12.0  2:00:00.0"
