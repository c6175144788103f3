"""The guarded session in a real terminal: judged cell by cell after every piece of output, through kill and typed lights.

The judge is pyte, which shares no code with the gate. A twin without the gate proves that the judge sees.
"""

import os
import re
import signal
import sys
import time
from pathlib import Path

import pytest

from assistant.terminal.gate import Gate
from tests.pty.terminal import Terminal

pytestmark = pytest.mark.pty
QUICK = str(Path(__file__).parents[1] / "pty" / "quick.yaml")
RED = re.compile(r"[0-9a-f]{2}0000\Z")
HOSTILE = r"""
import os, sys, time
for text in ("\x1b[32mgreen", "\x1b[48;2;0;0;255mblue", "\x1b[0mplain", "\x1b[1;97mbold", "\x1b]11;rgb:ff/ff/ff\x1b\\",
             "\x1b[38:2::10:200:30mcolons", "\x1b[7mreverse", "\U0001f600 emoji", "\x1b[?1049l", "\x1bc", "\x1b[39;49mx"):
    os.write(1, text.encode()); os.write(2, text.encode())
    time.sleep(0.02)
time.sleep(30)
"""


class Watched(Terminal):
    """A terminal that counts cells which light anything but red, after every piece."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.bad, self.seen = [], 0
        feed = self.stream.feed

        def judged(text):
            feed(text)
            self.seen += 1
            self.bad += self.lit()

        self.stream.feed = judged

    def lit(self):
        found = []
        for y in range(self.screen.lines):
            for cell in self.screen.buffer[y].values():
                for colour, shows in ((cell.bg, True), (cell.fg, bool(cell.data.strip()))):
                    if shows and not RED.match(colour):
                        found.append((cell.data, cell.fg, cell.bg))
        return found


@pytest.fixture
def env(tmp_path):
    return {**os.environ, "TRAYCALL_HOME": str(tmp_path), "TERM": "xterm-256color", "COLORTERM": "truecolor", "TMUX": ""}


def children(pid):
    return [int(child) for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def test_a_killed_session_stays_dark_until_lights_is_typed(env):
    terminal = Watched([sys.executable, "-m", "assistant", "run", QUICK, "--silent", "--guard"], env)
    terminal.until("tap: copy one: begin exposure")
    terminal.read(0.9)
    terminal.press(b" ")
    terminal.until("begin developer")
    os.kill(children(terminal.pid)[0], signal.SIGKILL)
    terminal.until("type  lights  and press Enter")
    assert terminal.bad == []
    assert terminal.seen > 10
    terminal.press(b"\x03q\rlight\r")
    terminal.read(0.5)
    assert terminal.code is None
    terminal.press(b"lights\r")
    terminal.read(3)
    assert terminal.wait() == 128 + signal.SIGKILL
    terminal.close()


def guarded(code):
    program = f"import sys; from assistant.terminal.launch import guard; code = {code!r}\n"
    return ["-c", program + "sys.exit(guard([sys.executable, '-c', code], 'paper'))"]


def test_a_hostile_program_lights_nothing_and_the_judge_sees(env):
    terminal = Watched([sys.executable, *guarded(HOSTILE)], env)
    terminal.until("emoji")
    terminal.read(0.5)
    assert terminal.bad == []
    os.kill(terminal.pid, signal.SIGTERM)
    terminal.read(3)
    assert terminal.bad == []
    terminal.close()
    plain = Watched([sys.executable, "-c", HOSTILE], env)
    plain.read(1.0)
    assert plain.bad
    plain.close()


def test_a_terminal_that_cannot_be_guarded_is_refused_with_a_sentence(env):
    terminal = Terminal([sys.executable, "-m", "assistant", "run", QUICK, "--guard"], {**env, "TERM": "screen"})
    terminal.until("without --guard")
    assert terminal.wait() == 1
    terminal.close()


def test_twenty_thousand_streams_cut_anywhere():
    """Whatever goes in, the only colour instruction that comes out is red on red, and no string or bell leaves."""
    import random

    chance = random.Random(8613)
    pieces = ["\x1b[", "\x1b]", "\x1bP", "\x1b_", "38;2;1;200;3m", "32m", "0m", "48;5;21m", "38:2::9:9:9m", "?1049l", "?25h"]
    pieces += ["11;#fff", "\x07", "\x1b\\", "\x9b", "7m", "J", "H", "text", "\U0001f600", ";", "\x1bc", "4;1;rgb:00/ff/00"]
    pieces += ["\n", "2K", "\x1b"]
    allowed = re.compile(r"0;38;2;\d+;0;0;48;2;\d+;0;0m")
    began, gate = time.monotonic(), None
    for number in range(20_000):
        gate = Gate("true", "paper") if number % 50 == 0 or gate is None else gate
        out = gate.feed("".join(chance.choices(pieces, k=12)))
        assert not set(out) & set("\x07\x9b\x90\x9d")
        for found in re.finditer(r"\x1b(\[[^@-~]*[@-~]?|.?)", out, re.DOTALL):
            body = found[1]
            assert body.startswith("["), (out, body)
            assert not body.endswith("m") or allowed.fullmatch(body[1:]), out
    assert time.monotonic() - began < 60
