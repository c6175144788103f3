"""A disk that fills up in the middle of a session costs a sentence, no happening and no sheet."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.conductor.ports import Journal as JournalPort
from assistant.devices.clock import JumpingClock
from assistant.records.file import JournalFault
from assistant.records.journal import Journal, SessionJournal
from assistant.records.steady import SteadyJournal
from assistant.session.happenings import Note, Tap

LONG = Note("w" * 5000)


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "records.sqlite") as opened:
        yield opened


@pytest.fixture
def kept(journal: Journal) -> SessionJournal:
    return journal.begin(JumpingClock(), recipe="", title="Slipway panel", file="", copies=1)


def fill(journal: Journal) -> None:
    (pages,) = journal._connection.execute("PRAGMA page_count").fetchone()
    journal._connection.execute(f"PRAGMA max_page_count = {pages}")


def make_room(journal: Journal) -> None:
    journal._connection.execute("PRAGMA max_page_count = 1000000")


def test_with_room_it_is_the_journal(kept: SessionJournal) -> None:
    steady = SteadyJournal(kept)
    port: JournalPort = steady
    port.append(1000, Tap())
    steady.alive(2000)
    steady.finish(3000)
    assert [(entry.at, entry.happening) for entry in kept.entries()] == [(1000, Tap())]
    assert kept._journal.session(1).ended == 3000
    assert steady.trouble() == ""


@pytest.mark.parametrize("next_word", ["append", "alive"])
def test_what_could_not_be_kept_is_kept_later_in_its_order(journal: Journal, kept: SessionJournal, next_word: str) -> None:
    steady = SteadyJournal(kept)
    fill(journal)
    steady.append(1000, LONG)
    steady.append(2000, Tap())
    assert steady.trouble().startswith("Not being kept: The disk is full")
    assert kept.entries() == []
    make_room(journal)
    steady.append(3000, Tap()) if next_word == "append" else steady.alive(3000)
    assert steady.trouble() == ""
    assert [entry.at for entry in kept.entries()] == [1000, 2000, 3000][: 3 if next_word == "append" else 2]
    assert journal.session(1).lived == 3000


def test_time_is_not_marked_as_lived_while_happenings_wait(journal: Journal, kept: SessionJournal) -> None:
    """Or a resume would take pips for done whose taps it does not know."""
    steady = SteadyJournal(kept)
    steady.append(500, Tap())
    fill(journal)
    steady.append(1000, LONG)
    steady.alive(90_000)
    assert journal.session(1).lived == 500


def test_the_end_says_what_is_missing(journal: Journal, kept: SessionJournal) -> None:
    steady = SteadyJournal(kept)
    fill(journal)
    steady.append(1000, LONG)
    with pytest.raises(JournalFault, match=r"Happenings that could not be kept: 1\. The disk is full"):
        steady.finish(2000)
    make_room(journal)
    steady.finish(2000)
    assert [entry.happening for entry in kept.entries()] == [LONG]
