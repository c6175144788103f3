"""The tests themselves: they wait for states, in one place, and nothing they start outlives them."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests import waiting

HERE = Path(__file__).parent
SLEEPS = re.compile(
    r"\b(?:time|asyncio)\.sleep\(|^from time import .*sleep|pilot\.pause\([\d.]+\)(?!  # between two looks)", re.MULTILINE
)
MAY = {"waiting.py", "endless_writer.py", "xterm.py"}
"""Those that sleep themselves: the waiting, a program that is a tested one's other end, and one that looks at a real window."""


def test_no_test_sleeps_a_fixed_time():
    files = [file for file in HERE.rglob("*.py") if file.name not in MAY and "bench" not in file.parts]
    assert len(files) > 80
    assert [str(file.relative_to(HERE)) for file in files if SLEEPS.search(file.read_text(encoding="utf-8"))] == []


def test_waiting_in_vain_ends_and_says_for_what():
    with pytest.raises(AssertionError, match="a sign did not come within 0"):
        waiting.until(lambda: False, "a sign", 0)
    assert waiting.until(lambda: 7) == 7


@pytest.mark.skipif(sys.platform != "linux", reason="the system does not tell what its programs do")
def test_a_program_that_computes_is_not_at_rest_and_one_that_waits_is():
    reads = "import sys; print(flush=True); sys.stdin.read(1); print(flush=True)\nwhile True: pass"
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE}
    with subprocess.Popen([sys.executable, "-c", reads], **pipes) as program:
        program.stdout.readline()
        waiting.until(lambda: waiting.at_rest(program.pid), "rest")
        program.stdin.write(b"x")
        program.stdin.flush()
        program.stdout.readline()
        assert not waiting.at_rest(program.pid)
        program.kill()


LEAVES = """
import subprocess
def test_it():
    subprocess.Popen(["sleep", "600"], start_new_session=True)
    subprocess.run(["sh", "-c", "sleep 600 </dev/null >/dev/null 2>&1 &"], check=True)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="an orphan cannot be had back")
def test_a_program_that_is_left_behind_is_named_and_ended(tmp_path):
    held = (HERE / "conftest.py").read_text(encoding="utf-8").replace("GRACE = 30.0", "GRACE = 0.5")
    (tmp_path / "conftest.py").write_text(held, encoding="utf-8")
    (tmp_path / "test_leaves.py").write_text(LEAVES, encoding="utf-8")
    call = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-W", "ignore", str(tmp_path)]
    env = {**os.environ, "PYTHONPATH": str(HERE.parent)}
    done = subprocess.run(call, cwd=tmp_path, env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 1, done.stdout
    assert len(set(re.findall(r"\d+ sleep 600 (?=\(since test_leaves.py::test_it\))", done.stdout))) == 2, done.stdout
