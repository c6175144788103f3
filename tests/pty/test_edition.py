"""The real program in a real terminal: printed to its end with one key, broken off, and gone on with."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.printing.plain_face import how_answered
from tests.pty.terminal import Terminal, tap

pytestmark = pytest.mark.pty
QUICK = str(Path(__file__).with_name("quick.yaml"))
PROGRAM = [sys.executable, "-m", "assistant"]


@pytest.fixture
def env(tmp_path):
    return {**os.environ, "TRAYCALL_HOME": str(tmp_path), "TERM": "xterm-256color", "COLORTERM": "truecolor"}


def run(env, *words, width=100, height=30):
    return Terminal([*PROGRAM, "run", QUICK, "--silent", "--no-guard", *words], env, width, height)


def records(env):
    call = [*PROGRAM, "records", "show", "1", "--json"]
    return json.loads(subprocess.run(call, env=env, capture_output=True, text=True, check=True).stdout)


def test_an_edition_is_printed_to_its_end_by_tapping_one_key(env):
    with run(env, width=80, height=24) as terminal:
        for what in ("begin exposure", "begin developer", "begin toner", "pull", "begin wash"):
            tap(terminal, f"tap: copy one: {what}")
        tap(terminal, "the session is over")
        assert terminal.ended() == 0
    stays = {stay["step"]: stay for stay in records(env)["stays"]}
    assert stays["develop"]["to_ms"] - stays["develop"]["from_ms"] == 900
    assert stays["tone"]["verdict"] == "good"


def test_two_sheets_are_out_at_one_time_and_every_answer_names_its_own(env):
    card = str(Path(__file__).with_name("two_at_once.yaml"))
    with Terminal([*PROGRAM, "run", card, "--silent", "--no-guard"], env, 80, 24) as terminal:
        tap(terminal, "tap: copy one: begin exposure")
        tap(terminal, "tap: copy one: begin developer")
        tap(terminal, "tap: copy two: begin exposure")
        terminal.until("copy two, light")
        tap(terminal, "tap: copy two: begin developer")
        terminal.until("copy two, developer")
        terminal.until("two into the fixer")
        for _ in range(2):
            terminal.rest()
            terminal.press(b"e")
        assert terminal.ended() == 0
    stays = {(stay["copy"], stay["step"]): stay for stay in records(env)["stays"]}
    assert [stays[copy, "develop"]["to_ms"] - stays[copy, "develop"]["from_ms"] for copy in (1, 2)] == [2_000, 2_000]
    assert stays[1, "stop"]["to_ms"] < stays[2, "expose"]["from_ms"]
    assert (1, "hold") not in stays, "one is in the fixer all the while"


def test_a_killed_session_is_gone_on_with(env):
    with run(env) as terminal:
        tap(terminal, "tap: copy one: begin exposure")
        terminal.until("tap: copy one: begin developer")
        terminal.kill(signal.SIGKILL)
    with Terminal([*PROGRAM, "run", "--resume", "--silent", "--no-guard"], env) as again:
        again.until("tap: copy one: begin developer")
        again.rest()
        again.press(b"e")
        again.until("once more")
        again.rest()
        again.press(b"e")
        assert again.ended() == 0


def test_an_unfinished_session_is_offered(env):
    with run(env) as terminal:
        terminal.until("tap: copy one: begin exposure")
        terminal.kill(signal.SIGKILL)
    with run(env) as again:
        again.until("was not ended. Resume it?")
        again.press(b"n")
        again.until("ends it for good")
        again.press(b"x")
        again.settle()
        assert again.text().count("Resume it?") == 2
        again.press(b"n")
        again.settle()
        again.press(b"n")
        again.until("tap: copy one: begin exposure")


def test_on_a_plain_terminal_letters_of_the_screen_are_no_taps_and_ctrl_c_leaves_the_session(env):
    with run(env, "--plain") as terminal:
        terminal.reads = False
        first = " ".join(terminal.until("any key begins").split())
        assert first.startswith(how_answered()), "a stranger reads how it is answered before anything is to be answered"
        terminal.reads = True
        terminal.press(b"y")
        terminal.until("place paper")
        assert "Any key is a tap" not in terminal.text(), "once is enough"
        terminal.press(b"?")
        terminal.until("Any key is a tap; held")
        terminal.press(b"n")
        terminal.until("are typed on the screen")
        assert "heard" not in terminal.text()
        terminal.press(b"\x03")
        assert terminal.ended() == 0
        assert "The session is not ended" in terminal.text()
