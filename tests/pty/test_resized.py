"""A window that changes its size on the dry side: all is drawn for the new one without a key."""

import os
import sys

import pytest

from tests.pty.terminal import Terminal

pytestmark = pytest.mark.pty


def test_a_dry_screen_fills_every_new_size_by_itself(tmp_path):
    env = {**os.environ, "TRAYCALL_HOME": str(tmp_path), "TERM": "xterm-256color", "COLORTERM": "truecolor"}
    with Terminal([sys.executable, "-m", "assistant", "calculate"], env) as terminal:
        terminal.until("keys esc")
        for width, height in ((80, 24), (60, 20), (110, 35)):
            terminal.screen.reset()
            terminal.resize(width, height)
            terminal.until("keys esc")
            terminal.settle()
            assert "keys esc" in terminal.text().splitlines()[-1]
        terminal.press(b"\x03")
        assert terminal.ended() == 0
