"""The real program in a real terminal: printed to its end with one key, broken off, and gone on with."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.pty.terminal import Terminal

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


@pytest.mark.parametrize(("width", "height"), [(100, 30), (80, 24)])
def test_an_edition_is_printed_to_its_end_by_tapping_one_key(env, width, height):
    terminal = run(env, width=width, height=height)
    for words in (
        "tap: copy one: begin exposure",
        "tap: copy one: begin developer",
        "tap: copy one: begin toner",
        "tap: copy one: pull",
        "tap: all copies: begin wash",
    ):
        seen = "tap: copy one: begin wash" if "all copies" in words else words
        terminal.until(seen, 30)
        terminal.read(0.9)
        terminal.press(b" ")
    terminal.until("the session is over", 30)
    terminal.read(0.9)
    terminal.press(b" ")
    terminal.read(3)
    assert terminal.wait() == 0
    terminal.close()
    stays = {stay["step"]: stay for stay in records(env)["stays"]}
    assert stays["develop"]["to_ms"] - stays["develop"]["from_ms"] == 900
    assert stays["tone"]["verdict"] == "good"


def test_a_killed_session_is_gone_on_with(env):
    terminal = run(env)
    terminal.until("tap: copy one: begin exposure")
    terminal.press(b" ")
    terminal.until("tap: copy one: begin developer")
    terminal.kill(signal.SIGKILL)
    terminal.close()
    again = Terminal([*PROGRAM, "run", "--resume", "--silent", "--no-guard"], env)
    again.until("tap: copy one: begin developer")
    again.read(0.9)
    again.press(b"e")
    again.read(0.9)
    again.press(b"e")
    again.read(3)
    assert again.wait() == 0
    again.close()


def test_an_unfinished_session_is_offered(env):
    terminal = run(env)
    terminal.until("tap: copy one: begin exposure")
    terminal.kill(signal.SIGKILL)
    terminal.close()
    again = run(env)
    again.until("was not ended. Resume it?")
    again.press(b"dunno\n")
    again.read(0.5)
    assert again.text().count("Resume it?") == 2
    again.press(b"n\n")
    again.until("tap: copy one: begin exposure")
    again.close()


def test_a_bad_recipe_is_a_sentence_and_no_session(env, tmp_path):
    bad = tmp_path / "bad.yaml"
    bad.write_text("format: 1\ntitle: x\n")
    terminal = Terminal([*PROGRAM, "run", str(bad)], env)
    terminal.until("`steps` i")
    assert terminal.wait() == 1
    assert "Traceback" not in terminal.text()
    terminal.close()


def test_on_a_plain_terminal_letters_of_the_screen_are_no_taps_and_ctrl_c_leaves_the_session(env):
    terminal = run(env, "--plain")
    terminal.until("place the paper", 30)
    terminal.press(b"?")
    terminal.until("Any key is a tap, but")
    terminal.press(b"n")
    terminal.until("are typed on the screen")
    assert "heard" not in terminal.text()
    terminal.press(b"\x03")
    terminal.until("The session is not ended", 10)
    terminal.wait()
    terminal.close()
