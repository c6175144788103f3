"""A terminal that stops reading for five seconds, in the middle of a bath: the screen stands still, and no cue moves."""

import fcntl
import json
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path

import pytest

from assistant.sound_helper.tones import make
from tests.pty.terminal import Terminal
from tests.rig import at_rig_rate, onsets

pytestmark = pytest.mark.rig
SLIP = Path(__file__).with_name("slip.yaml")
PROGRAM = [sys.executable, "-m", "assistant"]
JITTER = 0.025
STALL = 5.0


def test_no_cue_moves_while_the_terminal_does_not_read(rig):
    home = Path(rig.env["TRAYCALL_HOME"]) / "stall"
    home.mkdir(parents=True)
    env = {**rig.env, "TRAYCALL_HOME": str(home), "TERM": "xterm-256color", "COLORTERM": "truecolor"}
    recording = rig.record()
    terminal = Terminal([*PROGRAM, "run", str(SLIP), "--no-guard"], env)
    terminal.until("Sound check")
    terminal.press(b" ")
    for seen in ("tap: copy one: begin exposure", "tap: copy one: begin developer"):
        terminal.until(seen, 30)
        terminal.read(0.9)
        terminal.press(b" ")
    terminal.until("then: into the stop")
    painted = stalled(terminal)
    assert painted > 20_480  # more than the kernel keeps for a terminal: it was really stuck
    terminal.until("the session is over", 60)
    terminal.read(0.9)
    terminal.press(b" ")
    terminal.read(5)
    terminal.close()
    samples, _ = recording.end()
    shown = subprocess.run([*PROGRAM, "records", "show", "1", "--json"], env=env, capture_output=True, text=True, check=True)
    stays = {stay["step"]: stay for stay in json.loads(shown.stdout)["stays"]}
    wanted = {
        "start": [stays["expose"]["from_ms"]],
        "end": [stays["expose"]["to_ms"]],
        "now": [stays[kind]["to_ms"] for kind in ("develop", "stop", "fix")],
    }
    found = {name: onsets(samples, at_rig_rate(make(name)), 0.7) for name in wanted}
    found["now"] = [at for at in found["now"] if at > found["start"][0]]  # the sound check has a pip too
    assert {name: len(times) for name, times in found.items()} == {"start": 1, "end": 1, "now": 3}
    offsets = [at - ms / 1000 for name, times in wanted.items() for at, ms in zip(found[name], times, strict=True)]
    assert max(offsets) - min(offsets) < JITTER


def stalled(terminal):
    """Leave everything unread while the window changes its size again and again; the bytes that then come."""
    end, wide = time.monotonic() + STALL, 100
    while time.monotonic() < end:
        wide = 201 - wide
        fcntl.ioctl(terminal._end, termios.TIOCSWINSZ, struct.pack("HHHH", 30, wide, 0, 0))
        time.sleep(0.1)
    fcntl.ioctl(terminal._end, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
    before = terminal.taken
    terminal.read(1.0)
    return terminal.taken - before
