"""What answers the sound check is never the first tap, however often the answer was tapped."""

import os
import sys
import time
from pathlib import Path

import pytest

from assistant.buttons.button import QUIET
from tests.pty.terminal import Terminal

pytestmark = pytest.mark.pty
QUICK = str(Path(__file__).with_name("quick.yaml"))
TRIES = 5


@pytest.fixture
def env(tmp_path):
    none = {"ALSA_CONFIG_PATH": os.devnull, "PULSE_SERVER": "none"}  # no device: the check is answered all the same
    return {**os.environ, **none, "TRAYCALL_HOME": str(tmp_path), "TERM": "xterm-256color", "COLORTERM": "truecolor"}


def answered_too_often(terminal):
    """Answer, and tap on before a hand counts as another one; whether this program was that fast."""
    terminal.until("Any key")
    before, pressed = terminal.screen.cursor.y, time.monotonic()
    terminal.press(b"y")
    while terminal.screen.cursor.y == before:
        terminal.watch(0.01)
    terminal.press(b"   ")
    return time.monotonic() - pressed < QUIET / 1000


def test_a_tap_too_many_begins_nothing(env):
    for _ in range(TRIES):
        with Terminal([sys.executable, "-m", "assistant", "run", QUICK, "--no-guard"], env) as terminal:
            in_time = answered_too_often(terminal)
            terminal.until("begin exposure")
            terminal.until("place paper")
            terminal.settle()
            offered = "tap: copy one: begin exposure" in terminal.text()
            terminal.kill()
        (Path(env["TRAYCALL_HOME"]) / "records.sqlite").unlink()
        if in_time:
            assert offered, terminal.text()
            return
    pytest.skip("this machine is too busy to tap twice in a row")
