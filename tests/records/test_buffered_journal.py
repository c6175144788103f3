"""A disk that fills up or takes seconds in the middle of a session costs a sentence, no happening, no sheet and no moment."""

import shutil
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from threading import Event

import pytest

from assistant.conductor.conductor import Conductor
from assistant.conductor.twins import RecordingDesk
from assistant.devices.clock import JumpingClock
from assistant.records.buffered_journal import BufferedJournal
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from assistant.records.session_journal import JournalLine, SessionJournal
from assistant.session.advance import open_bench
from assistant.session.happenings import Note, Tap
from tests import waiting
from tests.records.sessions import score_of

LONG = Note("w" * 5000)
BENCH = open_bench(score_of())


class SlowDisk(SessionJournal):
    """A session's journal on a disk that takes lines only when it is let."""

    answers: Event
    asked: Event
    flushes: list[int]

    def keep(self, lines: Sequence[JournalLine]) -> None:
        """As on any disk, later."""
        self.asked.set()
        self.answers.wait()
        super().keep(lines)
        self.flushes.append(len(lines))


@pytest.fixture
def clock() -> JumpingClock:
    return JumpingClock()


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "records.sqlite") as opened:
        yield opened


@pytest.fixture
def kept(journal: Journal, clock: JumpingClock) -> SessionJournal:
    return journal.begin(clock, recipe="", title="Slipway panel", file="", copies=1)


@pytest.fixture
def buffered(kept: SessionJournal) -> Iterator[BufferedJournal]:
    with BufferedJournal(kept) as opened:
        yield opened


@pytest.fixture
def slow(kept: SessionJournal) -> SlowDisk:
    kept.__class__ = SlowDisk
    assert isinstance(kept, SlowDisk)
    kept.answers, kept.asked, kept.flushes = Event(), Event(), []
    return kept


def fill(journal: Journal) -> None:
    (pages,) = journal._connection.execute("PRAGMA page_count").fetchone()
    journal._connection.execute(f"PRAGMA max_page_count = {pages}")


def settled(buffered: BufferedJournal) -> BufferedJournal:
    waiting.until(lambda: not buffered.behind())
    return buffered


def make_room(journal: Journal) -> None:
    journal._connection.execute("PRAGMA max_page_count = 1000000")


def test_with_room_it_is_the_journal(journal: Journal, kept: SessionJournal, buffered: BufferedJournal) -> None:
    buffered.append(1000, Tap(), BENCH)
    buffered.alive(2000, BENCH)
    buffered.finish(3000, BENCH)
    assert [(entry.at, entry.happening) for entry in kept.entries()] == [(1000, Tap())]
    assert journal.session(1).ended == 3000
    assert buffered.trouble() == ""


@pytest.mark.parametrize("next_word", ["append", "alive"])
def test_what_could_not_be_kept_is_kept_later_in_its_order(
    journal: Journal, kept: SessionJournal, buffered: BufferedJournal, next_word: str
) -> None:
    fill(journal)
    buffered.append(1000, LONG, BENCH)
    buffered.append(2000, Tap(), BENCH)
    assert settled(buffered).trouble().startswith("Not being kept: The disk is full")
    assert kept.entries() == []
    make_room(journal)
    buffered.append(3000, Tap(), BENCH) if next_word == "append" else buffered.alive(3000, BENCH)
    assert settled(buffered).trouble() == ""
    assert [entry.at for entry in kept.entries()] == [1000, 2000, 3000][: 3 if next_word == "append" else 2]
    assert journal.session(1).lived == 3000


def test_time_is_not_marked_as_lived_while_happenings_wait(journal: Journal, buffered: BufferedJournal) -> None:
    """Or a resume would take pips for done whose taps it does not know."""
    buffered.append(500, Tap(), BENCH)
    settled(buffered)
    fill(journal)
    buffered.append(1000, LONG, BENCH)
    settled(buffered).alive(90_000, BENCH)
    settled(buffered)
    assert journal.session(1).lived == 500


def test_the_end_says_what_is_missing(journal: Journal, kept: SessionJournal, buffered: BufferedJournal) -> None:
    fill(journal)
    buffered.append(1000, LONG, BENCH)
    settled(buffered).alive(1500, BENCH)
    with pytest.raises(JournalFault, match=r"Happenings that could not be kept: 1\. The disk is full"):
        buffered.finish(2000, BENCH)
    make_room(journal)
    buffered.finish(2000, BENCH)
    assert [entry.happening for entry in kept.entries()] == [LONG]


def test_a_session_that_is_left_has_all_that_was_told(journal: Journal, slow: SlowDisk) -> None:
    with BufferedJournal(slow) as buffered:
        for at in range(1000, 9000, 1000):
            buffered.append(at, Tap(), BENCH)
            buffered.alive(at, BENCH)
            assert slow.asked.wait(waiting.LONGEST)
        slow.answers.set()
        buffered.leave()
    assert [entry.at for entry in journal.entries(1)] == list(range(1000, 9000, 1000))
    assert journal.unfinished() is not None
    assert len(slow.flushes) == 2, "the first line's, and one of all that came meanwhile"


def test_what_still_fits_is_kept_where_all_that_waits_does_not(journal: Journal, slow: SlowDisk) -> None:
    with BufferedJournal(slow) as buffered:
        for at, happening in ((1000, Tap()), (2000, Tap()), (3000, LONG)):
            buffered.append(at, happening, BENCH)
            assert slow.asked.wait(waiting.LONGEST)
        fill(journal)
        slow.answers.set()
        assert settled(buffered).trouble().startswith("Not being kept: The disk is full")
        assert [entry.at for entry in journal.entries(1)] == [1000, 2000]
        make_room(journal)
        buffered.leave()
    assert [entry.at for entry in journal.entries(1)] == [1000, 2000, 3000]


def test_a_slow_disk_makes_no_hand_late_and_nothing_is_shown_as_answered_before_it_is_kept(
    journal: Journal, clock: JumpingClock, slow: SlowDisk
) -> None:
    with BufferedJournal(slow) as buffered:
        desk, shown = RecordingDesk(), []
        conductor = Conductor(BENCH, clock, desk, buffered)
        conductor.listeners.append(lambda cue: shown.append(cue.words))
        for number in (1, 2):
            clock.jump(number * 1000)
            conductor.tell(Note(f"note {number}"))  # returns, though nothing is on the disk
        assert slow.asked.wait(waiting.LONGEST)
        assert [cue.words for cue in desk.heard] == ["noted", "noted"]
        assert len(conductor.bench.notes) == 2
        conductor.beat()
        assert "noted" not in shown
        assert conductor.more_to_say()
        clock.jump(9_000)
        slow.answers.set()
        waiting.until(lambda: not buffered.behind())
        conductor.beat()
        assert shown.count("noted") == 2
        buffered.finish(9_000, conductor.bench)
    entries = journal.entries(1)
    assert [entry.at for entry in entries] == [1000, 2000]
    assert [(entry.wall - clock.wall()).total_seconds() for entry in entries] == [-8, -7]  # stamped when it was told


def test_a_disk_that_does_not_answer_is_said(slow: SlowDisk, monkeypatch: pytest.MonkeyPatch) -> None:
    with BufferedJournal(slow) as buffered:
        buffered.append(1000, Tap(), BENCH)
        assert buffered.trouble() == ""
        monkeypatch.setattr("assistant.records.buffered_journal.SLOW", 0)
        assert buffered.trouble() == "Not being kept: the disk does not answer."
        slow.answers.set()
        assert settled(buffered).trouble() == ""


def test_a_fault_of_the_writer_s_own_is_no_silence(buffered: BufferedJournal) -> None:
    buffered.append(1000, Tap(), None)  # type: ignore[arg-type]
    settled(buffered)
    with pytest.raises(AttributeError):
        buffered.append(2000, Tap(), BENCH)


@pytest.mark.skipif(sys.platform == "win32", reason="a file that is open can't be deleted here")
@pytest.mark.parametrize("gone", [("",), ("", "-wal"), ("", "-wal", "-shm"), "the folder"])
def test_records_that_are_deleted_under_a_session_are_put_back_whole(
    journal: Journal, buffered: BufferedJournal, gone: str | tuple[str, ...]
) -> None:
    buffered.append(1000, Note("before"), BENCH)
    settled(buffered)
    if gone == "the folder":
        shutil.rmtree(journal.path.parent)
    for tail in gone if isinstance(gone, tuple) else ():
        journal.path.with_name(journal.path.name + tail).unlink()
    buffered.append(2000, Note("after"), BENCH)
    assert settled(buffered).trouble() == ""
    buffered.finish(3000, BENCH)
    with Journal.open(journal.path) as again:
        assert [entry.happening for entry in again.entries(1)] == [Note("before"), Note("after")]
        assert again.session(1).ended == 3000


@pytest.mark.skipif(sys.platform == "win32", reason="a file that is open can't be deleted here")
def test_records_that_were_replaced_are_said_and_left(journal: Journal, buffered: BufferedJournal) -> None:
    journal.path.unlink()
    journal.path.write_text("another", encoding="utf-8")
    buffered.append(1000, Note("kept nowhere"), BENCH)
    assert "was replaced by another file" in settled(buffered).trouble()
    with pytest.raises(JournalFault, match="could not be kept: 1"):
        buffered.finish(2000, BENCH)
    assert journal.path.read_text(encoding="utf-8") == "another"
    journal.path.unlink()
    buffered.finish(3000, BENCH)
    with Journal.open(journal.path) as again:
        assert [entry.happening for entry in again.entries(1)] == [Note("kept nowhere")]
