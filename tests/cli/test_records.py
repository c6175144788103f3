"""`traycall records`, called as a printer calls it."""

import json
import subprocess
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.records.journal import Journal
from tests.records.sessions import EVENTFUL, MORNING, OVER, TEXT, at, keep

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    return tmp_path


@pytest.fixture
def two_sessions(home: Path) -> None:
    with Journal.open() as journal:
        keep(journal, EVENTFUL, OVER)
        keep(journal, EVENTFUL[:3], at("2:00"), ended=False, started=MORNING + timedelta(days=1))


def test_nothing_was_printed_yet(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["records"]) == 0
    assert capsys.readouterr().out == "No session has been printed yet.\n"


@pytest.mark.usefixtures("two_sessions")
def test_the_list_has_a_line_a_session(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["records"]) == 0
    assert capsys.readouterr().out == (
        "   1  2031-03-29 09:30  Slipway panel  3 sheets   ended after 1:06:30.0\n"
        "   2  2031-03-30 09:30  Slipway panel  3 sheets   not ended\n"
    )


@pytest.mark.usefixtures("two_sessions")
def test_show_prints_the_edition_sheet_and_text_writes_it(capsys: pytest.CaptureFixture[str], home: Path) -> None:
    assert main(["records", "show", "1"]) == 0
    shown = capsys.readouterr().out
    assert "Developer                  2:00.0     2:08.0+    0:50.0     2:00.0     2:00.0" in shown
    assert main(["records", "sheet", "1", "-o", str(home / "sheet.txt")]) == 0
    assert (home / "sheet.txt").read_text(encoding="utf-8") == shown


@pytest.mark.usefixtures("two_sessions")
def test_a_sheet_is_never_written_over_what_is_there(capsys: pytest.CaptureFixture[str], home: Path) -> None:
    (home / "sheet.txt").write_text("mine", encoding="utf-8")
    assert main(["records", "sheet", "1", "-o", str(home / "sheet.txt")]) == 1
    assert "is left as it is: name another file" in capsys.readouterr().err
    assert (home / "sheet.txt").read_text(encoding="utf-8") == "mine"
    assert main(["records", "sheet", "1", "-o", str(home / "nowhere" / "sheet.txt")]) == 1
    assert "can't be written" in capsys.readouterr().err


@pytest.mark.usefixtures("two_sessions")
def test_json_has_every_stay_and_every_happening(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["records", "show", "1", "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert (record["session"], record["recipe"], record["copies"]) == (1, "Slipway panel", 3)
    assert (record["started"], record["ended_ms"]) == (MORNING.isoformat(), OVER)
    assert record["recipe_text"] == TEXT
    assert {
        "copy": 1, "step": "develop", "name": "Developer", "tray": "developer",
        "from_ms": 80_000, "to_ms": 208_000, "target_ms": 120_000, "verdict": "long",
    } in record["stays"]  # fmt: skip
    assert record["sheets"][1] == {"copy": 2, "state": "void", "toned_ms": None}
    assert record["sheets"][2] == {"copy": 3, "state": "done", "toned_ms": 110_000}
    assert record["unattended"] == [{"from_ms": 720_000, "to_ms": 900_000}]
    assert record["readings"] == [{"at_ms": 580_000, "tray": "developer", "celsius": 19.5}]
    assert [note["at_ms"] for note in record["notes"]] == [570_000]
    assert len(record["happenings"]) == len(EVENTFUL)
    assert record["happenings"][8] == {
        "at_ms": 480_000, "wall": "2031-03-29T09:38:00+01:00", "name": "void", "copy": 2
    }  # fmt: skip


@pytest.mark.usefixtures("two_sessions")
def test_a_session_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["records", "show", "7"]) == 1
    assert capsys.readouterr().err == "There is no session 7: the last is session 2.\n"


def test_a_recipe_that_can_no_longer_be_read_hides_nothing_else(capsys: pytest.CaptureFixture[str]) -> None:
    class Standing:
        boot, origin = "", 0

        def wall(self) -> datetime:
            return MORNING

    with Journal.open() as journal:
        journal.begin(Standing(), recipe="format: 9\n", title="Winch", file="winch.yaml", copies=1).finish(0)
    assert main(["records", "show", "1"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "Session 1 was printed with traycall " in said
    assert "and this version can't read its recipe any more; its text is below as it was. winch.yaml:1:1" in said
    assert said.endswith("The recipe, as it was printed from format: 9")


def test_damaged_records_are_said_without_a_traceback(home: Path) -> None:
    (home / "records.sqlite").write_bytes(b"no records at all" * 999)
    call = [sys.executable, "-m", "assistant", "records"]
    done = subprocess.run(call, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 1
    assert done.stdout == ""
    assert "are damaged" in done.stderr
    assert "Traceback" not in done.stderr
