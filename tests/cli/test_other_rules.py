"""A session that was begun under other rules is shown, never replayed, and can be ended."""

import io
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.printing import opening
from assistant.records.journal import Journal
from assistant.session import rules_number
from tests.records.sessions import EVENTFUL, at, keep


@pytest.fixture(autouse=True)
def left(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    with Journal.open() as journal:
        keep(journal, EVENTFUL[:5], at("6:10"), ended=False)
    monkeypatch.setattr(rules_number, "RULES", rules_number.RULES + 1)


def test_it_is_said_what_was_kept_and_nothing_is_gone_on_with(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", "--resume", "--plain", "--silent"]) == 1
    said = capsys.readouterr().err
    assert "Session 1, Slipway panel, was begun with traycall" in said
    assert "it can't be resumed here. Recorded until 09:36:10:" in said
    assert "  copy 1 (not finished): exposure 0:" in said
    assert "developer 2:08.0 long" in said
    assert "  copy 1 in Holding water since 09:36:05" in said
    assert said.endswith("Nothing was resumed.\n")
    with Journal.open() as journal:
        assert journal.session(1).ended is None


@pytest.mark.parametrize(("answer", "ended"), [("e\n", at("6:10")), ("\n", None), ("", None)])
def test_at_a_terminal_it_can_be_ended(monkeypatch: pytest.MonkeyPatch, answer: str, ended: int | None) -> None:
    monkeypatch.setattr(opening, "on_terminal", lambda: True)
    monkeypatch.setattr("sys.stdin", io.StringIO(answer))
    assert main(["run", "--resume", "--plain", "--silent"]) == 1
    with Journal.open() as journal:
        assert journal.session(1).ended == ended
        assert [stay.verdict for stay in journal.course(1).stays if stay.kind == "develop"] == ["long"]
