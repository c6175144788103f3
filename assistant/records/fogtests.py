"""Fog tests that were made: how long a paper may lie by this computer's screen at a level, as the printer judged it.

A JSON file in the printer's folder, the latest test last. The law is in `trade.safetime`.
"""

import json
import platform
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from assistant.places import home
from assistant.plain_files import read_text, write_whole
from assistant.records.entries import bounded

FILE = "fog-tests.json"
"""Its name in the printer's folder."""
MOST_BYTES = 1_000_000
"""Read of the file at most: some hundred times what one holds."""


_KINDS: dict[str, tuple[type, ...]] = {
    "paper": (str,), "level": (str,), "clean": (int,), "fogged": (int, type(None)), "safe": (int,), "made": (str,),
    "screen": (str,),
}  # fmt: skip
"""What a test holds in the file, and of which kinds."""


@dataclass(frozen=True)
class FogTest:
    """A paper by its name, the level, ms of the longest clean and the shortest fogged strip, and the safe time in ms.

    Where every strip was fogged `clean` and `safe` are 0, where none was `fogged` is None. `screen`: see `this_screen`.
    """

    paper: str
    level: str
    clean: int
    fogged: int | None
    safe: int
    made: datetime
    screen: str

    @property
    def day(self) -> str:
        """When it was made."""
        return f"{self.made:%Y-%m-%d}"


class BadFogTests(ValueError):
    """The kept tests can't be read; the message says where and what to do."""


def this_screen() -> str:
    """The computer whose screen it is; another screen at the same computer wants a test of its own."""
    return platform.node()


def keep(test: FogTest, file: Path | None = None) -> Path:
    """Add a test to those kept; the file."""
    file = file or home() / FILE
    rows = [as_row(one) for one in (*kept(file), test)]
    write_whole(file, json.dumps(rows, indent=1).encode() + b"\n")
    return file


def as_row(test: FogTest) -> dict[str, Any]:
    """A test as plain values, for a file."""
    return {**asdict(test), "made": test.made.isoformat()}


def from_row(row: dict[str, Any]) -> FogTest:
    """The test written by `as_row`; TypeError or ValueError where it is not as it was written."""
    if not isinstance(row, dict) or row.keys() != _KINDS.keys():
        raise ValueError(f"{row!r:.40} is no test")
    for name, kinds in _KINDS.items():
        if type(row[name]) not in kinds:
            raise TypeError(f"{name}: {row[name]!r:.40} is not what belongs there")
        if isinstance(row[name], int):
            bounded(row[name])
    return FogTest(**{**row, "made": datetime.fromisoformat(row["made"])})


def kept(file: Path | None = None) -> tuple[FogTest, ...]:
    """All tests, the oldest first; none where there is no file. BadFogTests where it is not as it was written."""
    file = file or home() / FILE
    try:
        rows = json.loads(read_text(file, MOST_BYTES))
        return tuple(map(from_row, rows))
    except FileNotFoundError:
        return ()
    except (OSError, ValueError, TypeError, RecursionError) as error:
        raise BadFogTests(f"{file}: these fog tests can't be read ({error}): move the file away, and test again") from None


def latest(paper: str, level: str, file: Path | None = None) -> FogTest | None:
    """The last test of a paper by this screen at a level."""
    fitting = [t for t in kept(file) if (t.paper, t.level, t.screen) == (paper, level, this_screen())]
    return fitting[-1] if fitting else None
