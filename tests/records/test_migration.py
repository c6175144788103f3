"""Records of every earlier schema, as the program of their time wrote them: opened, brought up to date, read the same."""

import json
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from assistant.cli.records import whole
from assistant.pages.edition_text import edition_sheet
from assistant.printing.records_read import record_of
from assistant.records import database, schema
from assistant.records.baths import Baths
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from assistant.records.session_lock import SessionLock
from assistant.session import copy as copies
from tests.records.sessions import EVENTFUL, OVER, keep

FIXTURES = Path(__file__).with_name("fixtures")
OLD = sorted(FIXTURES.glob("schema-*.sqlite"))


@pytest.fixture(params=OLD, ids=lambda file: file.stem)
def old(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Path, list[dict[str, Any]]]:
    """A copy of an old file, and what the program of its time read from it."""
    read = json.loads(request.param.with_suffix(".json").read_text(encoding="utf-8"))
    return Path(shutil.copy(request.param, tmp_path / "records.sqlite")), read


def dumped(file: Path) -> list[str]:
    with closing(sqlite3.connect(f"file:{file}?immutable=1", uri=True)) as connection:
        return list(connection.iterdump())


def test_there_is_one_for_every_version_that_was_shipped() -> None:
    assert [file.stem for file in OLD] == ["schema-1", "schema-2"]


def test_every_session_reads_as_the_program_of_its_time_read_it(old: tuple[Path, list[dict[str, Any]]]) -> None:
    file, read = old
    with Journal.open(file) as journal:
        assert [session.number for session in journal.sessions()] == [session["session"] for session in read]
        for before in read:
            now = whole(journal, record_of(journal, journal.session(before["session"])))
            assert {key: now[key] for key in before} == before


def test_the_file_as_it_was_is_kept_beside(old: tuple[Path, list[dict[str, Any]]]) -> None:
    file, _ = old
    before = dumped(file)
    with Journal.open(file):
        pass
    with Journal.open(file):
        pass  # a second opening has nothing to bring up to date, and keeps nothing
    beside = sorted(other.name for other in file.parent.iterdir() if other.suffix == ".sqlite")
    version = next(line for line in OLD if dumped(line) == before).stem
    assert beside == [f"records-{version}.sqlite", "records.sqlite"]
    assert dumped(file.with_name(f"records-{version}.sqlite")) == before


def test_a_copy_that_is_there_already_is_left(old: tuple[Path, list[dict[str, Any]]]) -> None:
    file, _ = old
    for version in (1, 2):
        file.with_name(f"records-schema-{version}.sqlite").write_text("mine", encoding="utf-8")
    with Journal.open(file):
        pass
    for version in (1, 2):
        assert file.with_name(f"records-schema-{version}.sqlite").read_text(encoding="utf-8") == "mine"
    assert len(list(file.parent.glob("records-schema-*-2.sqlite"))) == 1


def test_what_goes_wrong_half_way_changes_nothing(
    old: tuple[Path, list[dict[str, Any]]], monkeypatch: pytest.MonkeyPatch
) -> None:
    file, read = old
    before = dumped(file)

    def broken(*_: object) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    good = schema.STEPS[-1]
    monkeypatch.setattr(database, "STEPS", (*schema.STEPS[:-1], replace(good, fill=broken)))
    with pytest.raises(JournalFault, match="The disk is full"):
        Journal.open(file)
    assert dumped(file) == before
    monkeypatch.setattr(database, "STEPS", schema.STEPS)
    with Journal.open(file) as journal:
        assert len(journal.sessions()) == len(read)


def test_an_older_program_that_is_printing_is_waited_for(tmp_path: Path) -> None:
    file = Path(shutil.copy(FIXTURES / "schema-1.sqlite", tmp_path / "records.sqlite"))
    before = dumped(file)
    lock = SessionLock.take(file, 7)
    assert lock is not None
    with pytest.raises(JournalFault, match="Session 7, Slipway panel, is being printed by another traycall"):
        Journal.open(file)
    lock.release()
    assert dumped(file) == before
    Journal.open(file).close()


def test_a_session_that_cannot_be_worked_out_keeps_the_rest(tmp_path: Path) -> None:
    file = Path(shutil.copy(FIXTURES / "schema-1.sqlite", tmp_path / "records.sqlite"))
    with closing(sqlite3.connect(file)) as connection:
        begun = "2031-04-30T09:30:00.000+01:00"
        row = (8, begun, "", 0, "Winch", "winch.yaml", "format: 9\n", 2, "0.0.9")
        connection.execute("INSERT INTO sessions VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", row)
        connection.execute("INSERT INTO marks VALUES (8, 0, ?, '', 0)", (begun,))
        connection.execute("INSERT INTO entries VALUES (8, 1, 500, ?, '', 'flash', '{\"lamp\": 2}')", (begun,))
        connection.commit()
    with Journal.open(file) as journal:
        record = record_of(journal, journal.session(8))
        assert "How session 8 went could not be worked out when its record was brought up to date" in record.trouble
        flash = {"at_ms": 500, "wall": "2031-04-30T09:30:00+01:00", "name": "flash", "lamp": 2}
        assert whole(journal, record)["happenings"] == [flash]
        assert "format: 9" in edition_sheet(record)
        assert record_of(journal, journal.session(1)).trouble == ""


def test_what_was_mixed_is_a_bath_of_its_trays_name_and_counts_as_it_did(old: tuple[Path, list[dict[str, Any]]]) -> None:
    """From the happenings of the file: sheets of 2.4 in 8x10 before the session of 31 March, the third, in the fixer."""
    file, _ = old
    with Journal.open(file) as journal:
        baths = [(bath.name, bath.retired is None) for bath in Baths(journal).all()]
        assert baths[:4] == [("developer", True), ("fixer", False), ("fixer", True), ("stop", True)]
        third = {bath.tray: bath for bath in record_of(journal, journal.session(3)).baths}
        # one of three sheets, 2.4 each, and one of eight, all fixed; of the developer four and eight
        assert third["fixer"].through == pytest.approx((3 + 8) * 2.4)
        assert third["developer"].through == pytest.approx((4 + 8) * 2.4)
        assert third["fixer"].bath.number == 2
        last = {bath.tray: bath for bath in record_of(journal, journal.session(7)).baths}
        assert last["fixer"].bath.number == 3
        assert last["fixer"].through == 0


# What was printed does not change with the rules.


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "records.sqlite") as opened:
        yield opened


def test_a_record_is_byte_for_byte_the_same_after_the_rules_have_changed(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A development of 2:08 for 2:00 is long by today's 5 %; by another rule it would be good, and its record stays long."""
    keep(journal, EVENTFUL, OVER)
    sheet = edition_sheet(record_of(journal, journal.session(1)))
    every = json.dumps(whole(journal, record_of(journal, journal.session(1))))
    assert "2:08.0+" in sheet
    monkeypatch.setattr(copies, "DEVELOP_TOLERANCE", 0.5)
    with Journal.open(journal.path) as again:
        record = record_of(again, again.session(1))
        assert edition_sheet(record) == sheet
        assert json.dumps(whole(again, record)) == every
        keep(again, EVENTFUL, OVER)
        assert "2:08.0+" not in edition_sheet(record_of(again, again.session(2)))  # the other rules are really others
