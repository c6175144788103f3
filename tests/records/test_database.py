"""The records' file: it only grows, comes up to date or says why not, and no damage ends in a traceback."""

import random
import sqlite3
import threading
from collections.abc import Callable
from contextlib import closing
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from assistant.devices.clock import JumpingClock
from assistant.history.printed import Remark
from assistant.places import home
from assistant.records import database
from assistant.records.baths import Baths
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from assistant.records.schema import SchemaStep
from assistant.session.advance import advance, open_bench
from assistant.session.happenings import Note, Tap
from tests.records.sessions import EVENTFUL, MORNING, OVER, TEXT, a_bath, keep, score_of


@pytest.fixture
def records(tmp_path: Path) -> Path:
    """A file with an ended session of a hundred entries and an unfinished one."""
    path = tmp_path / "records.sqlite"
    path.write_bytes(_kept())
    return path


@cache
def _kept() -> bytes:
    """The file, made once for all tests of a run."""
    with TemporaryDirectory() as folder:
        _keep(path := Path(folder) / "records.sqlite")
        return path.read_bytes()


def _keep(path: Path) -> None:
    with Journal.open(path) as journal:
        for number, title in enumerate(("Slipway panel", "Winch house"), 1):
            kept = journal.begin(JumpingClock(), recipe=TEXT, title=title, file="", copies=3)
            bench = open_bench(score_of())
            asked = bench.score.opening_lasts  # before that a tap is refused
            for at in range(asked, asked + 100):
                told = Note(f"{title} {at}") if at % 3 else Tap()
                bench = advance(bench, told, at).bench
                kept.append(at, told, bench)
            kept.alive(100_000, advance(bench, None, 100_000).bench)
            kept.finish(100_000) if number == 1 else kept.leave()
        a_bath(journal, "fixer", MORNING)
        journal.remark(1, Remark(1, MORNING, "pass", "dry", ""))


CHANGES = [
    "UPDATE entries SET at = 0",
    "UPDATE entries SET details = '{}' WHERE number = 1 AND session = 2",
    "DELETE FROM entries",
    "INSERT OR REPLACE INTO entries SELECT session, number, 7, wall, boot, name, details FROM entries WHERE session = 2",
    "REPLACE INTO sessions SELECT number, started, boot, origin, 'other', file, recipe, copies, program, rules FROM sessions",
    "UPDATE sessions SET copies = 3",
    "DELETE FROM sessions",
    "UPDATE endings SET at = 0",
    "DELETE FROM endings",
    "REPLACE INTO endings SELECT * FROM endings",
    "UPDATE baths SET made = ''",
    "DELETE FROM baths",
    "UPDATE bath_events SET details = ''",
    "DELETE FROM bath_events",
    "UPDATE remarks SET words = ''",
    "DELETE FROM remarks",
    "INSERT INTO entries VALUES (1, 101, 200, '', '', 'tap', '{}')",
    "UPDATE sheets SET state = 'done' WHERE session = 1",
    "DELETE FROM sheets WHERE session = 1",
    "UPDATE stays SET to_ms = 1 WHERE session = 1",
    "UPDATE stays SET verdict = 'good' WHERE session = 1",
    "DELETE FROM stays WHERE session = 1",
    "INSERT INTO stays VALUES (1, 3, 9, 1, 'develop', 'Developer', 'developer', 0, 120000, 120000, 'good')",
    "REPLACE INTO stays SELECT session, copy, number, step, kind, name, tray, 0, to_ms, target_ms, verdict FROM stays",
    "DELETE FROM notes WHERE session = 1",
    "UPDATE notes SET words = 'other' WHERE session = 1",
    "INSERT INTO notes VALUES (1, 99, 0, 'other')",
    "INSERT INTO picks VALUES (1, 2)",
    "INSERT INTO first_tones VALUES (1, 1, 1, 9000)",
    "INSERT INTO readings VALUES (1, 1, 0, 'developer', 20.0)",
    "INSERT INTO entries VALUES (9, 1, 0, '', '', 'tap', '{}')",
]


@pytest.mark.parametrize("change", CHANGES)
def test_what_was_written_stays_as_it_was_written(records: Path, change: str) -> None:
    def everything() -> list[str]:
        return list(connection.iterdump())

    connection = database.opened(records)
    before = everything()
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute(change)
    assert everything() == before
    connection.close()


def test_a_commit_is_flushed_to_the_disk(records: Path) -> None:
    connection = database.opened(records)
    assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    assert connection.execute("PRAGMA synchronous").fetchone() == (2,), "FULL: one flush a commit"
    connection.close()


def test_records_are_where_the_printer_has_them(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path / "own"))
    with Journal.open() as journal:
        assert journal.path.parent == home() == tmp_path / "own"
        assert journal.sessions() == []


def test_many_programs_open_a_new_file_at_once(tmp_path: Path) -> None:
    path, wrong = tmp_path / "records.sqlite", []
    together = threading.Barrier(8)

    def open_and_begin() -> None:
        try:
            together.wait()
            with Journal.open(path) as journal:
                journal.begin(JumpingClock(), recipe="", title="Slipway", file="", copies=1).finish(0)
        except BaseException as error:
            wrong.append(error)

    threads = [threading.Thread(target=open_and_begin) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
    with Journal.open(path) as journal:
        assert [session.number for session in journal.sessions()] == list(range(1, 9))


# Versions.


@pytest.mark.parametrize("version", [-1, -(2**31)])
def test_a_version_that_can_not_be_is_damage(records: Path, version: int) -> None:
    with closing(sqlite3.connect(records)) as connection:
        connection.execute(f"PRAGMA user_version = {version}")
    before = records.read_bytes()
    with pytest.raises(JournalFault, match=r"are damaged \(records of version -"):
        Journal.open(records)
    assert records.read_bytes() == before


def test_a_newer_file_is_left_alone(records: Path) -> None:
    with sqlite3.connect(records) as connection:
        connection.execute(f"PRAGMA user_version = {len(database.STEPS) + 1}")
    connection.close()
    before = records.read_bytes()
    with pytest.raises(JournalFault, match=r"written by a newer traycall .*Bring the program up to date"):
        Journal.open(records)
    assert records.read_bytes() == before


def test_an_older_file_is_brought_up_to_date_with_all_that_is_in_it(records: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(database, "STEPS", (*database.STEPS, SchemaStep("CREATE TABLE lamps (hours REAL);\n")))
    with Journal.open(records) as journal:
        assert len(journal.entries(1)) == 100
        with journal.writing() as connection:
            connection.execute("INSERT INTO lamps VALUES (12.5)")
    with Journal.open(records) as journal:
        assert [session.number for session in journal.sessions()] == [1, 2]


def test_a_step_that_fails_half_way_leaves_the_file_as_it_was(records: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = database.opened(records)
    was = list(before.iterdump())
    before.close()
    good = database.STEPS
    step = SchemaStep("CREATE TABLE lamps (hours REAL);\nINSERT INTO lamps VALUES (1);\nINSERT INTO nowhere VALUES (1);\n")
    monkeypatch.setattr(database, "STEPS", (*good, step))
    with pytest.raises(JournalFault, match="nowhere"):
        Journal.open(records)
    monkeypatch.setattr(database, "STEPS", good)
    after = database.opened(records)
    assert list(after.iterdump()) == was
    after.close()


def test_a_file_of_another_program_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE boats (name TEXT)")
    other.close()
    before = path.read_bytes()
    with pytest.raises(JournalFault, match="was not written by traycall"):
        Journal.open(path)
    assert path.read_bytes() == before


# Damage.


def no_database(path: Path) -> None:
    path.write_bytes(b"these are not the records you kept\n" * 500)


def cut_short(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-9000])


def scratched(path: Path) -> None:
    whole = bytearray(path.read_bytes())
    for at in range(6000, 9000):
        whole[at] ^= 0x5A
    path.write_bytes(whole)


@pytest.mark.parametrize("damage", [no_database, cut_short, scratched])
def test_damage_is_said_and_nothing_is_written_over_it(records: Path, damage: Callable[[Path], None]) -> None:
    damage(records)
    before = records.read_bytes()
    with pytest.raises(JournalFault, match=r"are damaged .*Move the file aside") as said:
        Journal.open(records)
    assert str(records) in str(said.value)
    assert records.read_bytes() == before


def test_no_scratch_anywhere_ends_in_anything_but_a_sentence(records: Path) -> None:
    chance = random.Random(1871)
    whole, refused, read = records.read_bytes(), 0, 0
    for _ in range(300):
        scratch = bytearray(whole)
        for _ in range(chance.randint(1, 12)):
            scratch[chance.randrange(len(scratch))] = chance.randrange(256)
        records.write_bytes(scratch)
        try:
            with Journal.open(records) as journal:
                for session in journal.sessions():
                    journal.entries(session.number)
                Baths(journal).all()
                unfinished = journal.unfinished()
                if unfinished is not None:
                    journal.resume(unfinished.number, lambda mark: JumpingClock())[0].leave()
                read += 1
        except JournalFault:
            refused += 1
    assert refused > 20
    assert read > 20


def test_an_entry_of_a_newer_program_is_named(records: Path) -> None:
    connection = database.opened(records)
    connection.execute("INSERT INTO entries VALUES (2, 101, 200, '2031-03-30T09:30:00.000+01:00', '', 'flash', '{}')")
    connection.close()
    with Journal.open(records) as journal, pytest.raises(JournalFault, match=r"Session 2, entry 101: .*“flash”"):
        journal.entries(2)


# A disk that will not.


def test_a_full_disk_is_said_and_loses_nothing_that_was_kept(records: Path) -> None:
    with Journal.open(records) as journal:
        kept, _ = journal.resume(2, lambda mark: JumpingClock())
        bench = open_bench(score_of())
        with journal.writing() as connection:
            (pages,) = connection.execute("PRAGMA page_count").fetchone()
        journal._connection.execute(f"PRAGMA max_page_count = {pages}")

        def fill() -> None:
            for at in range(200, 1000):
                kept.append(at, Note("x" * 400), bench)

        with pytest.raises(JournalFault, match="The disk is full"):
            fill()
        held = len(kept.entries())
        journal._connection.execute("PRAGMA max_page_count = 1000000")
        kept.append(2000, Tap(), bench)
        assert len(kept.entries()) == held + 1
        kept.leave()


def test_what_cannot_be_written_can_be_read_where_all_of_it_stands_in_the_file(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    with Journal.open(path) as journal:
        keep(journal, EVENTFUL, OVER)
    log = tmp_path / "records.sqlite-wal"
    log.mkdir()  # no log can be written beside it, as on a disk that is read only
    with pytest.raises(JournalFault, match="cannot be written"):
        Journal.open(path)
    with Journal.open(path, reading=True) as journal:
        assert journal.course(1).counted["done"] == 3
        with pytest.raises(JournalFault, match="cannot be written"):
            journal.remark(1, Remark(None, MORNING, None, "seen", ""))
    with pytest.raises(JournalFault, match="cannot be written"):
        Journal.open(tmp_path / "nowhere" / "records.sqlite", reading=True)


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    with pytest.raises(JournalFault, match=r"cannot be written: look at the folder's permissions"):
        Journal.open(tmp_path / "nowhere" / "records.sqlite")
    (tmp_path / "records.sqlite").mkdir()
    with pytest.raises(JournalFault, match="cannot be written"):
        Journal.open(tmp_path / "records.sqlite")


def test_a_home_that_cannot_be_made_is_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "home").write_text("a file, no folder", encoding="utf-8")
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path / "home"))
    with pytest.raises(JournalFault, match="The folder for records cannot be made"):
        Journal.open()


def test_another_program_that_does_not_let_go_is_said(records: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(database, "_PATIENCE", 0.0)
    hog = sqlite3.connect(records, isolation_level=None)
    hog.execute("BEGIN IMMEDIATE")
    with Journal.open(records) as journal:
        assert len(journal.sessions()) == 2, "to read is always allowed"
        with pytest.raises(JournalFault, match="Another program has kept"):
            a_bath(journal, "stop", MORNING)
    hog.close()
