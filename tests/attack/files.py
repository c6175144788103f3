"""Damaged records: a good file with bytes changed, cut, or rows that make no sense; every command says so, and writes nothing."""

import contextlib
import io
import os
import random
import sqlite3
import tempfile
from functools import cache
from pathlib import Path
from unittest import mock

from assistant.cli.main import main
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.devices.clock import JumpingClock
from assistant.records.journal import Journal
from assistant.session.advance import advance, open_bench
from tests.session import cards

CALLS = (["records"], ["records", "show", "1"], ["records", "show", "2"], ["records", "show", "1", "--json"])
ODD = ("", "x", -1, 2**62, None, 0.5, b"\xff", "\x1b[2J", "9999-99-99", "{}", "[1]")


@cache
def good() -> bytes:
    """The file of two sessions, one ended and one left."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "records.sqlite"
        with Journal.open(path) as journal:
            for ended in (True, False):
                clock, score = JumpingClock(), cards.edition(2, 0)
                recipe = "format: 1\ntitle: Slipway panel\n"
                kept = journal.begin(clock, recipe=recipe, title="Slipway panel", file="slip.yaml", copies=2)
                bench = open_bench(score)
                for at, happening in rehearse(score, Punctual()).hands[: None if ended else 6]:
                    clock.jump(at)
                    bench = advance(bench, happening, at).bench
                    kept.append(at, happening, bench)
                kept.finish(bench.now) if ended else kept.leave()
        with contextlib.closing(sqlite3.connect(path)) as connection:
            connection.execute("PRAGMA journal_mode = DELETE")
        return path.read_bytes()


def damaged(seed: int, path: Path) -> None:
    """Write a damaged file here."""
    chance, raw = random.Random(seed), bytearray(good())
    how = chance.choice(("bytes", "bytes", "cut", "rows", "rows", "rows", "header"))
    if how == "rows":
        path.write_bytes(raw)
        _rows(chance, path)
        return
    if how == "cut":
        raw = raw[: chance.randrange(len(raw))]
    elif how == "header":
        raw[chance.randrange(100)] = chance.randrange(256)
    else:
        for _ in range(chance.choice((1, 3, 40))):
            raw[chance.randrange(len(raw))] = chance.randrange(256)
    path.write_bytes(raw)


def _rows(chance: random.Random, path: Path) -> None:
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        for (trigger,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f'DROP TRIGGER "{trigger}"')
        tables = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        for _ in range(chance.choice((1, 2))):
            table = chance.choice([name for name in tables if not name.startswith("sqlite_")])
            columns = [row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')]
            column, value = chance.choice(columns), chance.choice(ODD)
            with contextlib.suppress(sqlite3.Error):
                if chance.random() < 0.2:
                    connection.execute(f'DELETE FROM "{table}" WHERE rowid = 1')
                else:
                    connection.execute(f'UPDATE "{table}" SET "{column}" = ? WHERE rowid = 1', (value,))


def attack(seed: int) -> str:
    """What is wrong with what is said of one damaged file, "" where nothing is."""
    with tempfile.TemporaryDirectory() as folder, mock.patch.dict(os.environ, {"TRAYCALL_HOME": folder}):
        damaged(seed, Path(folder) / "records.sqlite")
        for call in CALLS:
            wrong = called(call)
            if wrong:
                return f"{' '.join(call)}: {wrong}"
    return ""


def called(call: list[str]) -> str:
    """What is wrong with how a command ends and with what it says."""
    out, err = io.StringIO(), io.StringIO()
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main(call)
    except SystemExit as end:
        code = end.code
    except Exception as error:  # whatever it is: that is the find
        return f"{type(error).__name__}: {error}"
    said = out.getvalue() + err.getvalue()
    if code not in (0, 1, 2, None):
        return f"exit {code}"
    if "Traceback" in said:
        return "a traceback"
    return f"raw controls in {said!r:.200}" if any(ord(c) < 32 and c not in "\n\t" for c in said) else ""
