"""What the dry side asks of other processes of the program: none of them is waited for without end."""

import signal
import sys
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.printing import outside

HUNG = "#!/bin/sh\ntrap '' INT\necho begun\nexec sleep 60\n"
"""As a command whose speech engine hangs: an interrupt changes nothing."""


def test_a_command_that_is_read_no_further_ends_and_not_the_one_begun_after_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    goes = tmp_path / "goes"
    goes.write_text(f"#!/bin/sh\necho begun\nuntil [ -e {tmp_path}/on ]; do sleep 0.05; done\necho over\n", encoding="utf-8")
    goes.chmod(0o755)
    monkeypatch.setattr(sys, "executable", str(goes))
    house = outside.House()
    first, second = house.told([], 80), house.told([], 80)
    assert [next(first), next(second)] == ["begun", "begun"]
    first.close()
    (tmp_path / "on").touch()
    assert list(second) == ["over"]


@pytest.mark.parametrize("leave", ["stopped while it is read", "read no further"])
def test_a_command_that_no_interrupt_ends_is_killed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, leave: str) -> None:
    hung = tmp_path / "hung"
    hung.write_text(HUNG, encoding="utf-8")
    hung.chmod(0o755)
    monkeypatch.setattr(sys, "executable", str(hung))
    monkeypatch.setattr(outside, "_ENDS", 0.1)
    house = outside.House()
    lines = house.told([], 80)
    assert next(lines) == "begun"
    process = house._speaks
    if leave == "read no further":
        lines.close()
    else:
        house.stop()
        assert list(lines) == []
    assert process is not None
    assert process.returncode == -signal.SIGKILL


def test_the_dry_side_is_left_without_a_fault(monkeypatch, capsys, tmp_path):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    monkeypatch.setattr("assistant.printing.options.on_terminal", lambda: True)
    monkeypatch.setattr("assistant.printing.dry_side.visited", lambda *_: None)  # Escape, or Ctrl+C
    assert main(["run", "--no-guard"]) == 0
    assert "Nothing was chosen." in capsys.readouterr().err
