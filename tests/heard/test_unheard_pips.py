"""Pips that nobody heard, because sound failed over them: the desk knows each, and tells since when it was silent."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.score.cues import Cue, Passage
from assistant.sound_helper.tones import make
from tests import waiting
from tests.rig import at_rig_rate, onsets

pytestmark = pytest.mark.rig
ROOT = Path(__file__).parents[2]


class Monotonic:
    """A session that began now."""

    def __init__(self):
        self.began = time.monotonic()

    def to_monotonic(self, at):
        return self.began + at / 1000

    def now(self):
        return round((time.monotonic() - self.began) * 1000)

    def reach(self, at):
        waiting.pause((at - self.now()) / 1000)


@pytest.fixture
def clock():
    return Monotonic()


@pytest.fixture(params=["simpleaudio", "stream"])
def desk(rig, clock, monkeypatch, request):
    for key, value in rig.env.items():
        monkeypatch.setenv(key, value)
    desk = Desk(clock, helper_settings(Settings(player=request.param)))
    try:
        waiting.until(lambda: desk.health() and desk.health().player == request.param and not desk.trouble(), "the player")
        yield desk
    finally:
        desk.close()


def pips(desk, *moments):
    desk.give(Passage(1, tuple(Cue(at, "pip", "", 1, "develop") for at in moments)))


def told(desk):
    """The moment since which something went unheard, once the desk knows."""
    return waiting.until(desk.unheard, "a word of what went unheard")


def test_pips_while_the_server_is_gone_are_told_as_unheard(rig, clock, desk):
    now = clock.now()
    first, second = now + 3000, now + 6000
    pips(desk, now + 1000, first, second)
    clock.reach(now + 2000)
    rig.stop()
    gone = clock.now()  # on a busy machine the first may have sounded by then
    try:
        since = [told(desk)]  # on a busy machine the pip before the first may have been too late, which is told as well
        while since[-1] != second - 1:
            since.append(told(desk))
        assert since[0] < first or gone >= first, since
    finally:
        rig.start()
    waiting.until(lambda: desk.trouble() == "" and desk.health(), "the device again")
    waiting.pause(1.5)
    assert desk.unheard() is None


@pytest.mark.parametrize("before", [2000, 1000, 200])
def test_a_helper_killed_shortly_before_a_pip_either_sounds_it_or_tells(rig, clock, desk, before):
    recording = rig.record()
    pip = clock.now() + 3500
    pips(desk, pip)
    clock.reach(pip - before)
    desk._helper.process.kill()
    clock.reach(pip + 500)
    waiting.until(lambda: desk.health() and desk.trouble() == "", "another helper")
    waiting.pause(2.0)
    since = desk.unheard()
    samples, _ = recording.judged()
    heard = len(onsets(samples, at_rig_rate(make("now")), 0.7))
    assert heard == 1 or since == pip - 1
    if before == 200:
        assert since == pip - 1, "no helper starts as fast as this"


FROZEN = """
import sys
from assistant.devices.clock import SessionClock
from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.score.cues import Cue, Passage
from tests.waiting import pause, until
clock = SessionClock.begin()
desk = Desk(clock, helper_settings(Settings(player=sys.argv[1])))
until(desk.health)
pip = clock.now() + 3000
desk.give(Passage(1, (Cue(pip, "pip", "", 1),)))
print(desk._helper.process.pid, flush=True)
print(until(desk.unheard) - pip, flush=True)
pause(1.0)
print(desk.unheard(), flush=True)
desk.close()
"""


@pytest.mark.parametrize("player", ["simpleaudio", "stream"])
def test_a_pip_while_app_and_helper_were_frozen_is_told_as_unheard(rig, player):
    call, pipes = [sys.executable, "-c", FROZEN, player], {"env": rig.env, "cwd": ROOT, "stdout": subprocess.PIPE}
    with subprocess.Popen(call, text=True, **pipes) as app:
        try:
            frozen = [int(app.stdout.readline()), app.pid]
            waiting.pause(1.0)
            for pid in frozen:
                os.kill(pid, signal.SIGSTOP)
            waiting.pause(3.5)  # over the pip
            for pid in frozen:
                os.kill(pid, signal.SIGCONT)
            assert app.stdout.read().split() == ["-1", "None"]
            assert app.wait(waiting.LONGEST) == 0
        finally:
            app.kill()
