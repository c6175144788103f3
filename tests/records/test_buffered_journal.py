"""A disk that fills up in the middle of a session costs a sentence, no happening and no sheet."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.devices.clock import JumpingClock
from assistant.records.buffered_journal import BufferedJournal
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from assistant.records.session_journal import SessionJournal
from assistant.session.advance import open_bench
from assistant.session.happenings import Note, Tap
from tests.records.sessions import score_of

LONG = Note("w" * 5000)
BENCH = open_bench(score_of())


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


def test_with_room_it_is_the_journal(journal: Journal, kept: SessionJournal) -> None:
    buffered = BufferedJournal(kept)
    buffered.append(1000, Tap(), BENCH)
    buffered.alive(2000, BENCH)
    buffered.finish(3000, BENCH)
    assert [(entry.at, entry.happening) for entry in kept.entries()] == [(1000, Tap())]
    assert journal.session(1).ended == 3000
    assert buffered.trouble() == ""


@pytest.mark.parametrize("next_word", ["append", "alive"])
def test_what_could_not_be_kept_is_kept_later_in_its_order(journal: Journal, kept: SessionJournal, next_word: str) -> None:
    buffered = BufferedJournal(kept)
    fill(journal)
    buffered.append(1000, LONG, BENCH)
    buffered.append(2000, Tap(), BENCH)
    assert buffered.trouble().startswith("Not being kept: The disk is full")
    assert kept.entries() == []
    make_room(journal)
    buffered.append(3000, Tap(), BENCH) if next_word == "append" else buffered.alive(3000, BENCH)
    assert buffered.trouble() == ""
    assert [entry.at for entry in kept.entries()] == [1000, 2000, 3000][: 3 if next_word == "append" else 2]
    assert journal.session(1).lived == 3000


def test_time_is_not_marked_as_lived_while_happenings_wait(journal: Journal, kept: SessionJournal) -> None:
    """Or a resume would take pips for done whose taps it does not know."""
    buffered = BufferedJournal(kept)
    buffered.append(500, Tap(), BENCH)
    fill(journal)
    buffered.append(1000, LONG, BENCH)
    buffered.alive(90_000, BENCH)
    assert journal.session(1).lived == 500


def test_the_end_says_what_is_missing(journal: Journal, kept: SessionJournal) -> None:
    buffered = BufferedJournal(kept)
    fill(journal)
    buffered.append(1000, LONG, BENCH)
    with pytest.raises(JournalFault, match=r"Happenings that could not be kept: 1\. The disk is full"):
        buffered.finish(2000, BENCH)
    make_room(journal)
    buffered.finish(2000, BENCH)
    assert [entry.happening for entry in kept.entries()] == [LONG]
