"""Records with a row of every kind in them, and every way in which one value of such a row can be wrong.

SQLite keeps a word in a column of numbers, and JSON inside a row may hold anything: what a printer's file has become is read
with care, wherever it is read.
"""

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any, NamedTuple

from assistant.history.baths import Bath
from assistant.history.printed import Remark
from assistant.records.baths import Baths, Drawn
from assistant.records.entries import iso
from assistant.records.journal import Journal
from assistant.session import happenings as h
from assistant.trade.quantities import parse_mix
from tests.records.sessions import EVENTFUL, MORNING, OVER, at, keep

HOUR = timedelta(hours=1)
_TOLD: tuple[h.Happening, ...] = (
    h.Undo(), h.HoldPlan(), h.Go(), h.SayAgain(), h.HowLong(), h.End(), h.Fresh("fixer"), h.NewTime(1, 2, 8_000),
    h.Another("sky", 9_000), h.Pick(2), h.Note("heard", "note.flac"),
    h.Planned(((1, 1, 120_000),), ((1, (30_000,)),), ((1, 1, (30_000,)),), h.NextAsk(1, 0, 0, 0, 9, 1), True, 5),
)  # fmt: skip
"""Beside those of `EVENTFUL`: what else can stand in the entries."""
ROWS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("sheet_prints", {"session": 1, "number": 1, "print": "sky"}),
    ("turns_left_out", {"session": 1, "copy": 1, "number": 2, "turns": 2}),
    ("first_tones", {"session": 1, "number": 1, "copy": 1, "after_ms": 9_000}),
    ("first_tones", {"session": 1, "number": 2, "copy": 3, "after_ms": 12_000}),
    ("picks", {"session": 1, "strip": 2}),
    ("troubles", {"session": 1, "words": "Its course was worked out later."}),
    ("mixings", {"number": 1, "tray": "fixer", "mixed": iso(MORNING), "entered": iso(MORNING)}),
)
"""Rows that the sessions here would not make by themselves."""


def keep_every_kind(path: Path) -> None:
    """Write the file: an ended session, one that was left, baths of which everything was said; nothing guards its rows."""
    with Journal.open(path) as journal:
        baths = Baths(journal)
        told = {"what": "rapid fixer", "volume": 2000, "lasts": 20.0, "keeps": 60, "mix": parse_mix("1+4"), "made": MORNING}
        bottle = baths.add(Bath(0, "stock", "bottle", **{**told, "mix": None}), MORNING)
        fixer = baths.add(Bath(0, "fixer A", "bath", **told), MORNING, "fixer", Drawn(bottle, 400.0))
        second = baths.add(Bath(0, "fixer B", "bath", **told), MORNING)
        toner = baths.add(Bath(0, "toner", "bath", **{**told, "what": "selenium toner"}), MORNING, "toner")
        baths.topped_up(fixer, 500, 500, MORNING + HOUR, MORNING + HOUR)
        baths.tell(fixer, "tested", MORNING + HOUR, MORNING + HOUR, test="silver", good=False)
        baths.tell(fixer, "used", MORNING + HOUR, MORNING + HOUR, sheets=2.4)
        keep(journal, EVENTFUL, OVER, started=MORNING + 2 * HOUR, stood={"fixer": fixer, "toner": toner})
        baths.rotate(fixer, second, MORNING + 5 * HOUR, MORNING + 5 * HOUR)
        keep(journal, EVENTFUL[:8], at("7:30"), started=MORNING + 6 * HOUR, ended=False, stood={"fixer": second})
        journal.remark(1, Remark(1, MORNING + 9 * HOUR, "fail", "dry: the corner", "harbour office"))
        journal.remark(1, Remark(None, MORNING + 9 * HOUR, None, "frame it", ""))
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        unguard(connection)
        for table, row in ROWS:
            connection.execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({', '.join('?' * len(row))})", [*row.values()])
        rows = [(*h.as_row(one), iso(MORNING + 2 * HOUR)) for one in _TOLD]
        for number, (name, details, wall) in enumerate(rows, 101):
            entry = (1, number, 60_000, wall, "boot", name, json.dumps(details))
            connection.execute("INSERT INTO entries VALUES (?, ?, ?, ?, ?, ?, ?)", entry)
        connection.execute("PRAGMA journal_mode = DELETE")


def unguard(connection: sqlite3.Connection) -> None:
    """What a damaged disk does not heed either."""
    for (trigger,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        connection.execute(f'DROP TRIGGER "{trigger}"')
    connection.execute("PRAGMA ignore_check_constraints = ON")


class Damage(NamedTuple):
    """One value of one row that is wrong: the row by its table and key, and what stands in the column."""

    table: str
    key: dict[str, Any]
    column: str
    value: object

    def do(self, connection: sqlite3.Connection) -> bool:
        """Whether the file takes it."""
        where = " AND ".join(f"{name} = ?" for name in self.key)
        try:
            return (
                connection.execute(
                    f"UPDATE {self.table} SET {self.column} = ? WHERE {where}", [self.value, *self.key.values()]
                ).rowcount
                > 0
            )
        except sqlite3.IntegrityError:  # it can't be null, or another row has it
            return False


_COLUMN = (None, "", "x", -1, 0, 2**62, 2**63 - 1, 0.5, 1e308, b"\xff", "\x1b[2J", "9999-12-31T23:59:59+00:00", "{}", "[1]")
"""What may stand in any column."""
_FIELD = ("null", '""', '"x"', "-1", "0.5", str(2**70), "1" + "0" * 400, "1e400", "NaN", "true", "[]", "[[1]]", "{}")
"""What may stand in any field of JSON, as text."""
_JSON = ("", "x", "null", "1", '"x"', "[]", "[1]", "[[1, 2]]", "{}", '{"x": 1}', "NaN", "[" * 5_000, '{"a":' * 5_000)
"""What may stand where an object of JSON belongs."""
_KINDS = {"bath_events": "kind", "entries": "name", "stays": "kind", "baths": "form", "sheets": "state"}
"""Where rows of one table are of several kinds, and which column says so: one of each is damaged."""


def damages(connection: sqlite3.Connection) -> Iterator[Damage]:
    """Every wrong value in one row of every kind of every table."""
    tables = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")]
    for table in tables:
        if not table.startswith("sqlite_"):
            columns = connection.execute(f"PRAGMA table_info({table})").fetchall()
            keys = [column[1] for column in columns if column[5]]
            of = _KINDS.get(table)
            rows = connection.execute(f"SELECT * FROM {table}{f' GROUP BY {of}' if of else ' LIMIT 2'}").fetchall()
            for row in rows:
                whole = dict(zip((column[1] for column in columns), row, strict=True))
                yield from _of_a_row(table, {name: whole[name] for name in keys}, whole)


def _of_a_row(table: str, key: dict[str, Any], row: dict[str, Any]) -> Iterator[Damage]:
    for column, value in row.items():
        if column != "details":
            yield from (Damage(table, key, column, odd) for odd in _COLUMN if odd != value)
            continue
        yield from (Damage(table, key, column, odd) for odd in _JSON)
        details = json.loads(value)
        for field in details:
            rest = {name: one for name, one in details.items() if name != field}
            yield Damage(table, key, column, json.dumps(rest))
            for odd in _FIELD:
                yield Damage(table, key, column, json.dumps({**rest, field: 0})[: -len("0}")] + odd + "}")
        yield Damage(table, key, column, json.dumps({**details, "more": [1]}))
