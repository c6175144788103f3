"""The real desk and its helper on the sound rig: what does not come back, what can not be started, what ends with its app."""

import os
import signal
import subprocess
import sys
import time

import pytest

from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.score.cues import Cue, Passage
from assistant.sound_helper.main import DEAD_AFTER
from assistant.sound_helper.tones import make
from tests import waiting
from tests.rig import at_rig_rate, missing, onsets

pytestmark = [pytest.mark.rig, pytest.mark.skipif(bool(missing()), reason=missing() or "the rig is there")]


class FromNow:
    def __init__(self):
        self.zero = time.monotonic()

    def now(self):
        return round((time.monotonic() - self.zero) * 1000)

    def to_monotonic(self, at):
        return self.zero + at / 1000


@pytest.fixture
def clock():
    return FromNow()


def test_a_hushed_voice_does_not_come_back_with_another_helper(rig, clock):
    desk = Desk(clock, helper_settings(Settings(player="simpleaudio")))
    try:
        waiting.until(desk.health, "the helper")
        recording = rig.record()
        desk.give(Passage(1, tuple(Cue(at, "end", "", 1) for at in range(clock.now() + 500, clock.now() + 90_000, 1_000))))
        desk.give(Passage(2, tuple(Cue(at, "pip", "", 2) for at in range(clock.now() + 1_000, clock.now() + 90_000, 1_000))))
        desk.hush(1)
        desk._helper.process.kill()
        waiting.until(lambda: desk.starts == 2 and desk.health(), "another helper")
        waiting.until(lambda: onsets(recording.so_far(), at_rig_rate(make("now")), 0.5), "a pip")
        waiting.pause(1.0)
        desk.hush(2)
    finally:
        desk.close()
    samples, _ = recording.end()
    assert onsets(samples, at_rig_rate(make("end")), 0.5) == []


def test_a_helper_that_can_not_be_started_is_said_and_its_keeper_goes_on(rig, clock):
    desk = Desk(clock, helper_settings(Settings(output="a sign that no program's environment may have: \0")))
    try:
        waiting.until(lambda: "can't be started" in desk.trouble(), "a word of it")
        del desk._helper._env["PULSE_SINK"]
        waiting.until(desk.health, "the helper")
        assert desk.trouble() == ""
    finally:
        desk.close()


def test_a_helper_that_is_held_up_at_its_start_ends_with_its_app(rig):
    """The sound server takes the connection and never answers: the helper hangs while it opens the device."""
    settings = helper_settings(Settings(player="simpleaudio"))
    os.kill(rig.server.pid, signal.SIGSTOP)
    try:
        call = [sys.executable, "-m", "assistant.sound_helper.main", settings.as_line()]
        with subprocess.Popen(call, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as helper:
            waiting.pause(1.5)
            assert helper.poll() is None
            helper.stdin.close()
            assert helper.wait(waiting.LONGEST + DEAD_AFTER) in (0, -signal.SIGALRM)
    finally:
        os.kill(rig.server.pid, signal.SIGCONT)
