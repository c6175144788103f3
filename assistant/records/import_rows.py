"""Rows of an exported file put into the tables, and read back before they are kept.

The tables take more than is ever read of them, and nothing can be removed from them again: so every session and bath is
read as it will be read later, within the transaction that puts it in.
"""

import sqlite3
from typing import Any, TypeAlias

from assistant.records import fogtests
from assistant.records.baths import Baths
from assistant.records.journal import Journal

TABLES = (
    "entries", "sheets", "sheet_prints", "stays", "turns_left_out", "first_tones", "readings", "notes", "picks", "troubles",
    "session_baths", "marks", "remarks", "endings",
)  # fmt: skip
"""Those with a session's rows; an ending is put in last, since it closes the others."""
_MOST = 2**53
"""A number beyond this is none that was counted up; after the greatest that SQLite knows no other could be given."""
PlainRow: TypeAlias = dict[str, Any]


class Import:
    """One import under way, in one transaction of the journal's."""

    def __init__(self, journal: Journal, connection: sqlite3.Connection) -> None:
        self._journal = journal
        self._connection = connection
        self.sessions = self.baths = 0
        self.fog_tests: list[fogtests.FogTest] = []
        self.renumbered: list[tuple[int, int]] = []
        self.skipped: list[str] = []
        self._bath_numbers: dict[int, int] = {}

    def add(self, row: PlainRow) -> None:
        """Add one line's worth, unless it is there; Damaged or what Python and SQLite raise where it is not as it was written."""
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
        found = self._connection.execute(asked, [row[column] for column in columns]).fetchone()
        return int(found[0]) if found else None

    def _number(self, table: str, wanted: int) -> int:
        """The number it had, or the next free one where another has it."""
        if not 0 < wanted < _MOST:
            raise ValueError(f"{table} have no number {wanted}")
        taken = self._connection.execute(f"SELECT 1 FROM {table} WHERE number = ?", (wanted,)).fetchone()
        if taken is None:
            return wanted
        return int(self._connection.execute(f"SELECT max(number) + 1 FROM {table}").fetchone()[0])

    def _insert(self, table: str, row: PlainRow) -> None:
        known = {column[1] for column in self._connection.execute(f"PRAGMA table_info({table})")}
        if unknown := row.keys() - known:
            raise ValueError(f"{table} have no {', '.join(sorted(unknown))}")
        names = ", ".join(row)
        self._connection.execute(f"INSERT INTO {table} ({names}) VALUES ({', '.join('?' * len(row))})", list(row.values()))

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
        Baths(self._journal).numbered(number)
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
        for table in TABLES:
            for one in row[table]:
                if table == "session_baths":
                    one = {**one, "bath": self._bath_numbers[one["bath"]]}
                self._insert(table, {**one, "session": number})
        self._read_back(number, marked=bool(row["marks"]))
        self.sessions += 1

    def _read_back(self, session: int, marked: bool) -> None:
        journal = self._journal
        for read in (journal.session, journal.told, journal.course, journal.remarks, Baths(journal).placements):
            read(session)
        if marked:
            journal.last_alive(session)
