"""A row that is not as it was written is told as damaged, with its file and what to do, or does no harm; nothing fails on it."""

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.history.past import course, notable
from assistant.pages.edition_text import edition_sheet
from assistant.printing.bath_work import listed
from assistant.printing.records_read import record_of
from assistant.records import fogtests
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from tests.records.every_row import Damage, damages, keep_every_kind, unguard
from tests.records.sessions import MORNING

EACH = 47
"""One damage of so many is tried here, all of them by `python -m tests.attack files`: a prime, so that every value comes up."""


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("whole") / "records.sqlite"
    keep_every_kind(path)
    return path


def test_every_value_of_every_row_is_read_or_told_as_damaged(whole: Path) -> None:
    wrong, told, read = [], 0, 0
    with closing(sqlite3.connect(whole, isolation_level=None)) as connection:
        unguard(connection)
        journal = Journal(whole, connection)
        for damage in list(damages(connection))[::EACH]:
            connection.execute("BEGIN")
            try:
                if damage.do(connection):
                    look_at_all(journal)
                    read += 1
            except JournalFault as error:
                told += str(whole) in str(error) or "Session" in str(error)
            except Exception as error:  # whatever it is: that is the find
                wrong.append((damage, repr(error)))
            connection.execute("ROLLBACK")
    assert wrong == []
    assert told > 50
    assert read > 20


def look_at_all(journal: Journal) -> None:
    for session in journal.sessions(trials=True):
        journal.entries(session.number)
        journal.last_alive(session.number)
        record = record_of(journal, session)
        assert edition_sheet(record)
        assert course(record)
        list(notable(record))
    list(listed(journal, retired=True))


TOPPED = Damage("bath_events", {"kind": "topped up"}, "details", "{}")
DRAWN = Damage("bath_events", {"kind": "drawn"}, "details", '{"ml": "x"}')
ENDLESS = Damage("bath_events", {"kind": "used"}, "details", '{"sheets": Infinity}')
NO_BATH = Damage("session_baths", {"session": 1, "tray": "fixer"}, "bath", 77)
LATE = Damage("notes", {"session": 1}, "at", 2**62)
BYTES = Damage("stays", {"session": 1, "copy": 1, "number": 1}, "name", b"\xff")
NOTE = Damage("entries", {"session": 2, "number": 1}, "details", '{"ago": "soon"}')


@pytest.mark.parametrize(
    ("damage", "call", "said"),
    [
        (TOPPED, ["baths"], "{} is not what belongs there"),
        (DRAWN, ["baths", "list", "--all"], "'x' is not what belongs there"),
        (ENDLESS, ["records", "show", "1"], "inf is not what belongs there"),
        (NO_BATH, ["records", "show", "1"], "None is not what belongs there"),
        (LATE, ["records", "show", "1"], f"{2**62} is not what belongs there"),
        (BYTES, ["records", "export", "{folder}/all.jsonl"], r"b'\xff' is not what belongs there"),
        (NOTE, ["run", "--resume", "--plain", "--silent"], "Session 2, entry 1: this traycall cannot read “tap”"),
    ],
)
def test_a_printer_reads_which_file_and_what_to_do(
    whole: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
    damage: Damage, call: list[str], said: str,
) -> None:  # fmt: skip
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    file = tmp_path / "records.sqlite"
    file.write_bytes(whole.read_bytes())
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        unguard(connection)
        assert damage.do(connection)
    assert main([word.format(folder=tmp_path) for word in call]) == 1
    words = " ".join(capsys.readouterr().err.split())
    assert said in words
    assert "is damaged; try with the newest" in words or f"The records in {file} are damaged" in words
    assert "try with" in words or "Move the file aside" in words


KEPT = fogtests.as_row(fogtests.FogTest("glossy", "paper", 240_000, 480_000, 120_000, MORNING, "shed"))
ODD = (None, 0.5, True, [], {}, "soon", 2**70, float("nan"))
FOG = [
    *({**KEPT, name: odd} for name in KEPT for odd in ODD),
    *({key: value for key, value in KEPT.items() if key != name} for name in KEPT),
    {**KEPT, "more": 1},
]
SOUND = {("fogged", None), *((name, "soon") for name in ("paper", "level", "screen"))}
"""What may stand there after all."""


def test_fog_tests_are_read_as_they_were_written_or_not_at_all(tmp_path: Path) -> None:
    file, taken = tmp_path / fogtests.FILE, set()
    for rows in (*([row] for row in FOG), None, 1, "x", {}, {"a": 1}, [[]], [None], ["x"]):
        file.write_text(json.dumps(rows), encoding="utf-8")
        told = _told(lambda: fogtests.kept(file))
        if told:
            assert told.startswith(f"{file}: these fog tests can't be read (")
            assert "move the file away" in told
        elif rows:
            taken |= {(name, rows[0][name]) for name in KEPT if rows[0][name] != KEPT[name]}
    assert taken == SOUND
    for text in ("", "[" * 5_000, '[{"a":' * 5_000, "[1e999]"):
        file.write_text(text, encoding="utf-8")
        assert _told(lambda: fogtests.kept(file))


def _told(read: Callable[[], object]) -> str:
    try:
        read()
    except fogtests.BadFogTests as error:
        return str(error)
    return ""
