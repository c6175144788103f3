"""Everything that is kept, as one file of JSON Lines, and back: to move to another computer, or to read without SQLite.

The first line says what the file is, the last how many lines stand between: a file that was cut short is seen before
anything is taken from it. Rows are written as they stand in the tables, so that nothing is rounded or worded anew.
Sessions and baths are taken in by one transaction, fog tests after it. Nothing is written over: what is there already is left
and counted.
"""

import json
import os
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from assistant.plain_files import read_text
from assistant.records import fogtests
from assistant.records.database import damaged_row
from assistant.records.faults import Damaged
from assistant.records.import_rows import TABLES, Import, PlainRow
from assistant.records.journal import Journal

FORMAT = 1
"""The version of the file; a newer one is refused."""
MOST_BYTES = 500_000_000
"""Of a file that is taken in: some hundred thousand sessions."""
KIND = "traycall records"
"""What the first line says that the file is."""
_ORDER = {
    "entries": "number",
    "sheets": "number",
    "sheet_prints": "number",
    "stays": "copy, number",
    "turns_left_out": "copy, number",
    "first_tones": "number",
    "readings": "number",
    "notes": "number",
    "picks": "session",
    "troubles": "session",
    "session_baths": "tray, from_ms",
    "marks": "session",
    "remarks": "number",
    "endings": "session",
}
"""The order in which a session's rows are written out."""
_IMPLIED = {table: {"session"} | ({"number"} if table == "remarks" else set()) for table in _ORDER}
"""Columns that are given anew where rows are taken in."""


_UNFIT = (
    KeyError, TypeError, ValueError, AttributeError, OverflowError, RecursionError,
    sqlite3.IntegrityError, sqlite3.InterfaceError, sqlite3.ProgrammingError, Damaged,
)  # fmt: skip
"""What a row raises that is not as one is written: where it is put in, or where it is read back."""


class BadTransfer(ValueError):
    """The file can't be taken in; says which line and why. Nothing was changed."""


@dataclass(frozen=True)
class Imported:
    """What an import did: sessions and baths added, sessions that got another number, and what was there already."""

    sessions: int
    baths: int
    fog_tests: int
    renumbered: tuple[tuple[int, int], ...]
    skipped: tuple[str, ...]


def export(journal: Journal, file: Path, program: str) -> int:
    """Write everything into a new file, whole or not at all; how many lines stand between its first and its last.

    BadTransfer where it is there already or can't be written, Damaged where a row holds what is no text and no number.
    """
    if file.exists():
        raise BadTransfer(f"{file} is there already and is left as it is: name another file.")
    unfinished = file.with_name(file.name + ".unfinished")
    count = 0
    try:
        with unfinished.open("w", encoding="utf-8", newline="\n") as page:
            page.write(_line({"file": KIND, "format": FORMAT, "program": program}))
            for row in _everything(journal):
                page.write(_line(row))
                count += 1
            page.write(_line({"end": count}))
            page.flush()
            os.fsync(page.fileno())
        unfinished.replace(file)
    except OSError as error:
        raise BadTransfer(f"{file} can't be written: {error.strerror or error}.") from None
    except TypeError as error:
        unfinished.unlink(missing_ok=True)
        raise damaged_row(journal.path, error) from None
    return count


def take_in(journal: Journal, file: Path) -> Imported:
    """Add what a file holds and these records don't; BadTransfer where it is no such file, damaged or newer."""
    rows = _read(file)
    with journal.writing() as connection:
        taken = Import(journal, connection)
        for number, row in enumerate(rows, 2):
            try:
                taken.add(row)
            except _UNFIT as error:
                why = error.how if isinstance(error, Damaged) else error
                raise BadTransfer(f"{file}, line {number}: this can't be taken in ({why}). Nothing was changed.") from None
        tests = journal.path.with_name(fogtests.FILE)
        new = [test for test in taken.fog_tests if test not in fogtests.kept(tests)]
    for test in new:
        fogtests.keep(test, tests)
    return Imported(taken.sessions, taken.baths, len(new), tuple(taken.renumbered), tuple(taken.skipped))


def _everything(journal: Journal) -> Iterator[PlainRow]:
    with journal.reading() as connection:
        yield from _tables(connection)
    for test in fogtests.kept(journal.path.with_name(fogtests.FILE)):
        yield {"fog test": fogtests.as_row(test)}


def _tables(connection: sqlite3.Connection) -> Iterator[PlainRow]:
    for mixing in _rows(connection, "SELECT * FROM mixings ORDER BY number"):
        yield {"mixing": mixing}
    for bath in _rows(connection, "SELECT * FROM baths ORDER BY number"):
        asked = "SELECT at, kind, details, entered FROM bath_events WHERE bath = ? ORDER BY number"
        events = _rows(connection, asked, bath["number"])
        yield {"bath": bath, "events": events}
    for session in _rows(connection, "SELECT * FROM sessions ORDER BY number"):
        row: PlainRow = {"session": session}
        for table in TABLES:
            found = _rows(connection, f"SELECT * FROM {table} WHERE session = ? ORDER BY {_ORDER[table]}", session["number"])
            row[table] = [{key: value for key, value in one.items() if key not in _IMPLIED[table]} for one in found]
        yield row


def _rows(connection: sqlite3.Connection, asked: str, *values: object) -> list[PlainRow]:
    cursor = connection.execute(asked, values)
    names = [column[0] for column in cursor.description]
    return [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]


def _line(row: PlainRow) -> str:
    return json.dumps(row, ensure_ascii=True, separators=(",", ":"), default=_refused) + "\n"


def _refused(value: object) -> None:
    raise TypeError(f"{value!r:.40} is not what belongs there")


def _read(file: Path) -> list[PlainRow]:
    try:
        lines = read_text(file, MOST_BYTES).split("\n")
    except UnicodeDecodeError:
        raise BadTransfer(f"{file} is no file of records: it is not text. Nothing was changed.") from None
    except OSError as error:
        raise BadTransfer(f"{file} can't be read: {error.strerror or error}.") from None
    if lines and lines[-1] == "":
        lines.pop()
    rows = [_parsed(file, number, line) for number, line in enumerate(lines, 1)]
    if not rows or rows[0].get("file") != KIND:
        raise BadTransfer(f"{file} was not written by `traycall records export`. Nothing was changed.")
    if not isinstance(rows[0].get("format"), int) or rows[0]["format"] > FORMAT:
        raise BadTransfer(f"{file} was written by a newer traycall. Bring the program up to date; nothing was changed.")
    if rows[-1].get("end") != len(rows) - 2:
        raise BadTransfer(f"{file} is not whole: its end is missing. Nothing was changed.")
    return rows[1:-1]


def _parsed(file: Path, number: int, line: str) -> PlainRow:
    try:
        row = json.loads(line)
    except (ValueError, RecursionError):
        row = None
    if not isinstance(row, dict):
        raise BadTransfer(f"{file}, line {number}: this is no line of records. Nothing was changed.")
    return row
