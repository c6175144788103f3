"""A session is driven by one program at a time: whoever has its lock keeps others away, and loses it by dying.

The lock is SQLite's own lock on an empty file beside the records, so it works alike on every system and no
crash can leave it behind. What a session is, is not known here.
"""

import contextlib
import sqlite3
from pathlib import Path


class SessionLock:
    """One session, locked until `release`; made by `take`."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self._path = path
        self._connection = connection

    @classmethod
    def take(cls, records: Path, number: int) -> "SessionLock | None":
        """Lock a session of these records; None when another program (or another part of this one) has."""
        path = records.with_name(f"{records.name}.{number}.hold")
        connection = sqlite3.connect(path, timeout=0, isolation_level=None)
        try:
            connection.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as error:
            connection.close()
            if "locked" in str(error):
                return None
            raise
        except BaseException:
            connection.close()
            raise
        return cls(path, connection)

    def release(self, ended: bool = False) -> None:
        """Let others have it. The file goes only with an ended session, which nobody goes on with."""
        self._connection.close()
        if ended:
            with contextlib.suppress(OSError):
                self._path.unlink()
