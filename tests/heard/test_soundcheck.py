"""The sound check before a session: heard until it is answered, and nothing begins before that."""

import sys
from pathlib import Path

import pytest

from assistant.printing import sound_check
from assistant.sound_helper.tones import make
from tests import waiting
from tests.pty.terminal import Terminal
from tests.rig import at_rig_rate, onsets

pytestmark = pytest.mark.rig
SLIP = Path(__file__).with_name("slip.yaml")
AGAIN = sound_check.AGAIN / 1000


def pips(samples):
    return onsets(samples, at_rig_rate(make("now")), 0.7)


def test_it_is_repeated_until_a_key_answers_it(rig):
    home = Path(rig.env["TRAYCALL_HOME"]) / "check"
    env = {**rig.env, "TRAYCALL_HOME": str(home), "TERM": "xterm-256color", "COLORTERM": "truecolor"}
    recording = rig.record()
    with Terminal([sys.executable, "-m", "assistant", "run", str(SLIP), "--no-guard"], env) as terminal:
        terminal.until("Sound check: do you hear")
        terminal.press(b"n")
        terminal.until("Is the output the right one")
        waiting.until(lambda: len(pips(recording.so_far())) == 2, "the pip of the second check")
        terminal.settle()
        assert "begin exposure" not in terminal.text()
        terminal.press(b" ")
        terminal.until("tap: copy one: begin exposure")
    first, second = pips(recording.judged()[0])
    assert AGAIN - recording.near < second - first < AGAIN + 1
