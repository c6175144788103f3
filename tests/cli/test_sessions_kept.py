"""Sessions beside each other, left and gone on with, and kept apart from the records: on a terminal that is none."""

import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path

import pytest

from assistant.cli.main import main
from tests import waiting

ROOT = Path(__file__).parents[2]
CARD = """\
format: 1
title: Rudder strip
trays:
  developer: {bath: print developer, volume: 3 l}
  stop: {bath: citric stop, volume: 3 l}
  fixer: {bath: rapid fixer, volume: 3 l}
steps:
  - expose: {time: 1 s}
  - develop: {for: 4 s, drain: 1 s}
  - stop: {for: 4 s, drain: 1 s}
  - fix: {for: 8 s, drain: 1 s}
"""
PATIENT = 60


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "rudder.yaml").write_text(CARD, encoding="utf-8")
    return tmp_path


@contextmanager
def session(*words):
    call = [sys.executable, "-m", "assistant", *words, "--plain", "--silent"]
    pipe = subprocess.PIPE
    with subprocess.Popen(call, stdin=pipe, stdout=pipe, stderr=subprocess.STDOUT, text=True, bufsize=1) as running:
        try:
            yield running
        finally:
            running.kill()


def until(running, words):
    said = []
    for line in running.stdout:
        said.append(line)
        if words in line:
            return said
    raise AssertionError(f"{words!r} was not said: {''.join(said)}")


def tap(running):
    print(file=running.stdin, flush=True)


def test_a_second_session_beside_a_running_one_is_refused(capsys):
    with session("run", "rudder.yaml") as running:
        until(running, "An empty line is a tap")
        assert main(["run", "rudder.yaml", "--plain", "--silent"]) == 1
        assert capsys.readouterr().err.startswith("Session 1, Rudder strip, is being printed by another traycall")
        assert main(["run", "--resume", "--plain", "--silent"]) == 1


def test_what_is_overdue_is_said_before_anything_else(folder):
    with session("run", "rudder.yaml") as running:
        until(running, "tap when ready")
        tap(running)
        until(running, "into the developer")
        tap(running)
        until(running, "developer")
        running.kill()
    over = time.monotonic() + 4.2  # longer than the development: that is what is overdue
    waiting.until(lambda: time.monotonic() > over, "the end of the development")
    with session("run", "--resume") as again:
        said = until(again, "nothing was called for")
        assert "developer" in said[-1]


def test_a_trial_is_in_no_record_and_can_be_gone_on_with(folder, capsys):
    with session("run", "rudder.yaml", "--trial") as running:
        until(running, "tap when ready")
        running.stdin.close()
        said = running.stdout.read()
    assert "resume it with `traycall run --resume --trial`" in said
    assert main(["records"]) == 0
    assert capsys.readouterr().out.startswith("No session has been printed")
    assert main(["run", "--resume", "--plain", "--silent"]) == 1
    with session("run", "--resume", "--trial") as again:
        until(again, "nothing was called for")


def test_a_steps_own_name_makes_no_fog_test(folder):
    from assistant.cli.fog import _card
    from assistant.printing.fog_test import is_fog_test
    from assistant.recipe.loader import loads

    named = CARD.replace("expose: {time: 1 s}", "expose: {time: 1 s, name: Fog test}")
    assert not is_fog_test(loads(named).recipe)
    (folder / "paper.yaml").write_text(CARD.replace("trays:", "paper: {name: barite}\ntrays:"))
    assert is_fog_test(_card(Path("paper.yaml"), "paper").loaded.recipe)


def test_the_second_flash_is_said_when_the_last_strip_has_had_its_time():
    from assistant.conductor.conductor import Conductor
    from assistant.conductor.twins import NoJournal, RecordingDesk
    from assistant.devices.clock import JumpingClock
    from assistant.printing.fog_test import STRIP, SecondFlash
    from assistant.printing.recipe_file import score_of
    from assistant.recipe.loader import loads
    from assistant.recipe.strip_card import strip_card
    from assistant.score import words
    from assistant.session.advance import open_bench
    from assistant.session.happenings import Tap

    clock, desk = JumpingClock(), RecordingDesk()
    conductor = Conductor(open_bench(score_of(loads(strip_card(CARD, STRIP, name="Fog test")), None)), clock, desk, NoJournal())
    conductor.asides.append(SecondFlash(lambda: conductor.bench))
    conductor.open()
    said_at = lit = None
    for _ in range(2_000):
        clock.jump(clock.now() + 500)
        desk.until(clock.now())
        conductor.beat()
        if not conductor.bench.copy(1).stays and lit is None and not conductor.tell(Tap()).refused:
            lit = clock.now()
        if said_at is None and any(cue.words == words.FLASH_AGAIN for cue in desk.heard):
            said_at = clock.now()
    assert lit is not None
    assert said_at - lit == pytest.approx(8 * 60_000, abs=15_000)
    assert [cue.words for cue in desk.heard].count(words.FLASH_AGAIN) == 1
