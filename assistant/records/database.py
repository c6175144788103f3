"""The records' file: one SQLite database, how it is opened and brought up to date, and what is said when it cannot be.

Its tables are `schema`'s; what fills a new table from old ones is `migration`'s; reading and writing sessions is
`journal`'s.
"""

import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from itertools import count
from pathlib import Path

from assistant.records.faults import Damaged, JournalFault
from assistant.records.schema import STEPS

_APPLICATION = 0x74726163
"""Names the file as this program's: "trac" in ASCII."""
_PATIENCE = 5.0
"""Seconds to wait for another program that is writing: one line takes some hundredths."""


def opened(path: Path, reading: bool = False) -> sqlite3.Connection:
    """The records' file, made when missing and brought up to date; JournalFault when that cannot be.

    `reading`: where nothing is to be written, a file on a disk that cannot be written is read as it stands.

    Write-ahead log, so that records can be read while a session writes, with one flush to the disk a commit:
    a commit that has returned survives kill -9 and, as far as the disk keeps its word, an empty battery.
    """
    with worded(path):
        # Several threads may use it, one after the other: a session is written outside the thread that opened the file.
        connection = sqlite3.connect(path, timeout=_PATIENCE, isolation_level=None, check_same_thread=False)
    try:
        with worded(path):
            _prepare(connection, path)
    except BaseException as error:
        connection.close()
        if reading and _forbidden(str(error.__cause__)) and _stands_whole(path):
            return _only_read(path)
        raise
    return connection


def _stands_whole(path: Path) -> bool:
    """Whether all that was written is in the file itself, and none of it in a log that waits to be taken into it."""
    log = path.with_name(path.name + "-wal")
    return path.is_file() and not (log.is_file() and log.stat().st_size)


def _only_read(path: Path) -> sqlite3.Connection:
    with worded(path):
        # `immutable`, for SQLite would make its log's index beside the file even to read it.
        asked = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
        connection = sqlite3.connect(asked, uri=True, isolation_level=None, check_same_thread=False)
    try:
        with worded(path):
            _check_whose(connection, path)
            if _version(connection) < len(STEPS):
                raise JournalFault(f"{path} is of an older traycall and can't be brought up to date there: copy it elsewhere.")
    except BaseException:
        connection.close()
        raise
    return connection


@contextmanager
def writing(connection: sqlite3.Connection) -> Iterator[None]:
    """All of it or nothing, on the disk when it ends; `sqlite3.Error` where that can't be."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


@contextmanager
def worded(path: Path) -> Iterator[None]:
    """Turn what the database says into what a printer can do: JournalFault."""
    try:
        yield
    except UnicodeDecodeError as error:
        raise damaged(path, "words that are no text") from error
    except sqlite3.Error as error:
        raise JournalFault(_sentence(str(error), path)) from error


def damaged(path: Path, how: str) -> Damaged:
    """The fault of a file that is not as it was written."""
    return Damaged(
        f"The records in {path} are damaged ({how}). Nothing in them was changed. "
        "Move the file aside to begin new records, and keep it: much of it can often still be read.",
        how,
    )


def damaged_row(path: Path, error: Exception) -> Damaged:
    """The same where a row can't be read: what stands in it that does not belong there."""
    from pydantic import ValidationError

    if isinstance(error, ValidationError):
        return damaged(path, f"{error.errors()[0]['input']!r:.40} is not what belongs there")
    return damaged(path, str(error))


def _forbidden(said: str) -> bool:
    return "readonly" in said or "unable to open" in said


def _sentence(said: str, path: Path) -> str:
    if "not a database" in said or "malformed" in said:
        return str(damaged(path, said))
    if "disk is full" in said:
        return f"The disk is full: nothing more can be kept in {path}. Make room."
    if _forbidden(said):
        return f"{path} cannot be written: look at the folder's permissions, or name another in TRAYCALL_HOME."
    if "locked" in said:
        return f"Another program has kept {path} to itself for more than {_PATIENCE:.0f} seconds. Try again."
    return f"{path}: {said}."


def _prepare(connection: sqlite3.Connection, path: Path) -> None:
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA fullfsync = ON")  # on macOS a plain flush stops at the disk's own cache
    _check_whose(connection, path)
    _use_write_ahead_log(connection)
    connection.execute("PRAGMA synchronous = FULL")
    if _version(connection) < len(STEPS):
        with writing(connection):
            _bring_up_to_date(connection, path)
    (found,) = connection.execute("PRAGMA quick_check(1)").fetchone()
    if found != "ok":
        raise damaged(path, " ".join(found.split()))


def _bring_up_to_date(connection: sqlite3.Connection, path: Path) -> None:
    found = _version(connection)  # asked again: it may have been done since
    if 0 < found < len(STEPS):
        keep_copy(path, found)
    for version in range(found, len(STEPS)):
        step = STEPS[version]
        _run(connection, step.tables)
        if found > 0 and step.fill is not None:  # a new file has nothing to be filled from
            try:
                step.fill(connection, path)
            except (ValueError, TypeError) as error:
                raise damaged_row(path, error) from error
        _run(connection, step.guards)
        connection.execute(f"PRAGMA user_version = {version + 1}")
    connection.execute(f"PRAGMA application_id = {_APPLICATION}")


def keep_copy(path: Path, version: int) -> Path:
    """Keep the file as it is beside itself, under a name that says its version; whole or not at all, over nothing."""
    names = (f"{path.stem}-schema-{version}{'' if n == 1 else f'-{n}'}{path.suffix}" for n in count(1))
    kept = next(beside for name in names if not (beside := path.with_name(name)).exists())
    copied(path, kept)
    return kept


def copied(path: Path, to: Path) -> None:
    """The whole file as it stands, in another that appears when it is complete; others may go on writing meanwhile."""
    # Through a connection of its own: one that brings the file up to date is already writing, and this one reads what
    # stood before.
    with closing(sqlite3.connect(path, timeout=_PATIENCE)) as before:
        _copied(before, to)


def put_back(connection: sqlite3.Connection, path: Path) -> None:
    """A file that was deleted while it was open: all that the connection still holds of it, under its name again.

    JournalFault where that can't be.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        for left in ("-wal", "-shm"):  # they would be taken for the new file's
            path.with_name(path.name + left).unlink(missing_ok=True)
        _copied(connection, path)
    except OSError as error:
        raise JournalFault(f"{path} was deleted while it was in use, and can't be put back: {error.strerror}.") from error


def identity(path: Path) -> tuple[int, int] | None:
    """What tells this file from any other that has its name later; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _copied(before: sqlite3.Connection, to: Path) -> None:
    unfinished = to.with_name(to.name + ".unfinished")
    unfinished.unlink(missing_ok=True)
    with closing(sqlite3.connect(unfinished)) as copy:
        before.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")
    with unfinished.open("rb+") as written:
        os.fsync(written.fileno())
    unfinished.replace(to)


def _check_whose(connection: sqlite3.Connection, path: Path) -> None:
    # In this order: another program may be making the tables and the name, both in one commit, between the two.
    (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    if tables and application != _APPLICATION:
        raise JournalFault(f"{path} was not written by traycall. Move it away, or name a folder in TRAYCALL_HOME.")
    if _version(connection) < 0:
        raise damaged(path, f"records of version {_version(connection)}")
    if _version(connection) > len(STEPS):
        raise JournalFault(
            f"{path} was written by a newer traycall (records of version {_version(connection)}, this program "
            f"reads {len(STEPS)}). Bring the program up to date; nothing was changed."
        )


def _version(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def _use_write_ahead_log(connection: sqlite3.Connection) -> None:
    # Two programs that open a new file at once: the change of mode does not wait for its turn by itself.
    give_up = time.monotonic() + _PATIENCE
    while connection.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            return  # where the disk cannot do it (some network folders) the older way stays, as safe and slower
        except sqlite3.OperationalError as error:
            if "locked" not in str(error) or time.monotonic() > give_up:
                raise
            time.sleep(0.01)


def _run(connection: sqlite3.Connection, script: str) -> None:
    # `executescript` would commit first; a migration is one transaction.
    statement = ""
    for line in script.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            connection.execute(statement)
            statement = ""
