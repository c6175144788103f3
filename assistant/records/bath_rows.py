"""Baths as rows: added, told of, put into trays, mixed anew. Called within a transaction of the caller's.

A bath that is put into a tray while a session is printed stands in that session's tray from then on: its sheets count there.
"""

import json
import sqlite3
from datetime import datetime
from typing import Any

from assistant.history.baths import Bath, EventKind
from assistant.records.entries import iso
from assistant.trade.quantities import format_mix

_ADD = "INSERT INTO baths (name, form, what, mix, volume, lasts, keeps, made, entered) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"
_AGAIN = (
    "INSERT INTO baths (name, form, what, mix, volume, lasts, keeps, made, entered) "
    "SELECT name, form, what, mix, volume, lasts, keeps, ?, ? FROM baths WHERE number = ?"
)
_EVENT = "INSERT INTO bath_events (bath, at, kind, details, entered) VALUES (?, ?, ?, ?, ?)"
_IN_USE = (
    "SELECT number FROM baths WHERE name = ? AND number NOT IN (SELECT bath FROM bath_events WHERE kind = 'retired') "
    "ORDER BY number DESC"
)
_STOOD = "SELECT bath, rank, from_ms FROM session_baths WHERE session = ? AND tray = ? ORDER BY from_ms DESC"
_STANDS = "INSERT INTO session_baths (session, tray, from_ms, bath, rank) VALUES (?, ?, ?, ?, ?)"
_UNDER_WAY = "SELECT number, started FROM sessions WHERE number NOT IN (SELECT session FROM endings) ORDER BY number DESC LIMIT 1"


def added(connection: sqlite3.Connection, bath: Bath, entered: datetime) -> int:
    """Add a bath or bottle; its number."""
    mix = format_mix(bath.mix) if bath.mix else None
    row = (bath.name, bath.form, bath.what, mix, bath.volume, bath.lasts, bath.keeps, iso(bath.made), iso(entered))
    return _new(connection.execute(_ADD, row))


def told(
    connection: sqlite3.Connection, bath: int, at: datetime, kind: EventKind, details: dict[str, Any], entered: datetime
) -> None:
    """Keep what was said of a bath."""
    connection.execute(_EVENT, (bath, iso(at), kind, json.dumps(details, ensure_ascii=False), iso(entered)))


def stands(connection: sqlite3.Connection, bath: int, tray: str, at: datetime, entered: datetime) -> None:
    """A bath stands in a tray, also in that of the session that is under way."""
    told(connection, bath, at, "stood", {"tray": tray}, entered)
    for session, started in connection.execute(_UNDER_WAY).fetchall():
        since = round((at - datetime.fromisoformat(started)).total_seconds() * 1000)
        if since >= 0:
            _stands_in_session(connection, session, tray, since, bath)


def mixed_anew_in_session(connection: sqlite3.Connection, session: int, tray: str, since: int, at: datetime) -> None:
    """A tray's bath was poured away and mixed anew at a moment of a session: `since` ms after its beginning, `at` by the wall.

    Where no bath of a name stood in it, one of the tray's name is counted from there.
    """
    stood = connection.execute(_STOOD, (session, tray)).fetchone() or connection.execute(_IN_USE, (tray,)).fetchone()
    if stood is not None:
        told(connection, stood[0], at, "retired", {"why": "mixed fresh"}, at)
        number = _new(connection.execute(_AGAIN, (iso(at), iso(at), stood[0])))
    else:
        number = added(connection, Bath(0, tray, "bath", tray, None, None, None, None, at), at)
    told(connection, number, at, "stood", {"tray": tray}, at)
    _stands_in_session(connection, session, tray, since, number)


def _stands_in_session(connection: sqlite3.Connection, session: int, tray: str, since: int, bath: int) -> None:
    before = connection.execute(_STOOD, (session, tray)).fetchone()
    if before is None or before[2] < since:
        connection.execute(_STANDS, (session, tray, since, bath, before[1] if before else 1))


def _new(done: sqlite3.Cursor) -> int:
    assert done.lastrowid is not None
    return done.lastrowid
