"""The guarded session in a real terminal: judged cell by cell after every piece of output, through kill and typed lights.

The judge is pyte, which shares no code with the gate. A twin without the gate proves that the judge sees.
"""

import os
import random
import re
import signal
import sys
from itertools import pairwise
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


PIECES = [
    "\x1b[38;2;1;200;3m", "\x1b[32m", "\x1b[0m", "\x1b[48;5;21m", "\x1b[38:2::9:9:9m", "\x1b[7m", "\x1b[39;49m", "\x1b[?1049l",
    "\x1b[?25h", "\x1b]11;#fff\x1b\\", "\x1b]4;1;rgb:00/ff/00\x07", "\x1bP$qm\x1b\\", "\x1b_x\x1b\\", "\x1bc",
    "\x1b[2J", "\x1b[3;4H", "text", "\U0001f600", "\n", "\x07", "\x9b32m", "\x1b[", "\x1b]", "\x1b", ";", "m",
]  # fmt: skip
INK = re.compile(r"0;38;2;\d+;0;0;48;2;\d+;0;0m")


def wrong(out):
    """What leaves that must not: a bell, a string, a C1 control, or a colour instruction of any but the one shape."""
    if set(out) & set("\x07\x90\x9b\x9d"):
        return out
    for found in re.finditer(r"\x1b(\[[^@-~]*[@-~]?|.?)", out, re.DOTALL):
        body = found[1]
        if not body.startswith("[") or (body.endswith("m") and not INK.fullmatch(body[1:])):
            return body
    return ""


def streams(count):
    chance = random.Random(8613)
    for _ in range(count):
        text = "".join(chance.choices(PIECES, k=12))
        cuts = sorted(chance.sample(range(len(text) + 1), 3))
        yield [text[a:b] for a, b in pairwise([0, *cuts, len(text)])]


def test_twenty_thousand_streams_cut_anywhere():
    gate, inks = Gate("true", "paper"), 0
    for number, pieces in enumerate(streams(20_000)):
        if number % 20 == 0:
            gate = Gate("true", "paper")
        out = "".join(gate.feed(piece) for piece in pieces)
        assert wrong(out) == ""
        inks += out.count("\x1b[0;38;2;")
    assert inks > 20_000  # the streams do paint


def test_the_same_streams_without_the_gate_are_found_wrong():
    found = sum(bool(wrong("".join(pieces))) for pieces in streams(300))
    assert found > 250
