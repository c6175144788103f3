"""A session's course as rows: written when something of it changes, read back as it was written.

Called within a transaction of the caller's.
"""

import sqlite3
from collections.abc import Iterable, Sequence
from typing import Annotated, Any, TypeAlias

from pydantic import Field, TypeAdapter

from assistant.history.printed import Course, Sheet, State, Within
from assistant.records.entries import MOST_MS
from assistant.records.faults import AS_WRITTEN
from assistant.session.copy import Stay, TrayReading, Verdict

_OF_A_STAY = "step, kind, name, tray, from_ms, to_ms, target_ms, verdict"
_STAY = f"INSERT INTO stays (session, copy, number, {_OF_A_STAY}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"


def write(connection: sqlite3.Connection, session: int, before: Course, now: Course) -> None:
    """Write what differs from what was written before."""
    kept = {sheet.number: sheet for sheet in before.sheets}
    for sheet in now.sheets:
        if kept.get(sheet.number) != sheet:
            _write_sheet(connection, session, sheet)
            _write_turns(connection, session, sheet.number, kept.get(sheet.number), sheet)
    for gone in kept.keys() - {sheet.number for sheet in now.sheets}:  # a void that was taken back needs no other sheet
        connection.execute("DELETE FROM sheets WHERE session = ? AND number = ?", (session, gone))
        connection.execute("DELETE FROM stays WHERE session = ? AND copy = ?", (session, gone))
        _write_turns(connection, session, gone, kept[gone], None)
        if kept[gone].print:
            connection.execute("DELETE FROM sheet_prints WHERE session = ? AND number = ?", (session, gone))
    if before.first_tones != now.first_tones:
        _write_list(connection, session, "first_tones", "copy, after_ms", now.first_tones)
    if before.readings != now.readings:
        rows = [(reading.at, reading.tray, reading.celsius) for reading in now.readings]
        _write_list(connection, session, "readings", "at, tray, celsius", rows)
    if before.notes != now.notes:
        _write_list(connection, session, "notes", "at, words", now.notes)
    if before.picked != now.picked:
        connection.execute("DELETE FROM picks WHERE session = ?", (session,))
        if now.picked is not None:
            connection.execute("INSERT INTO picks (session, strip) VALUES (?, ?)", (session, now.picked))


def _write_sheet(connection: sqlite3.Connection, session: int, sheet: Sheet) -> None:
    connection.execute("DELETE FROM stays WHERE session = ? AND copy = ?", (session, sheet.number))
    connection.execute("DELETE FROM sheets WHERE session = ? AND number = ?", (session, sheet.number))
    row = (session, sheet.number, sheet.state, int(sheet.untoned))
    connection.execute("INSERT INTO sheets (session, number, state, untoned) VALUES (?, ?, ?, ?)", row)
    if sheet.print:  # a table of its own: a file that is brought up to date by steps gets it after its sheets
        connection.execute("DELETE FROM sheet_prints WHERE session = ? AND number = ?", (session, sheet.number))
        of = (session, sheet.number, sheet.print)
        connection.execute("INSERT INTO sheet_prints (session, number, print) VALUES (?, ?, ?)", of)
    for number, s in enumerate(sheet.stays, 1):
        where = (session, sheet.number, number, s.step, s.kind, s.name, s.tray)
        connection.execute(_STAY, (*where, s.from_ms, s.to_ms, s.target_ms, s.verdict))
    if sheet.within is not None:
        w = sheet.within
        where = (session, sheet.number, len(sheet.stays) + 1, w.step, w.kind, w.name, w.tray)
        connection.execute(_STAY, (*where, w.since, None, w.target_ms, None))


def _write_turns(connection: sqlite3.Connection, session: int, number: int, before: Sheet | None, now: Sheet | None) -> None:
    """A table of its own, which a file that is brought up to date by steps gets last: touched only where turns were left out."""
    left = [[stay.left_out for stay in sheet.stays] if sheet else [] for sheet in (before, now)]
    if any(left[0]):
        connection.execute("DELETE FROM turns_left_out WHERE session = ? AND copy = ?", (session, number))
    rows = [(session, number, i, turns) for i, turns in enumerate(left[1], 1) if turns]
    if rows:
        connection.executemany("INSERT INTO turns_left_out VALUES (?, ?, ?, ?)", rows)


def _write_list(connection: sqlite3.Connection, session: int, table: str, columns: str, rows: Iterable[Sequence[object]]) -> None:
    connection.execute(f"DELETE FROM {table} WHERE session = ?", (session,))
    for number, row in enumerate(rows, 1):
        marks = ", ".join("?" * (2 + len(row)))
        connection.execute(f"INSERT INTO {table} (session, number, {columns}) VALUES ({marks})", (session, number, *row))


Ms: TypeAlias = Annotated[int, Field(ge=-MOST_MS, le=MOST_MS)]
"""A moment or a span of a session."""
Count: TypeAlias = Annotated[int, Field(ge=0, le=10_000)]
"""A sheet, a step, a turn, by its number: ten times what any session has."""
Celsius: TypeAlias = Annotated[float, Field(ge=0, le=100)]
"""Water, as `trade.quantities` reads it."""
StayRow: TypeAlias = tuple[Count, Count, Count, str, str, str | None, Ms, Ms | None, Ms | None, Verdict | None]
"""Copy, number, then the columns of `_OF_A_STAY`: moments and spans in ms, None where a stay has not ended."""
_ROWS: dict[str, TypeAdapter[list[Any]]] = {
    table: TypeAdapter(list[kinds], config=AS_WRITTEN)  # type: ignore[valid-type]
    for table, kinds in {
        "sheets": tuple[Count, State, Count], "stays": StayRow, "turns_left_out": tuple[Count, Count, Count],
        "sheet_prints": tuple[Count, str], "first_tones": tuple[Count, Ms], "readings": tuple[Ms, str, Celsius],
        "notes": tuple[Ms, str], "picks": tuple[Count],
    }.items()
}  # fmt: skip
"""Table -> the kinds of the columns that are read of it."""


def read(connection: sqlite3.Connection, session: int) -> Course:
    """A session's course as it was written last; ValueError where a row is not as it was written."""

    def rows(table: str, columns: str, order: str = "number") -> list[Any]:
        asked = f"SELECT {columns} FROM {table} WHERE session = ? ORDER BY {order}"
        return _ROWS[table].validate_python(connection.execute(asked, (session,)).fetchall())

    turns = {(copy, number): left for copy, number, left in rows("turns_left_out", "copy, number, turns", "copy, number")}
    stays = [
        (copy, *stay, turns.get((copy, number), 0))
        for copy, number, *stay in rows("stays", f"copy, number, {_OF_A_STAY}", "copy, number")
    ]
    sheets = rows("sheets", "number, state, untoned")
    picks, prints = rows("picks", "strip", "session"), dict(rows("sheet_prints", "number, print"))
    return Course(
        sheets=tuple(
            _sheet([stay for stay in stays if stay[0] == number], number, state, untoned, prints.get(number, ""))
            for number, state, untoned in sheets
        ),
        first_tones=tuple((copy, ms) for copy, ms in rows("first_tones", "copy, after_ms")),
        readings=tuple(TrayReading(*row) for row in rows("readings", "at, tray, celsius")),
        notes=tuple((at, words) for at, words in rows("notes", "at, words")),
        picked=picks[0][0] if picks else None,
    )


def _sheet(stays: list[tuple[Any, ...]], number: int, state: State, untoned: int, one: str) -> Sheet:
    finished = tuple(Stay(*stay) for stay in stays if stay[6] is not None)
    begun = [Within(s[1], s[2], s[3], s[4], since=s[5], target_ms=s[7]) for s in stays if s[6] is None]
    return Sheet(number, state, finished, begun[0] if begun else None, bool(untoned), one)
