"""What answers the sound check, or what is to be read, is never the first tap, however often the answer was tapped."""

import os
import signal
import sys
import time
from pathlib import Path

import pytest

from assistant.buttons.button import QUIET
from assistant.printing import sound_check
from assistant.printing.refusal import Refusal
from tests.pty.terminal import Terminal

pytestmark = pytest.mark.pty
QUICK = str(Path(__file__).with_name("quick.yaml"))
TRIES = 5
CLICK = b"\x1b[<0;5;5M"
NO_KEY = b"\x1b[<0;5;5m\x1b]11;rgb:ffff/ffff/ffff\x1b\\\x1b[200~pasted\x1b[201~"
"""A button let go, a terminal's answer, a paste."""


@pytest.fixture
def env(tmp_path):
    none = {"ALSA_CONFIG_PATH": os.devnull, "PULSE_SERVER": "none"}  # no device: the check is answered all the same
    return {**os.environ, **none, "TRAYCALL_HOME": str(tmp_path), "TERM": "xterm-256color", "COLORTERM": "truecolor"}


def answered_too_often(terminal, asked, answer):
    """Answer, and tap on before a hand counts as another one; whether this program was that fast."""
    assert "gloves" in terminal.until(asked)
    terminal.press(NO_KEY)
    terminal.settle()
    assert "begin exposure" not in terminal.text()
    before, pressed = terminal.screen.cursor.y, time.monotonic()
    terminal.press(answer)
    while terminal.screen.cursor.y == before:
        terminal.watch(0.01)
    terminal.press(b"   ")
    return time.monotonic() - pressed < QUIET / 1000


@pytest.mark.parametrize(("words", "asked", "answer"), [((), "Any key", b"y"), (("--silent",), "then any key begins", CLICK)])
def test_a_tap_too_many_begins_nothing(env, words, asked, answer):
    for _ in range(TRIES):
        with Terminal([sys.executable, "-m", "assistant", "run", QUICK, "--no-guard", *words], env) as terminal:
            terminal.reads = False
            in_time = answered_too_often(terminal, asked, answer)
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


def test_who_leaves_before_it_begins_has_started_nothing(monkeypatch):
    """Ctrl+C ends no session then, so that no terminal is kept dark for it."""
    there, here = os.openpty()
    with open(here) as source:  # noqa: PTH123
        monkeypatch.setattr(sys, "stdin", source)
        monkeypatch.setattr(sound_check, "pressed", lambda: signal.default_int_handler(signal.SIGINT, None))
        with pytest.raises(Refusal, match="Nothing was started"):
            sound_check.read_through()
    os.close(there)
