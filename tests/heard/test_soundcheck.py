"""The sound check before a session: heard until it is answered, and nothing begins before that."""

import sys
from pathlib import Path

import pytest

from assistant.sound_helper.tones import make
from tests.pty.terminal import Terminal
from tests.rig import at_rig_rate, onsets

pytestmark = pytest.mark.rig
SLIP = Path(__file__).with_name("slip.yaml")
AGAIN = 9.0
"""Seconds from one check to the next."""


def test_it_is_repeated_until_a_key_answers_it(rig):
    home = Path(rig.env["TRAYCALL_HOME"]) / "check"
    env = {**rig.env, "TRAYCALL_HOME": str(home), "TERM": "xterm-256color", "COLORTERM": "truecolor"}
    recording = rig.record()
    terminal = Terminal([sys.executable, "-m", "assistant", "run", str(SLIP), "--no-guard"], env)
    terminal.until("Sound check: do you hear")
    terminal.press(b"n")
    terminal.until("Is the output the right one")
    terminal.read(17)
    assert "begin exposure" not in terminal.text()
    terminal.press(b" ")
    terminal.until("tap: copy one: begin exposure", 30)
    terminal.close()
    samples, _ = recording.end()
    pips = onsets(samples, at_rig_rate(make("now")), 0.7)
    assert len(pips) == 2
    assert pips[1] - pips[0] == pytest.approx(AGAIN, abs=0.2)
