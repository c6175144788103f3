"""The journal: all sessions kept on this computer, what happened in them, and how they went.

What becomes of a sheet is written when it comes about and read back as it was written. The happenings are kept beside
it: they serve to go on with a session that was not ended.
"""

import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, contextmanager
from functools import cache
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Literal, TypeVar

from assistant import __version__
from assistant.history.printed import Course, Remark, Session
from assistant.places import home
from assistant.records.database import copied, damaged, damaged_row, identity, opened, put_back, worded, writing
from assistant.records.entries import Dated, Entry, LastAlive, RawEntry, bounded, details, happened, iso, moment
from assistant.records.faults import AS_WRITTEN, JournalFault
from assistant.records.session_lock import SessionLock
from assistant.session.rules_number import RULES

if TYPE_CHECKING:  # what was left unfinished is looked for before anything is seen
    from assistant.history.baths import Placement
    from assistant.records.session_journal import SessionJournal

_SESSION = (
    "SELECT sessions.number, started, title, file, recipe, copies, program, rules, coalesce(marks.at, 0), "
    "endings.at, endings.wall FROM sessions "
    "LEFT JOIN marks ON marks.session = sessions.number LEFT JOIN endings ON endings.session = sessions.number"
)
_TRIALS = (
    "SELECT session FROM remarks AS last WHERE copy IS NULL AND lower(words) = 'trial' AND number = (SELECT max(number) "
    "FROM remarks WHERE session = last.session AND copy IS NULL AND lower(words) IN ('trial', 'no trial'))"
)
_OPEN = "SELECT number FROM sessions WHERE number NOT IN (SELECT session FROM endings) ORDER BY number DESC"
_BEGIN = (
    "INSERT INTO sessions (started, boot, origin, title, file, recipe, copies, program, rules) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"
)
_FIRST_MARK = "INSERT INTO marks (session, at, wall, boot, origin) VALUES (?, 0, ?, ?, ?)"
_PLACE = "INSERT INTO session_baths (session, tray, from_ms, bath, rank) VALUES (?, ?, ?, ?, ?)"

ClockT = TypeVar("ClockT", bound=Dated)
MadeT = TypeVar("MadeT")


class Journal:
    """All sessions kept on this computer; JournalFault from every call where they can't be read or written.

    Several programs may have it open; close it, or use it in a `with`.
    """

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self._connection = connection
        self._file = identity(path)
        self._locks = ExitStack()

    @classmethod
    def open(cls, path: Path | None = None, reading: bool = False) -> "Journal":
        """The printer's records, made when missing; JournalFault says what is wrong with them.

        `reading`: nothing will be written, so that a disk which cannot be written is no hindrance.
        """
        if path is None:
            try:
                path = home() / "records.sqlite"
            except OSError as error:
                raise JournalFault(f"The folder for records cannot be made: {error}.") from error
        return cls(path, opened(path, reading))

    def close(self) -> None:
        """Close the file, and let go of every session locked through it."""
        self._locks.close()
        self._connection.close()

    def __enter__(self) -> "Journal":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    def begin(
        self, clock: Dated, *, recipe: str, title: str, file: str, copies: int, baths: "Iterable[Placement]" = ()
    ) -> "SessionJournal":
        """Begin a session, its recipe's text frozen as it stands and its baths in their trays, and lock it."""
        from assistant.records.session_journal import SessionJournal

        wall = iso(clock.wall())
        begun = (wall, clock.boot, clock.origin, title, file, recipe, copies, __version__, RULES)
        with self.writing() as connection:
            number = connection.execute(_BEGIN, begun).lastrowid
            assert number is not None
            connection.execute(_FIRST_MARK, (number, wall, clock.boot, clock.origin))
            connection.executemany(_PLACE, [(number, one.tray, one.from_ms, one.bath, one.rank) for one in baths])
            lock = self._locked(number)  # before anyone else can see the session
        return SessionJournal(self, self.session(number), clock, lock, self.last_alive(number))

    def unfinished(self) -> Session | None:
        """The latest session that was neither ended nor is being driven by a program now."""
        return self._latest_open(driven=False)

    def running(self) -> Session | None:
        """The latest session that is being driven by a program now."""
        return self._latest_open(driven=True)

    def _latest_open(self, driven: bool) -> Session | None:
        """The latest session that was not ended and is, or is not, being driven by a program now."""
        for (number,) in self.rows(_OPEN):
            with worded(self.path):
                lock = SessionLock.take(self.path, number)
            if lock is not None:
                lock.release()
            if (lock is None) == driven:
                return self.session(number)
        return None

    def resume(self, number: int, clock: Callable[[LastAlive], ClockT]) -> "tuple[SessionJournal, ClockT]":
        """Lock an unfinished session and go on with it, by the clock made from where it last lived.

        JournalFault where it has ended, or another program prints it.
        """
        from assistant.records.session_journal import SessionJournal

        session = self.session(number)
        lock = self._locked(number)
        try:
            if self.session(number).ended is not None:
                raise JournalFault(f"Session {number} has ended: there is nothing to resume.")
            mark = self.last_alive(number)
            going_on = clock(mark)
            return SessionJournal(self, session, going_on, lock, mark), going_on
        except BaseException:
            lock.release()
            raise

    def end(self, number: int) -> None:
        """End a session that was left, where it last lived, just as it was written; JournalFault as `resume`."""
        from assistant.records.session_journal import ENDING

        session = self.session(number)
        lock = self._locked(number)
        try:
            if self.session(number).ended is not None:
                raise JournalFault(f"Session {number} has ended already.")
            mark = self.last_alive(number)
            with self.writing() as connection:
                connection.execute(ENDING, (session.number, mark.at, iso(mark.wall)))
        finally:
            lock.release(ended=True)

    def sessions(self, trials: bool = False) -> list[Session]:
        """Every session kept, the oldest first; without `trials` those that a later note calls a trial are left out."""
        those = "" if trials else f"WHERE sessions.number NOT IN ({_TRIALS}) "
        return sorted(self._made(_session, f"{_SESSION} {those}"), key=lambda one: (one.started, one.number))

    def session(self, number: int) -> Session:
        """One session; JournalFault says which there are."""
        asked = f"{_SESSION} WHERE sessions.number = ?"
        found = self._made(_session, asked, number) if abs(number) < 2**63 else []  # SQLite knows no greater whole number
        if found:
            return found[0]
        (last,) = self.rows("SELECT max(number) FROM sessions")[0]
        kept = f"the last is session {last}" if last else "none was kept so far"
        raise JournalFault(f"There is no session {number}: {kept}.")

    def last_alive(self, number: int) -> LastAlive:
        """The last moment at which a session surely lived."""
        found = self._made(_mark, "SELECT at, wall, boot, origin FROM marks WHERE session = ?", number)
        if not found:
            raise damaged(self.path, f"session {number} has lost its place")
        return found[0]

    def entries(self, number: int) -> list[Entry]:
        """What happened in a session, in order; JournalFault for what this version of the program cannot read."""
        asked = "SELECT number, at, wall, name, details FROM entries WHERE session = ? ORDER BY number"
        return [self._entry(number, *row) for row in self.rows(asked, number)]

    def told(self, number: int) -> list[RawEntry]:
        """What happened in a session, in order, as its rows stand: any version's."""
        asked = "SELECT at, wall, name, details FROM entries WHERE session = ? ORDER BY number"
        return self._made(_told, asked, number)

    def course(self, number: int) -> Course:
        """How a session went, as it was written when it came about."""
        from assistant.records import course_rows

        with worded(self.path):
            try:
                return course_rows.read(self._connection, number)
            except (ValueError, TypeError) as error:
                raise damaged_row(self.path, error) from error

    def trouble(self, number: int) -> str:
        """Why there is no course of a session, "" where there is one."""
        found = self.rows("SELECT words FROM troubles WHERE session = ?", number)
        return str(found[0][0]) if found else ""

    def remark(self, number: int, remark: Remark) -> None:
        """Add a note to a session afterwards, or to one of its copies."""
        self.session(number)
        row = (number, remark.copy, iso(remark.entered), remark.judged, remark.words, remark.holder)
        with self.writing() as connection:
            connection.execute(
                "INSERT INTO remarks (session, copy, entered, judged, words, holder) VALUES (?, ?, ?, ?, ?, ?)", row
            )

    def remarks(self, number: int) -> list[Remark]:
        """What was added to a session afterwards, in order."""
        asked = "SELECT copy, entered, judged, words, holder FROM remarks WHERE session = ? ORDER BY number"
        return self._made(_remark, asked, number)

    def back_up(self, file: Path) -> None:
        """Keep the file as it stands in another, while anybody reads or writes; whole or not at all, over nothing."""
        if file.exists():
            raise JournalFault(f"{file} is there already and is left as it is: name another file.")
        with worded(file):
            copied(self.path, file)

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """All of it or nothing, on the disk when it ends."""
        with worded(self.path):
            self._put_back()
            with writing(self._connection):
                yield self._connection

    def _put_back(self) -> None:
        """A file that was taken away while it is open here is put back with all that it held; another in its place is left."""
        found = identity(self.path)
        if found == self._file:
            return
        if found is not None:
            raise JournalFault(f"{self.path} was replaced by another file while it was in use: move that one away.")
        put_back(self._connection, self.path)
        self._connection.close()
        self._connection = opened(self.path)
        self._file = identity(self.path)

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """One moment of the file, for several questions, whoever writes meanwhile."""
        with worded(self.path):
            self._connection.execute("BEGIN")
            try:
                yield self._connection
            finally:
                self._connection.execute("ROLLBACK")

    def rows(self, asked: str, *values: object) -> list[tuple[Any, ...]]:
        """What the file answers to a question."""
        with worded(self.path):
            return self._connection.execute(asked, values).fetchall()

    def _made(self, make: Callable[..., MadeT], asked: str, *values: object) -> list[MadeT]:
        try:
            return [_checked(make)(*row) for row in self.rows(asked, *values)]
        except (ValueError, TypeError) as error:
            raise damaged_row(self.path, error) from error

    def _locked(self, number: int) -> SessionLock:
        with worded(self.path):
            lock = SessionLock.take(self.path, number)
        if lock is None:
            raise JournalFault(f"Session {number} is being printed by another traycall: end that one first.")
        self._locks.callback(lock.release)
        return lock

    def _entry(self, session: int, number: int, at: int, wall: str, name: str, told: str) -> Entry:
        try:
            return Entry(bounded(at), happened(name, told), moment(wall))
        except (KeyError, TypeError, ValueError) as error:
            raise JournalFault(
                f"Session {session}, entry {number}: this traycall cannot read “{name}”. It was written by another "
                "version of the program, or is damaged; try with the newest."
            ) from error


@cache
def _checked(make: Callable[..., Any]) -> Callable[..., Any]:
    """The same, refusing what its columns do not hold; what checks is read with the first row."""
    from pydantic import validate_call

    return validate_call(config=AS_WRITTEN)(make)


def _session(
    number: int,
    started: str,
    title: str,
    file: str,
    recipe: str,
    copies: int,
    program: str,
    rules: int,
    lived: int,
    ended: int | None,
    ended_wall: str | None,
) -> Session:
    wall = None if ended_wall is None else moment(ended_wall)
    lasted = None if ended is None else bounded(ended)
    return Session(number, moment(started), title, file, recipe, copies, program, rules, bounded(lived), lasted, wall)


def _mark(at: int, wall: str, boot: str, origin: int) -> LastAlive:
    return LastAlive(bounded(at), moment(wall), boot, origin)


def _told(at: int, wall: str, name: str, told: str) -> RawEntry:
    return RawEntry(bounded(at), moment(wall), name, details(told))


def _remark(copy: int | None, entered: str, judged: Literal["pass", "fail"] | None, words: str, holder: str) -> Remark:
    return Remark(copy, moment(entered), judged, words, holder)
