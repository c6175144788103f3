"""One session being written: each happening, and with it, in the same transaction, what became of the sheets.

Moments are whole ms since the session began. Wall times are for people and for going on after a reboot: nothing is
worked out from them while a session runs.
"""

import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Protocol

from assistant.history.printed import Course, Session
from assistant.records import bath_rows, course_rows
from assistant.records.entries import Dated, Entry, LastAlive, iso
from assistant.records.faults import JournalFault
from assistant.records.session_lock import SessionLock
from assistant.session.happenings import Fresh, Happening, as_row

if TYPE_CHECKING:
    from assistant.session.bench import Bench

_APPEND = (
    "INSERT INTO entries (session, number, at, wall, boot, name, details) "
    "SELECT number, 1 + (SELECT count(*) FROM entries WHERE session = sessions.number), ?, ?, ?, ?, ? "
    "FROM sessions WHERE number = ?"
)
ENDING = "INSERT INTO endings (session, at, wall) VALUES (?, ?, ?)"
"""Session, moment (ms) and wall time at which it ended; with it the session is closed."""
BY_HAND = "by hand"
"""What is told of a session that goes on without its rules; no version takes it for a happening, so none replays it."""
_MARK = "UPDATE marks SET at = ?, wall = ?, boot = ?, origin = ? WHERE session = ? AND at <= ?"


@dataclass(frozen=True)
class JournalLine:
    """What is to be written: a happening and the bench it made, or only (None) that the program lived; `wall` is when."""

    at: int
    happening: Happening | None
    bench: "Bench"
    wall: datetime


class Kept(Protocol):
    """The records, as far as one session needs them."""

    def writing(self) -> AbstractContextManager[sqlite3.Connection]:
        """All of it or nothing, on the disk when it ends."""
        ...

    def entries(self, number: int) -> list[Entry]:
        """What happened in a session, in order."""
        ...

    def course(self, number: int) -> Course:
        """How a session went, as written last."""
        ...


class SessionJournal:
    """One session being written, and locked against other programs; a conductor writes it through a `BufferedJournal`."""

    def __init__(self, records: Kept, session: Session, clock: Dated, lock: SessionLock, mark: LastAlive) -> None:
        self._records = records
        self._clock = clock
        self._lock: SessionLock | None = lock
        self._written = records.course(session.number)
        self.session = session
        self.mark = mark
        """Where the session stood when it was taken up."""

    def wall(self) -> datetime:
        """The wall clock, as what is written later is stamped with."""
        return self._clock.wall()

    def append(self, at: int, happening: Happening, bench: "Bench") -> None:
        """Write one happening at its moment, and how the bench it made differs; on return it is on the disk."""
        self.keep([JournalLine(at, happening, bench, self.wall())])

    def alive(self, at: int, bench: "Bench") -> None:
        """The program lives at this moment, what it called until now was heard, and this is how the bench stands."""
        self.keep([JournalLine(at, None, bench, self.wall())])

    def keep(self, lines: Sequence[JournalLine]) -> None:
        """Write these in their order, all or none; on return they are on the disk, which is waited for once."""
        from assistant.history.course import course_of  # knows the whole session, which is not read to look for one

        last = lines[-1]
        course = course_of(last.bench)
        with self._writing() as connection:
            for line in lines:
                if line.happening is not None:
                    self._entered(connection, line, line.happening)
            course_rows.write(connection, self.session.number, self._written, course)
            self._mark(connection, last.at, last.wall)
        self._written = course

    def _entered(self, connection: sqlite3.Connection, line: JournalLine, happening: Happening) -> None:
        name, details = as_row(happening)
        row = (line.at, iso(line.wall), self._clock.boot, name, json.dumps(details), self.session.number)
        connection.execute(_APPEND, row)
        tray = _poured(happening, line.at, line.bench)
        if tray:
            bath_rows.mixed_anew_in_session(connection, self.session.number, tray, line.at, self.session.wall(line.at))

    def by_hand(self, at: int, told: dict[str, object], course: Course) -> None:
        """Write what was said of sheets of a session that no rules are followed for, and how it stands then."""
        wall = self.wall()
        row = (at, iso(wall), self._clock.boot, BY_HAND, json.dumps(told), self.session.number)
        with self._writing() as connection:
            connection.execute(_APPEND, row)
            course_rows.write(connection, self.session.number, self._written, course)
            self._mark(connection, at, wall)
        self._written = course

    def finish(self, at: int) -> None:
        """The session is over: nothing can be added to it, nobody will be asked to go on with it."""
        wall = self.wall()
        with self._writing() as connection:
            self._mark(connection, at, wall)
            ending = (self.session.number, at, iso(wall))
            connection.execute(ENDING, ending)
        self._let_go(ended=True)

    def entries(self) -> list[Entry]:
        """What happened so far, in order."""
        return self._records.entries(self.session.number)

    def course(self) -> Course:
        """How the session went, as it was written last."""
        return self._records.course(self.session.number)

    def leave(self) -> None:
        """Let go of the session unfinished: anyone may go on with it."""
        self._let_go(ended=False)

    def _mark(self, connection: sqlite3.Connection, at: int, wall: datetime) -> None:
        row = (at, iso(wall), self._clock.boot, self._clock.origin, self.session.number, at)
        connection.execute(_MARK, row)

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        if self._lock is None:
            raise JournalFault(f"Session {self.session.number} is closed: nothing can be added to it.")
        with self._records.writing() as connection:
            yield connection

    def _let_go(self, ended: bool) -> None:
        lock, self._lock = self._lock, None
        if lock is not None:
            lock.release(ended)


def _poured(happening: Happening, at: int, bench: "Bench") -> str:
    """The tray whose bath was mixed anew, if that was not refused."""
    if not isinstance(happening, Fresh):
        return ""
    return next((tray for when, tray in bench.fresh if when == at and tray.casefold() == happening.tray.casefold()), "")
