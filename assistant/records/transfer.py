"""Everything that is kept, as one file of JSON Lines, and back: to move to another computer, or to read without SQLite.

The first line says what the file is, the last how many lines stand between: a file that was cut short is seen before
anything is taken from it. Rows are written as they stand in the tables, so that nothing is rounded or worded anew.
Import is one transaction. It never writes over anything: what is there already is left and counted.
"""

import json
import os
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from assistant.plain_files import read_text
from assistant.records import fogtests
from assistant.records.journal import Journal

FORMAT = 1
"""The version of the file; a newer one is refused."""
MOST_BYTES = 500_000_000
"""Of a file that is taken in: some hundred thousand sessions."""
KIND = "traycall records"
"""What the first line says that the file is."""
_OF_SESSION = (
    "entries", "sheets", "sheet_prints", "stays", "turns_left_out", "first_tones", "readings", "notes", "picks", "troubles",
    "session_baths",
)  # fmt: skip
_AFTER = ("marks", "remarks", "endings")
"""Tables with a session's rows; an ending is written last, since it closes the others."""
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
PlainRow = dict[str, Any]


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

    BadTransfer where it is there already or can't be written.
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
    return count


def take_in(journal: Journal, file: Path) -> Imported:
    """Add what a file holds and these records don't; BadTransfer where it is no such file, damaged or newer."""
    rows = _read(file)
    with journal.writing() as connection:
        taken = _Import(connection)
        for number, row in enumerate(rows, 2):
            try:
                taken.add(row)
            except (KeyError, TypeError, ValueError, AttributeError, sqlite3.IntegrityError, sqlite3.InterfaceError) as error:
                raise BadTransfer(f"{file}, line {number}: this can't be taken in ({error}). Nothing was changed.") from None
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
        for table in (*_OF_SESSION, *_AFTER):
            found = _rows(connection, f"SELECT * FROM {table} WHERE session = ? ORDER BY {_ORDER[table]}", session["number"])
            row[table] = [{key: value for key, value in one.items() if key not in _IMPLIED[table]} for one in found]
        yield row


def _rows(connection: sqlite3.Connection, asked: str, *values: object) -> list[PlainRow]:
    cursor = connection.execute(asked, values)
    names = [column[0] for column in cursor.description]
    return [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]


def _line(row: PlainRow) -> str:
    return json.dumps(row, ensure_ascii=True, separators=(",", ":")) + "\n"


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


class _Import:
    """One import under way, in one transaction."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.connection = connection
        self.sessions = self.baths = 0
        self.fog_tests: list[fogtests.FogTest] = []
        self.renumbered: list[tuple[int, int]] = []
        self.skipped: list[str] = []
        self._bath_numbers: dict[int, int] = {}

    def add(self, row: PlainRow) -> None:
        """Add one line's worth, unless it is there."""
        if "bath" in row:
            self._add_bath(row)
        elif "session" in row:
            self._add_session(row)
        elif "mixing" in row:
            self._add_mixing(row["mixing"])
        elif "fog test" in row:
            self.fog_tests.append(fogtests.from_row(row["fog test"]))
        else:
            raise ValueError("a kind of line that this version does not know")

    def _there(self, table: str, row: PlainRow, *columns: str) -> int | None:
        same = " AND ".join(f"{column} IS ?" for column in columns)
        asked = f"SELECT number FROM {table} WHERE {same}"
        found = self.connection.execute(asked, [row[column] for column in columns]).fetchone()
        return int(found[0]) if found else None

    def _number(self, table: str, wanted: int) -> int:
        """The number it had, or the next free one where another has it."""
        taken = self.connection.execute(f"SELECT 1 FROM {table} WHERE number = ?", (wanted,)).fetchone()
        if taken is None:
            return wanted
        return int(self.connection.execute(f"SELECT max(number) + 1 FROM {table}").fetchone()[0])

    def _insert(self, table: str, row: PlainRow) -> None:
        known = {column[1] for column in self.connection.execute(f"PRAGMA table_info({table})")}
        if unknown := row.keys() - known:
            raise ValueError(f"{table} have no {', '.join(sorted(unknown))}")
        names = ", ".join(row)
        self.connection.execute(f"INSERT INTO {table} ({names}) VALUES ({', '.join('?' * len(row))})", list(row.values()))

    def _add_mixing(self, row: PlainRow) -> None:
        if self._there("mixings", row, "tray", "mixed", "entered") is None:
            self._insert("mixings", {**row, "number": self._number("mixings", row["number"])})

    def _add_bath(self, row: PlainRow) -> None:
        bath = row["bath"]
        there = self._there("baths", bath, "name", "made", "entered")
        if there is not None:
            self._bath_numbers[bath["number"]] = there
            self.skipped.append(f"bath {bath['name']}")
            return
        number = self._bath_numbers[bath["number"]] = self._number("baths", bath["number"])
        self._insert("baths", {**bath, "number": number})
        for event in row["events"]:
            self._insert("bath_events", {**event, "bath": number})
        self.baths += 1

    def _add_session(self, row: PlainRow) -> None:
        session = row["session"]
        if self._there("sessions", session, "started", "boot", "origin", "title") is not None:
            self.skipped.append(f"session {session['number']}, {session['title']}")
            return
        number = self._number("sessions", session["number"])
        if number != session["number"]:
            self.renumbered.append((session["number"], number))
        self._insert("sessions", {**session, "number": number})
        for table in (*_OF_SESSION, *_AFTER):
            for one in row[table]:
                if table == "session_baths":
                    one = {**one, "bath": self._bath_numbers[one["bath"]]}
                self._insert(table, {**one, "session": number})
        self.sessions += 1
