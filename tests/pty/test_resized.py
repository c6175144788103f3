"""A window that changes its size on the dry side: all is drawn for the new one without a key."""

import fcntl
import os
import struct
import sys
import termios

import pytest

from tests.pty.terminal import Terminal

pytestmark = pytest.mark.pty


def test_a_dry_screen_fills_every_new_size_by_itself(tmp_path):
    env = {**os.environ, "TRAYCALL_HOME": str(tmp_path), "TERM": "xterm-256color", "COLORTERM": "truecolor"}
    terminal = Terminal([sys.executable, "-m", "assistant", "reckon"], env)
    terminal.until("backspace: change")
    for width, height in ((80, 24), (60, 20), (110, 35)):
        terminal.screen.reset()
        terminal.screen.resize(height, width)
        fcntl.ioctl(terminal._end, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
        terminal.until("backspace: change", 10)
        assert "backspace: change" in terminal.text().splitlines()[-1]
    terminal.press(b"\x1b")
    terminal.read(2)
    assert terminal.wait() == 0
    terminal.close()
