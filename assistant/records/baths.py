"""Chemistry in the records: baths and bottles by name, and what was said of them. It is only added to."""

import json
import sqlite3
from dataclasses import replace
from datetime import datetime
from typing import Any

from assistant.history.baths import Bath, BathEvent, EventKind, Form, Placement
from assistant.records.database import damaged
from assistant.records.entries import iso
from assistant.records.journal import Journal
from assistant.trade.quantities import format_mix, parse_mix

_ADD = (
    "INSERT INTO baths (name, form, what, mix, volume, lasts, keeps, made, entered) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"
)
_EVENT = "INSERT INTO bath_events (bath, at, kind, details, entered) VALUES (?, ?, ?, ?, ?)"


class NoBath(ValueError):
    """There is no such bath, or there is one already; says what to do."""


class Baths:
    """The baths of a printer's records."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal

    def all(self) -> tuple[Bath, ...]:
        """Every bath and bottle ever added, the oldest first."""
        told = self._journal.rows("SELECT bath, at, kind, details FROM bath_events ORDER BY number")
        found = self._journal.rows("SELECT number, name, form, what, mix, volume, lasts, keeps, made FROM baths ORDER BY number")
        events: dict[int, list[BathEvent]] = {}
        try:
            for bath, at, kind, details in told:
                events.setdefault(bath, []).append(BathEvent(datetime.fromisoformat(at), kind, dict(json.loads(details))))
            return tuple(_bath(*row, events=tuple(events.get(row[0], ()))) for row in found)
        except (ValueError, TypeError) as error:
            raise damaged(self._journal.path, str(error)) from error

    def in_use(self) -> tuple[Bath, ...]:
        """Those that were not retired."""
        return tuple(bath for bath in self.all() if bath.retired is None)

    def named(self, name: str) -> Bath:
        """The bath of a name that is in use; NoBath says which there are."""
        wanted = " ".join(name.split()).casefold()
        using = self.in_use()
        found = next((bath for bath in using if bath.name.casefold() == wanted), None)
        if found is None:
            there = ", ".join(bath.name for bath in using) or "none so far: traycall baths add NAME"
            raise NoBath(f"No bath in use is called {name}; there are: {there}.")
        return found

    def add(self, bath: Bath, entered: datetime, tray: str = "") -> Bath:
        """Add a bath or a bottle (its number is given here), and the tray in which it stands; NoBath where its name is taken."""
        if any(other.name.casefold() == bath.name.casefold() for other in self.in_use()):
            raise NoBath(f"{bath.name} is in use already. Mixed anew: traycall baths mixed {bath.name!r}, or give another name.")
        with self._journal.writing() as connection:
            number = _added(connection, bath, entered)
            if tray:
                _told(connection, number, bath.made, "stood", {"tray": tray}, entered)
        return self._numbered(number)

    def mixed_anew(self, old: Bath, at: datetime, entered: datetime, why: str = "mixed anew") -> Bath:
        """A fresh bath in place of one: the same name and kind, in the same tray; the old one is retired."""
        tray = tray_of(old)
        with self._journal.writing() as connection:
            _told(connection, old.number, max(at, old.made), "retired", {"why": why}, entered)
            number = _added(connection, replace(old, made=at), entered)
            if tray:
                _told(connection, number, at, "stood", {"tray": tray}, entered)
        return self._numbered(number)

    def tell(self, bath: Bath, kind: EventKind, at: datetime, entered: datetime, **details: Any) -> None:
        """Keep what was said of a bath."""
        with self._journal.writing() as connection:
            _told(connection, bath.number, at, kind, details, entered)

    def rotate(self, first: Bath, second: Bath, at: datetime, entered: datetime) -> int:
        """The second fixing bath takes the place of the first, which is retired; how often that has been done in a line."""
        rotation = max(first.rotations, second.rotations) + 1
        with self._journal.writing() as connection:
            _told(connection, first.number, at, "retired", {"why": f"{second.name} took its place"}, entered)
            _told(connection, second.number, at, "moved up", {"rotation": rotation}, entered)
            _told(connection, second.number, at, "stood", {"tray": tray_of(first) or first.name}, entered)
        return rotation

    def placements(self, session: int) -> tuple[Placement, ...]:
        """Which baths stood in a session's trays."""
        asked = "SELECT tray, from_ms, bath, rank FROM session_baths WHERE session = ? ORDER BY tray, from_ms"
        return tuple(Placement(*row) for row in self._journal.rows(asked, session))

    def _numbered(self, number: int) -> Bath:
        return next(bath for bath in self.all() if bath.number == number)


def tray_of(bath: Bath) -> str:
    """The tray in which a bath was put last, "" where nobody said."""
    stood = bath.told("stood")
    return str(stood[-1].details.get("tray", "")) if stood else ""


def _bath(
    number: int,
    name: str,
    form: Form,
    what: str,
    mix: str | None,
    volume: int | None,
    lasts: float | None,
    keeps: int | None,
    made: str,
    *,
    events: tuple[BathEvent, ...],
) -> Bath:
    parts = parse_mix(mix) if mix else None
    return Bath(number, name, form, what, parts, volume, lasts, keeps, datetime.fromisoformat(made), events)


def _added(connection: sqlite3.Connection, bath: Bath, entered: datetime) -> int:
    mix = format_mix(bath.mix) if bath.mix else None
    row = (bath.name, bath.form, bath.what, mix, bath.volume, bath.lasts, bath.keeps, iso(bath.made), iso(entered))
    number = connection.execute(_ADD, row).lastrowid
    assert number is not None
    return number


def _told(
    connection: sqlite3.Connection, bath: int, at: datetime, kind: EventKind, details: dict[str, Any], entered: datetime
) -> None:
    connection.execute(_EVENT, (bath, iso(at), kind, json.dumps(details, ensure_ascii=False), iso(entered)))
