"""A terminal that stops reading for five seconds, in the middle of a bath: the screen stands still, and no cue moves."""

import json
import os
import select
import subprocess
import sys
from itertools import cycle
from pathlib import Path

import pytest

from assistant.sound_helper.tones import make
from tests import waiting
from tests.pty.terminal import Terminal, tap
from tests.rig import at_rig_rate, onsets

pytestmark = pytest.mark.rig
SLIP = Path(__file__).with_name("slip.yaml")
PROGRAM = [sys.executable, "-m", "assistant"]
STALL = 5.0


def test_no_cue_moves_while_the_terminal_does_not_read(rig):
    home = Path(rig.env["TRAYCALL_HOME"]) / "stall"
    home.mkdir(parents=True)
    env = {**rig.env, "TRAYCALL_HOME": str(home), "TERM": "xterm-256color", "COLORTERM": "truecolor"}
    recording = rig.record()
    with Terminal([*PROGRAM, "run", str(SLIP), "--no-guard"], env) as terminal:
        terminal.until("Sound check")
        terminal.press(b" ")
        for what in ("begin exposure", "begin developer"):
            tap(terminal, f"tap: copy one: {what}")
        terminal.until("then into the")
        stall(terminal)
        tap(terminal, "the session is over")
        assert terminal.ended() == 0
    samples, _ = recording.judged()
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
    assert max(offsets) - min(offsets) < recording.near


def stall(terminal):
    """Leave everything unread while the window changes its size again and again, until the program can write no more."""
    sizes = cycle(((100, 30), (101, 30)))
    program = os.open(Path(f"/proc/{terminal.pid}/fd/0").readlink(), os.O_WRONLY | os.O_NOCTTY)
    try:

        def full():
            terminal.resize(*next(sizes))
            waiting.pause(0.05)
            return not select.select([], [program], [], 0)[1]

        waiting.until(full, "a terminal that takes no more")
        waiting.pause(STALL)
        assert full(), "nobody has read meanwhile"
    finally:
        os.close(program)
    terminal.screen.reset()
    terminal.resize(100, 30)
