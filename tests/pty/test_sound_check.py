"""What answers the sound check, or what is to be read, is never the first tap, however often the answer was tapped."""

import os
import signal
import sys
import time
from pathlib import Path

import pytest

from assistant.buttons.button import QUIET
from assistant.printing import sound_check
from assistant.printing.refusal import Refusal
from tests.pty.terminal import Terminal

pytestmark = pytest.mark.pty
QUICK = str(Path(__file__).with_name("quick.yaml"))
TRIES = 5
CLICK = b"\x1b[<0;5;5M"
NO_KEY = b"\x1b[<0;5;5m\x1b]11;rgb:ffff/ffff/ffff\x1b\\\x1b[200~pasted\x1b[201~"
"""A button let go, a terminal's answer, a paste."""


@pytest.fixture
def env(tmp_path):
    none = {"ALSA_CONFIG_PATH": os.devnull, "PULSE_SERVER": "none"}  # no device: the check is answered all the same
    return {**os.environ, **none, "TRAYCALL_HOME": str(tmp_path), "TERM": "xterm-256color", "COLORTERM": "truecolor"}


def answered_too_often(terminal, asked, answer):
    """Answer, and tap on before a hand counts as another one; whether this program was that fast."""
    assert "gloves" in terminal.until(asked)
    terminal.press(NO_KEY)
    terminal.settle()
    assert "begin exposure" not in terminal.text()
    before, pressed = terminal.screen.cursor.y, time.monotonic()
    terminal.press(answer)
    while terminal.screen.cursor.y == before:
        terminal.watch(0.01)
    terminal.press(b"   ")
    return time.monotonic() - pressed < QUIET / 1000


@pytest.mark.parametrize(("words", "asked", "answer"), [((), "Any key", b"y"), (("--silent",), "then any key begins", CLICK)])
def test_a_tap_too_many_begins_nothing(env, words, asked, answer):
    for _ in range(TRIES):
        with Terminal([sys.executable, "-m", "assistant", "run", QUICK, "--no-guard", *words], env, 100, 40) as terminal:
            terminal.reads = False
            in_time = answered_too_often(terminal, asked, answer)
            terminal.until("begin exposure")
            terminal.until("place paper")
            terminal.settle()
            offered = "tap: copy one: begin exposure" in terminal.text()
            terminal.kill()
        (Path(env["TRAYCALL_HOME"]) / "records.sqlite").unlink()
        if in_time:
            assert offered, terminal.text()
            return
    pytest.skip("this machine is too busy to tap twice in a row")


def test_a_page_stays_until_a_key_answers_it_whole_from_its_first_line_and_esc_starts_nothing(env):
    """In the window as terminals open it; a page that is answered too often is one page."""
    with Terminal(
        [sys.executable, "-m", "assistant", "run", "slipway-edition", "--no-guard", "--silent"], env, 80, 24
    ) as terminal:
        terminal.reads = False
        first = terminal.until("More: any key.")
        assert first.startswith("There is no guard on this terminal")
        assert "Slipway edition: 8 copies" in first
        terminal.press(b"yyy")
        terminal.until("any key begins")
        terminal.settle()
        assert terminal.code is None
        terminal.rest()
        terminal.press(b"\x1b")
        assert terminal.ended() == 0
        assert "Nothing was started." in terminal.text()


def test_no_line_is_lost_between_two_pages_and_each_has_room_for_its_question(monkeypatch, capsys, typing):
    pages = []
    monkeypatch.setattr(sound_check, "QUIET", 0)
    monkeypatch.setattr("shutil.get_terminal_size", lambda: os.terminal_size((80, 24)))
    monkeypatch.setattr(sound_check, "answered", lambda question: pages.append(capsys.readouterr().out.splitlines()) or "y")
    lines = [f"line {number}" for number in range(60)]
    sound_check.say_in_pages(lines, ["a caution", "in two rows"])
    pages.append(capsys.readouterr().out.splitlines())
    assert [len(page) for page in pages] == [21, 23, 16]
    assert [line for page in pages for line in page] == lines


@pytest.fixture
def typing(monkeypatch):
    """Standard input is a terminal."""
    there, here = os.openpty()
    with open(here) as source:  # noqa: PTH123
        monkeypatch.setattr(sys, "stdin", source)
        yield
    os.close(there)


@pytest.mark.parametrize("leave", [lambda question: "", lambda question: signal.default_int_handler(signal.SIGINT, None)])
def test_who_leaves_before_it_begins_has_started_nothing(monkeypatch, typing, leave):
    """By Esc or Ctrl+C: it ends no session then, so that no terminal is kept dark for it."""
    monkeypatch.setattr(sound_check, "answered", leave)
    for read in (sound_check.read_through, lambda: sound_check.say_in_pages(["a line"] * 200)):
        with pytest.raises(Refusal, match="Nothing was started"):
            read()
