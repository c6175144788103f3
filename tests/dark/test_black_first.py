"""`traycall-dark`: black before Python is read, and readable again wherever no guard was to be had."""

import os
import sys
from pathlib import Path

import pytest

from tests.dark.journey import Journey
from tests.dark.profiles import REFUSED
from tests.dark.trips import OFFER, QUICK, as_it_was, judged
from tests.pty.terminal import Terminal

pytestmark = [pytest.mark.pty, pytest.mark.skipif(sys.platform != "linux", reason="the judge reads /proc")]
LAUNCHER = str(Path(sys.executable).with_name("traycall-dark"))
ENTER_BLACK = b"\x1b]4;16;rgb:00/00/00\x1b\\\x1b[0;38;5;16;48;5;16m\x1b[?25l\x1b[?1049h"


def silent(home):
    """A home in which no sound is looked for."""
    return {"TRAYCALL_HOME": str(home), "ALSA_CONFIG_PATH": os.devnull, "PULSE_SERVER": "none"}


def test_a_session_begins_black_and_goes_on_behind_the_guard(tmp_path):
    with Journey([LAUNCHER, "run", QUICK], "capable", silent(tmp_path)) as trip:
        trip.until("Sound check").press(" ").until(OFFER)
        judged(trip)


@pytest.mark.parametrize("profile", REFUSED)
def test_where_no_guard_is_had_the_words_can_be_read(profile, tmp_path):
    with Journey([LAUNCHER, "run", QUICK], profile, silent(tmp_path)) as trip:
        trip.until("Start without the guard?")
        assert not trip.emulator.on_other
        assert trip.code is None
        trip.press(" ").until("Sound check: do you hear")
        assert not trip.emulator.on_other


def test_where_no_guard_is_had_nothing_begins_unasked(tmp_path):
    with Journey([LAUNCHER, "run", QUICK], "a multiplexer", silent(tmp_path)) as trip:
        trip.until("Start without the guard?").press("\x1b[?62;22c\x1b[200~yes\r\x1b[201~").settle()
        assert trip.code is None
        trip.press("\x1b")
        assert trip.ended() == 0
        assert "Nothing was started" in trip.text()


def test_a_wrong_word_is_said_in_the_light():
    with Journey([LAUNCHER, "run", QUICK, "--silnt"], "light theme", {}) as trip:
        assert trip.ended() == 2
        assert "unrecognized arguments: --silnt" in trip.text()
        as_it_was(trip)


def test_a_recipe_with_faults_is_said_in_the_light(tmp_path):
    bad = tmp_path / "bad.yaml"
    bad.write_text("format: 1\n", encoding="utf-8")
    env = {**os.environ, **silent(tmp_path), "TERM": "xterm-256color", "COLORTERM": "truecolor"}
    with Terminal([LAUNCHER, "run", str(bad)], {name: env[name] for name in env if name != "TMUX"}) as terminal:
        assert terminal.ended() == 1
        assert "`title` i" in terminal.text()


def test_the_first_bytes_are_the_launchers():
    script = Path(LAUNCHER).read_text(encoding="utf-8")
    line = next(line for line in script.splitlines() if line.strip().startswith("printf"))
    assert line.split("'")[1].replace("\\033", "\x1b").replace("\\\\", "\\").encode().startswith(ENTER_BLACK)
    assert script.index("printf") < script.index("exec ")
