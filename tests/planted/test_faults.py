"""The tests of the session find every mistake that is planted in a copy of it."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.planted.faults import FAULTS

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("fault", FAULTS, ids=lambda name: name.replace(" ", "-"))
def test_it_is_found(fault, tmp_path):
    name, right, wrong = FAULTS[fault]
    shutil.copytree(ROOT / "assistant", tmp_path / "assistant", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "tests" / "session", tmp_path / "tests" / "session")
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    shutil.copy(ROOT / "tests" / "__init__.py", tmp_path / "tests")
    planted = tmp_path / "assistant" / name
    text = planted.read_text(encoding="utf-8")
    assert text.count(right) == 1, "the place to plant this fault has changed: find it again"
    planted.write_text(text.replace(right, wrong), encoding="utf-8")
    found = subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-x",
            "-p",
            "no:cacheprovider",
            "tests/session/test_sessions.py",
            "tests/session/test_machine.py",
        ],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert found.returncode == 1, found.stdout[-2000:] + found.stderr[-2000:]
    assert "failed" in found.stdout
