"""A test strip by the real program in a real terminal: printed in the print's own baths, picked, written into its recipe."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.pty.terminal import Terminal, tap

pytestmark = pytest.mark.pty
PROGRAM = [sys.executable, "-m", "assistant"]


@pytest.fixture
def env(tmp_path):
    return {**os.environ, "TRAYCALL_HOME": str(tmp_path), "TERM": "xterm-256color", "COLORTERM": "truecolor"}


@pytest.fixture
def card(tmp_path):
    text = Path(__file__).with_name("quick.yaml").read_text(encoding="utf-8")
    file = tmp_path / "shed door.yaml"
    file.write_text(text.replace("  - expose:", "  # glass cleaned\n  - expose:"), encoding="utf-8")
    return file


def test_a_picked_strip_is_written_into_the_recipe_of_the_print(env, card):
    before = card.read_text(encoding="utf-8")
    words = ["--first", "0.2s", "--strips", "3", "--step", "1", "--silent", "--no-guard"]
    with Terminal([*PROGRAM, "strip", str(card), *words], env) as terminal:
        for what in ("begin test strip", "begin developer"):
            tap(terminal, f"tap: copy one: {what}")
        terminal.until("said  judge the strip. strip one")
        assert "1: 0.2 s" in terminal.text()
        terminal.press(b"p3\r")
        tap(terminal, "3: 0.8 s <")
        tap(terminal, "the session is over")
        terminal.until("Print it now?")
        terminal.press(b"\r")
        terminal.until("Write 0.8 s into")
        terminal.press(b"y")
        assert terminal.ended() == 0
    assert card.read_text(encoding="utf-8") == before.replace("time: 0.5 s", "time: 0.8 s")
    shown = subprocess.run([*PROGRAM, "records", "show", "1", "--json"], env=env, capture_output=True, text=True, check=True)
    light, *baths = json.loads(shown.stdout)["stays"]
    assert light["to_ms"] - light["from_ms"] == 800
    assert [stay["step"] for stay in baths] == ["develop", "stop", "fix", "hold"]
    sheet = subprocess.run([*PROGRAM, "records", "show", "1"], env=env, capture_output=True, text=True, check=True).stdout
    assert "strip 3 picked" in sheet


def test_which_strip_is_asked_when_all_is_over_and_a_finer_one_is_printed_then_and_there(env, card):
    words = ["--first", "0.2s", "--strips", "3", "--step", "1", "--silent", "--no-guard"]
    with Terminal([*PROGRAM, "strip", str(card), *words], env) as terminal:
        for what in ("begin test strip", "begin developer", "begin rack"):
            tap(terminal, f"tap: copy one: {what}")
        tap(terminal, "the session is over")
        terminal.until("Which strip is good? 1: 0.2 s, 2: 0.4 s, 3: 0.8 s")
        terminal.press(b"7")
        terminal.settle()  # of keys that are read at once only the first counts
        terminal.press(b"3")
        terminal.until("Print it now?")
        terminal.press(b"y")
        terminal.until("tap: copy one: begin test strip")
    sheet = subprocess.run([*PROGRAM, "records", "show", "1"], env=env, capture_output=True, text=True, check=True).stdout
    assert "strip 3 picked" in sheet


def test_an_edit_while_it_is_printed_is_said_and_changes_nothing(env, card):
    with Terminal([*PROGRAM, "run", str(card), "--silent", "--no-guard"], env) as terminal:
        terminal.until("tap: copy one: begin exposure")
        card.write_text(card.read_text(encoding="utf-8").replace("time: 0.5 s", "time: 3 s"), encoding="utf-8")
        terminal.until("the recipe file has changed. this session keeps the old one")
        tap(terminal, "tap: copy one: begin exposure")
        terminal.until("tap: copy one: begin developer")
    shown = subprocess.run([*PROGRAM, "records", "show", "1", "--json"], env=env, capture_output=True, text=True, check=True)
    assert json.loads(shown.stdout)["stays"][0]["target_ms"] == 500
