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
from assistant.history.past import course, first_tones, notable, stays, toning
from assistant.history.search import found
from assistant.printing.outside import House
from assistant.screens.dry.outside import CantDo
from tests.records.every_row import Damage, damages, keep_every_kind, unguard

CALLS = (
    ["records"], ["records", "show", "1"], ["records", "show", "2", "--json"], ["records", "list", "--csv"],
    ["records", "proofs"], ["baths", "list", "--all"],
)  # fmt: skip


@cache
def good() -> tuple[bytes, tuple[Damage, ...]]:
    """A file with a row of every kind, and every way in which one of its values can be wrong."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "records.sqlite"
        keep_every_kind(path)
        with contextlib.closing(sqlite3.connect(path)) as connection:
            return path.read_bytes(), tuple(damages(connection))


def damaged(seed: int, path: Path) -> None:
    """Write a damaged file here."""
    chance, raw = random.Random(seed), bytearray(good()[0])
    how = chance.choice(("bytes", "bytes", "cut", "rows", "rows", "rows", "header"))
    if how == "rows":
        path.write_bytes(raw)
        _rows(seed, chance, path)
        return
    if how == "cut":
        raw = raw[: chance.randrange(len(raw))]
    elif how == "header":
        raw[chance.randrange(100)] = chance.randrange(256)
    else:
        for _ in range(chance.choice((1, 3, 40))):
            raw[chance.randrange(len(raw))] = chance.randrange(256)
    path.write_bytes(raw)


def _rows(seed: int, chance: random.Random, path: Path) -> None:
    """A value that its seed gives, and sometimes another row's, or a row that is gone."""
    every = good()[1]
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as connection:
        unguard(connection)
        every[seed % len(every)].do(connection)
        if chance.random() < 0.3:
            chance.choice(every).do(connection)
        if chance.random() < 0.1:
            gone = chance.choice(every)
            where = " AND ".join(f"{name} = ?" for name in gone.key)
            connection.execute(f"DELETE FROM {gone.table} WHERE {where}", [*gone.key.values()])


def attack(seed: int) -> str:
    """What is wrong with what is said of one damaged file, "" where nothing is."""
    with tempfile.TemporaryDirectory() as folder, mock.patch.dict(os.environ, {"TRAYCALL_HOME": folder}):
        damaged(seed, Path(folder) / "records.sqlite")
        for call in CALLS:
            wrong = called(call)
            if wrong:
                return f"{' '.join(call)}: {wrong}"
        try:
            look_back()
        except Exception as error:  # whatever it is: that is the find
            return f"the dry side: {type(error).__name__}: {error}"
    return ""


def look_back() -> None:
    """All that the dry side shows of records; what it can't have is said there, as `CantDo`."""
    with contextlib.closing(House(silent=True)) as house, contextlib.suppress(CantDo):
        with contextlib.suppress(CantDo):
            house.baths()
        for session in house.sessions():
            with contextlib.suppress(CantDo):
                past = house.printed(session)
                assert course(past)
                assert [*toning(past), *first_tones(past), *notable(past), *stays(past)]
                found(past, "x")


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
