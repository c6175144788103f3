"""The real desk, its helper and simpleaudio on the sound rig: what was given is found in the recording at its moments."""

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
from tests.rig import Rig, at_rig_rate, missing, onsets

pytestmark = [pytest.mark.rig, pytest.mark.skipif(bool(missing()), reason=missing() or "the rig is there")]
NEAR = 40
"""Software timing on a shared machine, ms: order, count and spacing are what is judged."""


class FromNow:
    def __init__(self):
        self.zero = time.monotonic()

    def now(self):
        return round((time.monotonic() - self.zero) * 1000)

    def to_monotonic(self, at):
        return self.zero + at / 1000

    def until(self, true, seconds=12.0):
        end = time.monotonic() + seconds
        while not true():
            assert time.monotonic() < end, "it did not come to this in time"
            time.sleep(0.02)


@pytest.fixture
def rig(monkeypatch):
    rig = Rig().start()
    for key, value in rig.env.items():
        monkeypatch.setenv(key, value)
    yield rig
    rig.close()


@pytest.fixture
def clock():
    return FromNow()


@pytest.fixture
def desk(rig, clock):
    desk = Desk(clock, helper_settings(Settings(player="simpleaudio")))
    clock.until(desk.health)
    yield desk
    desk.close()


def found(recording, clock, name, least=0.5):
    samples, zero = recording.end()
    return [round((zero + at - clock.zero) * 1000) for at in onsets(samples, at_rig_rate(make(name)), least)]


def test_a_turn_is_heard_at_its_moments_with_nothing_missing_and_nothing_more(rig, clock, desk):
    recording = rig.record()
    begin = clock.now() + 1_000
    moments = [begin, begin + 1_000, begin + 2_500]
    desk.give(Passage(1, tuple(Cue(at, "pip", "", 1) for at in moments)))
    desk.give(Passage(2, (Cue(begin + 500, "pip", "", 2),)))
    desk.hush(2)
    clock.until(lambda: clock.now() > moments[-1] + 600)
    heard = found(recording, clock, "now")
    assert len(heard) == len(moments)
    assert all(abs(a - b) <= NEAR for a, b in zip(heard, moments, strict=True)), (heard, moments)
    assert desk.trouble() == ""


def heard_once_by_another_helper(recording, clock, desk, late):
    """The pip at `late` is sounded, once and in time, by the helper that took the place of the first."""
    clock.until(lambda: desk.starts == 2 and desk.health())
    clock.until(lambda: clock.now() > late + 600)
    heard = found(recording, clock, "now")
    assert len(heard) == 1
    assert abs(heard[0] - late) <= NEAR


def test_a_killed_helper_is_back_and_what_was_still_to_come_is_heard_once(rig, clock, desk):
    recording = rig.record()
    late = clock.now() + 4_000
    desk.give(Passage(1, (Cue(late - 3_900, "lift", "", 1), Cue(late, "pip", "", 1))))
    clock.until(lambda: clock.now() > late - 3_000)
    desk._process.kill()
    heard_once_by_another_helper(recording, clock, desk, late)


def test_a_helper_that_stands_still_is_replaced(rig, clock, desk):
    recording = rig.record()
    late = clock.now() + 6_000
    desk.give(Passage(1, (Cue(late, "pip", "", 1),)))
    os.kill(desk._process.pid, signal.SIGSTOP)
    heard_once_by_another_helper(recording, clock, desk, late)


def test_a_lost_device_is_said_and_found_again(rig, clock, desk):
    rig.stop()
    clock.until(lambda: desk.trouble().startswith("No sound"), 20)
    rig.start()
    clock.until(lambda: desk.trouble() == "" and desk.health(), 20)


def test_a_hushed_voice_does_not_come_back_with_another_helper(rig, clock, desk):
    recording = rig.record()
    late = clock.now() + 5_000
    desk.give(Passage(1, (Cue(late - 500, "end", "", 1),)))
    desk.give(Passage(2, (Cue(late, "pip", "", 2),)))
    desk.hush(1)
    desk._process.kill()
    clock.until(lambda: desk.starts == 2 and desk.health())
    clock.until(lambda: clock.now() > late + 600)
    samples, _ = recording.end()
    assert len(onsets(samples, at_rig_rate(make("now")), 0.5)) == 1
    assert onsets(samples, at_rig_rate(make("end")), 0.5) == []


def test_a_helper_that_can_not_be_started_is_said_and_its_keeper_goes_on(rig, clock):
    desk = Desk(clock, helper_settings(Settings(output="a sign that no program's environment may have: \0")))
    try:
        clock.until(lambda: "can't be started" in desk.trouble())
        desk._settings = helper_settings(Settings(player="simpleaudio"))
        clock.until(desk.health, 20)
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
            time.sleep(1.5)
            assert helper.poll() is None
            helper.stdin.close()
            assert helper.wait(2 * DEAD_AFTER) in (0, -signal.SIGALRM)
    finally:
        os.kill(rig.server.pid, signal.SIGCONT)


def test_the_helper_ends_with_its_app(rig, clock, desk):
    helper = desk._process
    desk._running = False
    helper.stdin.close()
    assert helper.wait(3) == 0
