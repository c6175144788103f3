"""The tables of the records' file, version by version.

What is in them only grows: triggers forbid to change or remove what was written, but for the one mark that says until
when a session surely lived, and for the course of a session that has not ended: a late tap, a word or an undo corrects
what was written of a sheet. With its ending a session is closed for good.
"""

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class SchemaStep:
    """What brings a file from one version to the next: new tables, what fills them from old ones, what guards them."""

    tables: str
    fill: Callable[[sqlite3.Connection, Path], None] | None = None
    guards: str = ""


def _courses(connection: sqlite3.Connection, file: Path) -> None:
    from assistant.records.migration import write_courses  # replays sessions: not read where nothing is to be migrated

    write_courses(connection, file)


def _baths(connection: sqlite3.Connection, file: Path) -> None:
    from assistant.records.migration import name_the_baths

    name_the_baths(connection, file)


def _only_added_to(table: str, same: str) -> str:
    # REPLACE removes a row without firing a DELETE trigger, so the third trigger stands before INSERT.
    return f"""
    CREATE TRIGGER {table}_stay BEFORE UPDATE ON {table}
        BEGIN SELECT raise(ABORT, '{table} are only added to'); END;
    CREATE TRIGGER {table}_remain BEFORE DELETE ON {table}
        BEGIN SELECT raise(ABORT, '{table} are only added to'); END;
    CREATE TRIGGER {table}_are_new BEFORE INSERT ON {table}
        WHEN EXISTS (SELECT 1 FROM {table} WHERE {same})
        BEGIN SELECT raise(ABORT, '{table} are only added to'); END;
    """


def _closed_with_the_session(table: str) -> str:
    def ended(row: str) -> str:
        return f"WHEN EXISTS (SELECT 1 FROM endings WHERE session = {row}.session)"

    return "".join(
        f"""
    CREATE TRIGGER {table}_{what}_ended BEFORE {what} ON {table} {ended(row)}
        BEGIN SELECT raise(ABORT, 'the session has ended'); END;
    """
        for what, row in (("INSERT", "new"), ("UPDATE", "old"), ("DELETE", "old"))
    )


_SESSIONS = SchemaStep(
    """
    CREATE TABLE sessions (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        started TEXT NOT NULL, boot TEXT NOT NULL, origin INTEGER NOT NULL,
        title TEXT NOT NULL, file TEXT NOT NULL, recipe TEXT NOT NULL, copies INTEGER NOT NULL,
        program TEXT NOT NULL
    );
    CREATE TABLE entries (
        session INTEGER NOT NULL REFERENCES sessions, number INTEGER NOT NULL,
        at INTEGER NOT NULL CHECK (at >= 0), wall TEXT NOT NULL, boot TEXT NOT NULL,
        name TEXT NOT NULL, details TEXT NOT NULL,
        PRIMARY KEY (session, number)
    ) WITHOUT ROWID;
    CREATE TABLE endings (
        session INTEGER PRIMARY KEY REFERENCES sessions, at INTEGER NOT NULL, wall TEXT NOT NULL
    );
    CREATE TABLE marks (
        session INTEGER PRIMARY KEY REFERENCES sessions,
        at INTEGER NOT NULL, wall TEXT NOT NULL, boot TEXT NOT NULL, origin INTEGER NOT NULL
    );
    CREATE TABLE mixings (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        tray TEXT NOT NULL, mixed TEXT NOT NULL, entered TEXT NOT NULL
    );
    CREATE TRIGGER nothing_after_the_end BEFORE INSERT ON entries
        WHEN EXISTS (SELECT 1 FROM endings WHERE session = new.session)
        BEGIN SELECT raise(ABORT, 'the session has ended'); END;
    """,
    guards=_only_added_to("sessions", "number = new.number")
    + _only_added_to("entries", "session = new.session AND number = new.number")
    + _only_added_to("endings", "session = new.session")
    + _only_added_to("mixings", "number = new.number"),
)
"""Version 1, traycall 0.1.0: what happened, from which a session's course was worked out at every reading."""

_COURSE = SchemaStep(
    """
    ALTER TABLE sessions ADD COLUMN rules INTEGER NOT NULL DEFAULT 1;
    CREATE TABLE sheets (
        session INTEGER NOT NULL REFERENCES sessions, number INTEGER NOT NULL,
        state TEXT NOT NULL, untoned INTEGER NOT NULL,
        PRIMARY KEY (session, number)
    ) WITHOUT ROWID;
    CREATE TABLE stays (
        session INTEGER NOT NULL, copy INTEGER NOT NULL, number INTEGER NOT NULL,
        step INTEGER NOT NULL, kind TEXT NOT NULL, name TEXT NOT NULL, tray TEXT,
        from_ms INTEGER NOT NULL, to_ms INTEGER, target_ms INTEGER, verdict TEXT,
        PRIMARY KEY (session, copy, number), CHECK ((to_ms IS NULL) = (verdict IS NULL))
    ) WITHOUT ROWID;
    CREATE TABLE first_tones (
        session INTEGER NOT NULL, number INTEGER NOT NULL, copy INTEGER NOT NULL, after_ms INTEGER NOT NULL,
        PRIMARY KEY (session, number)
    ) WITHOUT ROWID;
    CREATE TABLE readings (
        session INTEGER NOT NULL, number INTEGER NOT NULL, at INTEGER NOT NULL, tray TEXT NOT NULL, celsius REAL NOT NULL,
        PRIMARY KEY (session, number)
    ) WITHOUT ROWID;
    CREATE TABLE notes (
        session INTEGER NOT NULL, number INTEGER NOT NULL, at INTEGER NOT NULL, words TEXT NOT NULL,
        PRIMARY KEY (session, number)
    ) WITHOUT ROWID;
    CREATE TABLE picks (session INTEGER PRIMARY KEY, strip INTEGER NOT NULL);
    CREATE TABLE troubles (session INTEGER PRIMARY KEY REFERENCES sessions, words TEXT NOT NULL);
    """,
    fill=_courses,
    guards="".join(map(_closed_with_the_session, ("sheets", "stays", "first_tones", "readings", "notes", "picks", "troubles"))),
)
"""Version 2: the course itself, as it was when it came about. A stay without an end is one that has begun."""

_CHEMISTRY = SchemaStep(
    """
    CREATE TABLE baths (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        name TEXT NOT NULL, form TEXT NOT NULL CHECK (form IN ('bottle', 'bath')), what TEXT NOT NULL,
        mix TEXT, volume INTEGER, lasts REAL, keeps INTEGER, made TEXT NOT NULL, entered TEXT NOT NULL
    );
    CREATE TABLE bath_events (
        number INTEGER PRIMARY KEY AUTOINCREMENT, bath INTEGER NOT NULL REFERENCES baths,
        at TEXT NOT NULL, kind TEXT NOT NULL, details TEXT NOT NULL, entered TEXT NOT NULL
    );
    CREATE TABLE session_baths (
        session INTEGER NOT NULL REFERENCES sessions, tray TEXT NOT NULL, from_ms INTEGER NOT NULL,
        bath INTEGER NOT NULL REFERENCES baths, rank INTEGER NOT NULL,
        PRIMARY KEY (session, tray, from_ms)
    ) WITHOUT ROWID;
    CREATE TABLE sheet_prints (
        session INTEGER NOT NULL, number INTEGER NOT NULL, print TEXT NOT NULL, PRIMARY KEY (session, number)
    ) WITHOUT ROWID;
    CREATE TABLE remarks (
        number INTEGER PRIMARY KEY AUTOINCREMENT, session INTEGER NOT NULL REFERENCES sessions, copy INTEGER,
        entered TEXT NOT NULL, judged TEXT CHECK (judged IN ('pass', 'fail')), words TEXT NOT NULL, holder TEXT NOT NULL
    );
    """,
    fill=_baths,
    guards=_only_added_to("baths", "number = new.number")
    + _only_added_to("bath_events", "number = new.number")
    + _only_added_to("session_baths", "session = new.session AND tray = new.tray AND from_ms = new.from_ms")
    + _only_added_to("remarks", "number = new.number")
    + _closed_with_the_session("sheet_prints"),
)
"""Version 3: baths by name, which of them stood in which tray, and what was said of a session afterwards.

What was mixed is from here on a bath of its own; `mixings` stays as it was said.
"""

_TURNS = SchemaStep(
    """
    CREATE TABLE turns_left_out (
        session INTEGER NOT NULL, copy INTEGER NOT NULL, number INTEGER NOT NULL, turns INTEGER NOT NULL CHECK (turns > 0),
        PRIMARY KEY (session, copy, number)
    ) WITHOUT ROWID;
    """,
    guards=_closed_with_the_session("turns_left_out"),
)
"""Version 4: how many turns of a copy's stay nobody was called for, where there were such."""

STEPS = (_SESSIONS, _COURSE, _CHEMISTRY, _TURNS)
"""What brings a file from version n to n + 1; a step, once shipped, is never changed."""
