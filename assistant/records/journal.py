"""The journal: sessions begun, what happened in them, and until when they surely lived.

It keeps inputs only, in the order they came; what they amount to is found by replay, which is `printed`'s. Wall
times are for people and for going on after a reboot: nothing is reckoned from them while a session runs.
"""

import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Any, TypeVar

from assistant import __version__
from assistant.places import home
from assistant.records.file import JournalFault, damaged, opened, worded, writing
from assistant.records.hold import Hold
from assistant.records.kept import Dated, Entry, Mark, Mixing, Session
from assistant.session.happenings import Happening, as_row, from_row

_SESSION = (
    "SELECT sessions.number, started, title, file, recipe, copies, program, coalesce(marks.at, 0), "
    "endings.at, endings.wall FROM sessions "
    "LEFT JOIN marks ON marks.session = sessions.number LEFT JOIN endings ON endings.session = sessions.number"
)


_BEGIN = "INSERT INTO sessions (started, boot, origin, title, file, recipe, copies, program) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
_FIRST_MARK = "INSERT INTO marks (session, at, wall, boot, origin) VALUES (?, 0, ?, ?, ?)"
_APPEND = (
    "INSERT INTO entries (session, number, at, wall, boot, name, details) "
    "SELECT number, 1 + (SELECT count(*) FROM entries WHERE session = sessions.number), ?, ?, ?, ?, ? "
    "FROM sessions WHERE number = ?"
)
_MARK = "UPDATE marks SET at = ?, wall = ?, boot = ?, origin = ? WHERE session = ? AND at <= ?"

ClockT = TypeVar("ClockT", bound=Dated)
MadeT = TypeVar("MadeT")


class SessionJournal:
    """One session being written, and held against other programs; satisfies `conductor.ports.Journal`."""

    def __init__(self, journal: "Journal", session: Session, clock: Dated, hold: Hold, mark: Mark) -> None:
        self._journal = journal
        self._clock = clock
        self._hold: Hold | None = hold
        self.session = session
        self.mark = mark
        """Where the session stood when it was taken up."""

    def append(self, at: int, happening: Happening) -> None:
        """Write one happening at its moment (ms since the session began); on return it is on the disk."""
        name, details = as_row(happening)
        row = (at, _iso(self._clock.wall()), self._clock.boot, name, json.dumps(details), self.session.number)
        with self._writing() as connection:
            connection.execute(_APPEND, row)
            self._mark(connection, at)

    def alive(self, at: int) -> None:
        """The program lives at this moment, and what it called until now was heard."""
        with self._writing() as connection:
            self._mark(connection, at)

    def finish(self, at: int) -> None:
        """The session is over: nothing can be added to it, nobody will be asked to go on with it."""
        with self._writing() as connection:
            self._mark(connection, at)
            ending = (self.session.number, at, _iso(self._clock.wall()))
            connection.execute("INSERT INTO endings (session, at, wall) VALUES (?, ?, ?)", ending)
        self._let_go(ended=True)

    def entries(self) -> list[Entry]:
        """What happened so far, in order."""
        return self._journal.entries(self.session.number)

    def leave(self) -> None:
        """Let go of the session unfinished: anyone may go on with it."""
        self._let_go(ended=False)

    def _mark(self, connection: sqlite3.Connection, at: int) -> None:
        clock = self._clock
        row = (at, _iso(clock.wall()), clock.boot, clock.origin, self.session.number, at)
        connection.execute(_MARK, row)

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        if self._hold is None:
            raise JournalFault(f"Session {self.session.number} is closed: nothing can be added to it.")
        with self._journal.writing() as connection:
            yield connection

    def _let_go(self, ended: bool) -> None:
        hold, self._hold = self._hold, None
        if hold is not None:
            hold.release(ended)


class Journal:
    """All sessions kept on this computer. Several programs may have it open; close it, or use it in a `with`."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self._connection = connection
        self._holding = ExitStack()

    @classmethod
    def open(cls, path: Path | None = None) -> "Journal":
        """The printer's records, made when missing; JournalFault says what is wrong with them."""
        if path is None:
            try:
                path = home() / "records.sqlite"
            except OSError as error:
                raise JournalFault(f"The folder for records cannot be made: {error}.") from error
        return cls(path, opened(path))

    def close(self) -> None:
        """Close the file, and let go of every session held through it."""
        self._holding.close()
        self._connection.close()

    def __enter__(self) -> "Journal":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    def begin(self, clock: Dated, *, recipe: str, title: str, file: str, copies: int) -> SessionJournal:
        """Begin a session, its recipe's text frozen as it stands, and hold it."""
        wall = _iso(clock.wall())
        begun = (wall, clock.boot, clock.origin, title, file, recipe, copies, __version__)
        with self.writing() as connection:
            number = connection.execute(_BEGIN, begun).lastrowid
            assert number is not None
            connection.execute(_FIRST_MARK, (number, wall, clock.boot, clock.origin))
            hold = self._held(number)  # before anyone else can see the session
        return SessionJournal(self, self.session(number), clock, hold, self._marked(number))

    def unfinished(self) -> Session | None:
        """The latest session that was neither ended nor is being driven by a program now."""
        for session in reversed(self.sessions()):
            if session.ended is None:
                with worded(self.path):
                    hold = Hold.take(self.path, session.number)
                if hold is not None:
                    hold.release()
                    return session
        return None

    def resume(self, number: int, clock: Callable[[Mark], ClockT]) -> tuple[SessionJournal, ClockT]:
        """Hold an unfinished session and go on with it, by the clock made from where it last lived."""
        session = self.session(number)
        hold = self._held(number)
        try:
            if self.session(number).ended is not None:
                raise JournalFault(f"Session {number} has ended: there is nothing to go on with.")
            mark = self._marked(number)
            going_on = clock(mark)
            return SessionJournal(self, session, going_on, hold, mark), going_on
        except BaseException:
            hold.release()
            raise

    def sessions(self) -> list[Session]:
        """Every session kept, the oldest first."""
        return self._made(_session, f"{_SESSION} ORDER BY sessions.number")

    def session(self, number: int) -> Session:
        """One session; JournalFault says which there are."""
        found = self._made(_session, f"{_SESSION} WHERE sessions.number = ?", number)
        if found:
            return found[0]
        (last,) = self._read("SELECT max(number) FROM sessions")[0]
        kept = f"the last is session {last}" if last else "none was kept so far"
        raise JournalFault(f"There is no session {number}: {kept}.")

    def entries(self, number: int) -> list[Entry]:
        """What happened in a session, in order; JournalFault for what this version of the program cannot read."""
        asked = "SELECT number, at, wall, name, details FROM entries WHERE session = ? ORDER BY number"
        return [self._entry(number, *row) for row in self._read(asked, number)]

    def mixed(self, tray: str, at: datetime, entered: datetime) -> None:
        """Keep the printer's word that the bath in a tray was mixed anew."""
        with self.writing() as connection:
            row = (tray, _iso(at), _iso(entered))
            connection.execute("INSERT INTO mixings (tray, mixed, entered) VALUES (?, ?, ?)", row)

    def mixings(self) -> list[Mixing]:
        """Every mixing of every tray, in the order said."""
        return self._made(_mixing, "SELECT tray, mixed FROM mixings ORDER BY number")

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """All of it or nothing, on the disk when it ends."""
        with worded(self.path), writing(self._connection):
            yield self._connection

    def _read(self, asked: str, *values: object) -> list[tuple[Any, ...]]:
        with worded(self.path):
            return self._connection.execute(asked, values).fetchall()

    def _made(self, make: Callable[..., MadeT], asked: str, *values: object) -> list[MadeT]:
        try:
            return [make(*row) for row in self._read(asked, *values)]
        except (ValueError, TypeError) as error:
            raise damaged(self.path, str(error)) from error

    def _held(self, number: int) -> Hold:
        with worded(self.path):
            hold = Hold.take(self.path, number)
        if hold is None:
            raise JournalFault(f"Session {number} is being printed by another traycall: end that one first.")
        self._holding.callback(hold.release)
        return hold

    def _marked(self, number: int) -> Mark:
        found = self._made(_mark, "SELECT at, wall, boot, origin FROM marks WHERE session = ?", number)
        if not found:
            raise damaged(self.path, f"session {number} has lost its place")
        return found[0]

    def _entry(self, session: int, number: int, at: int, wall: str, name: str, details: str) -> Entry:
        try:
            return Entry(at, from_row(name, json.loads(details)), datetime.fromisoformat(wall))
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            raise JournalFault(
                f"Session {session}, entry {number}: this traycall cannot read “{name}”. It was written by another "
                "version of the program, or is damaged; try with the newest."
            ) from error


def _session(
    number: int,
    started: str,
    title: str,
    file: str,
    recipe: str,
    copies: int,
    program: str,
    lived: int,
    ended: int | None,
    ended_wall: str | None,
) -> Session:
    wall = None if ended_wall is None else datetime.fromisoformat(ended_wall)
    return Session(number, datetime.fromisoformat(started), title, file, recipe, copies, program, lived, ended, wall)


def _mark(at: int, wall: str, boot: str, origin: int) -> Mark:
    return Mark(at, datetime.fromisoformat(wall), boot, origin)


def _mixing(tray: str, mixed: str) -> Mixing:
    return Mixing(tray, datetime.fromisoformat(mixed))


def _iso(wall: datetime) -> str:
    return wall.isoformat(timespec="milliseconds")
