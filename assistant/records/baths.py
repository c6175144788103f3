"""Chemistry in the records: baths and bottles by name, and what was said of them. It is only added to."""

import sqlite3
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Annotated, Any, TypeAlias

from pydantic import BaseModel, Field, validate_call

from assistant.history.baths import Bath, BathEvent, EventKind, Form, Placement
from assistant.records import bath_rows
from assistant.records.database import damaged_row
from assistant.records.entries import bounded, details, moment
from assistant.records.faults import AS_WRITTEN
from assistant.records.journal import Journal
from assistant.trade.quantities import parse_mix

Ml: TypeAlias = Annotated[float, Field(ge=0, le=1_000_000, allow_inf_nan=False)]
Volume: TypeAlias = Annotated[int, Field(ge=0, le=1_000_000)]
"""Millilitres: what is poured, and what a tray or a bottle holds: at most what `trade.quantities` reads as a volume."""
Sheets: TypeAlias = Annotated[float, Field(ge=0, le=100_000, allow_inf_nan=False)]
"""Of 8x10 in: a thousand of the largest that are read."""
Days: TypeAlias = Annotated[int, Field(ge=0, le=36_500)]
"""How long a bath keeps: at most a century."""
_BATH = "number, name, form, what, mix, volume, lasts, keeps, made"


class NoBath(ValueError):
    """There is no such bath, or there is one already; says what to do."""


@dataclass(frozen=True)
class Drawn:
    """Concentrate (ml) that was taken from a bottle."""

    bottle: Bath
    ml: float


class Baths:
    """The baths of a printer's records; JournalFault from every call where they can't be read or written."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal

    def all(self) -> tuple[Bath, ...]:
        """Every bath and bottle ever added, the oldest first."""
        return self._read()

    def numbered(self, number: int) -> Bath:
        """The bath of a number that there is."""
        (bath,) = self._read(number)
        return bath

    def _read(self, number: int | None = None) -> tuple[Bath, ...]:
        ask, of = self._journal.rows, () if number is None else (number,)
        told = ask(f"SELECT bath, at, kind, details FROM bath_events {'WHERE bath = ?' if of else ''} ORDER BY number", *of)
        found = ask(f"SELECT {_BATH} FROM baths {'WHERE number = ?' if of else ''} ORDER BY number", *of)
        events: dict[int, list[BathEvent]] = {}
        try:
            for bath, at, kind, details in told:
                events.setdefault(bath, []).append(_event(at, kind, details))
            return tuple(replace(_bath(*row), events=tuple(events.get(row[0], ()))) for row in found)
        except (ValueError, TypeError) as error:
            raise damaged_row(self._journal.path, error) from error

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

    def add(self, bath: Bath, entered: datetime, tray: str = "", drawn: Drawn | None = None) -> Bath:
        """Add a bath or a bottle (its number is given here), in which tray it stands, and what it was mixed from.

        NoBath where its name is taken.
        """
        if any(other.name.casefold() == bath.name.casefold() for other in self.in_use()):
            raise NoBath(f"{bath.name} is in use already. Mixed fresh: traycall baths mixed {bath.name!r}, or give another name.")
        with self._journal.writing() as connection:
            number = bath_rows.added(connection, bath, entered)
            if tray:
                bath_rows.stands(connection, number, tray, bath.made, entered)
            _draw(connection, bath.name, bath.made, entered, drawn)
        return self.numbered(number)

    def mixed_anew(self, old: Bath, at: datetime, entered: datetime, drawn: Drawn | None = None) -> Bath:
        """A fresh bath in place of one: the same name and kind, in the same tray; the old one is retired."""
        tray = tray_of(old)
        with self._journal.writing() as connection:
            bath_rows.told(connection, old.number, max(at, old.made), "retired", {"why": "mixed fresh"}, entered)
            number = bath_rows.added(connection, replace(old, made=at), entered)
            if tray:
                bath_rows.stands(connection, number, tray, at, entered)
            _draw(connection, old.name, at, entered, drawn)
        return self.numbered(number)

    def put(self, bath: Bath, tray: str, at: datetime, entered: datetime) -> None:
        """A bath stands in a tray from a moment on."""
        with self._journal.writing() as connection:
            bath_rows.stands(connection, bath.number, tray, at, entered)

    def topped_up(self, bath: Bath, bled: int, fed: int, at: datetime, entered: datetime, drawn: Drawn | None = None) -> None:
        """So much of it was poured out, so much fresh poured in (ml), and what that was mixed from."""
        with self._journal.writing() as connection:
            bath_rows.told(connection, bath.number, at, "topped up", {"bled": bled, "fed": fed}, entered)
            _draw(connection, bath.name, at, entered, drawn)

    def tell(self, bath: Bath, kind: EventKind, at: datetime, entered: datetime, **details: Any) -> None:
        """Keep what was said of a bath."""
        with self._journal.writing() as connection:
            bath_rows.told(connection, bath.number, at, kind, details, entered)

    def rotate(self, first: Bath, second: Bath, at: datetime, entered: datetime) -> int:
        """The second fixing bath takes the place of the first, which is retired; how often that has been done in a line."""
        rotation = max(first.rotations, second.rotations) + 1
        with self._journal.writing() as connection:
            bath_rows.told(connection, first.number, at, "retired", {"why": f"{second.name} took its place"}, entered)
            bath_rows.told(connection, second.number, at, "moved up", {"rotation": rotation}, entered)
            bath_rows.stands(connection, second.number, tray_of(first) or first.name, at, entered)
        return rotation

    def placements(self, session: int) -> tuple[Placement, ...]:
        """Which baths stood in a session's trays."""
        asked = (
            "SELECT tray, from_ms, baths.number, rank FROM session_baths LEFT JOIN baths ON baths.number = bath "
            "WHERE session = ? ORDER BY tray, from_ms"
        )  # a bath that is not there has no number, and is told as damaged
        try:
            return tuple(_placement(*row) for row in self._journal.rows(asked, session))
        except (ValueError, TypeError) as error:
            raise damaged_row(self._journal.path, error) from error


def tray_of(bath: Bath) -> str:
    """The tray in which a bath was put last, "" where nobody said."""
    stood = bath.told("stood")
    return str(stood[-1].details.get("tray", "")) if stood else ""


def _draw(connection: sqlite3.Connection, name: str, at: datetime, entered: datetime, drawn: Drawn | None) -> None:
    if drawn is not None:
        bath_rows.told(connection, drawn.bottle.number, at, "drawn", {"ml": drawn.ml, "bath": name}, entered)


@validate_call(config=AS_WRITTEN)
def _placement(tray: str, from_ms: int, bath: int, rank: int) -> Placement:
    return Placement(tray, bounded(from_ms), bath, rank)


@validate_call(config=AS_WRITTEN)
def _event(at: str, kind: EventKind, told: str) -> BathEvent:
    found = details(told)
    _DETAILS[kind].model_validate(found)
    return BathEvent(moment(at), kind, found)


class _ToppedUp(BaseModel, strict=True):
    bled: Ml
    fed: Ml


class _Used(BaseModel, strict=True):
    sheets: Sheets


class _Drawn(BaseModel, strict=True):
    ml: Ml
    bath: str = ""


class _Stood(BaseModel, strict=True):
    tray: str = ""


class _Retired(BaseModel, strict=True):
    why: str = ""


class _Tested(BaseModel, strict=True):
    test: str = ""
    good: bool = False


class _MovedUp(BaseModel, strict=True):
    rotation: int = 1


_DETAILS: dict[EventKind, type[BaseModel]] = {
    "topped up": _ToppedUp, "used": _Used, "drawn": _Drawn, "stood": _Stood, "retired": _Retired, "tested": _Tested,
    "moved up": _MovedUp,
}  # fmt: skip
"""What is said of a bath -> its figures and words; without its figures it can't be counted."""


@validate_call(config=AS_WRITTEN)
def _bath(
    number: int,
    name: str,
    form: Form,
    what: str,
    mix: str | None,
    volume: Volume | None,
    lasts: Sheets | None,
    keeps: Days | None,
    made: str,
) -> Bath:
    parts = parse_mix(mix) if mix else None
    return Bath(number, name, form, what, parts, volume, lasts, keeps, moment(made))
