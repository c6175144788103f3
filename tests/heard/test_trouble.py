"""Sound that fails in the middle, with either player: the desk says so, and it comes back by itself.

A pip is promised for every second, or every other, for longer than any of it takes: what is heard are pips at their moments,
none twice, and none is missing while all is well. How soon that is again is nobody's promise here.
"""

import os
import signal
import time

import pytest

from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.score.cues import Cue, Passage
from assistant.sound_helper.tones import make
from tests import waiting
from tests.rig import at_rig_rate, onsets

pytestmark = [pytest.mark.rig, pytest.mark.quiet]
SETTLED = 2.5
"""Seconds after which a null sink that has just begun, and so works in blocks of two seconds, plays in time."""


class Monotonic:
    """A session that began now."""

    def __init__(self):
        self.began = time.monotonic()

    def to_monotonic(self, at):
        return self.began + at / 1000

    def now(self):
        return round((time.monotonic() - self.began) * 1000)


class Pips:
    """A desk that was promised pips for five minutes, and what is heard of it."""

    def __init__(self, rig, desk, clock):
        self.rig, self.desk, self.clock = rig, desk, clock
        self.promise(1_000)

    def promise(self, every):
        """So many ms from one pip to the next; those of every second are one buffer, as in an exposure."""
        self.every, self.first = every, self.clock.now() + 1_500
        self.moments = range(self.first, self.first + 300_000, every)
        self.desk.give(Passage(1, tuple(Cue(at, "pip", "", 1, "develop") for at in self.moments)))

    def until_well(self, starts):
        waiting.until(lambda: self.desk.starts >= starts and self.desk.health() and not self.desk.trouble(), "the sound")

    def pass_by(self, seconds):
        """Let time pass; from when to when, ms."""
        begun = self.clock.now()
        waiting.pause(seconds)
        return begun, self.clock.now()

    def heard(self, recording, *whole, since=0):
        """No pip but at its moment, none twice, and in these spans every one; what was recorded `since` a moment counts."""
        samples, _ = recording.judged()
        near = recording.near * 1000
        times = [(recording.when(at) - self.clock.began) * 1000 for at in onsets(samples, at_rig_rate(make("now")), 0.7)]
        found = [at for at in times if at > since]
        nearest = [round((at - self.first) / self.every) * self.every + self.first for at in found]
        assert len(set(nearest)) == len(nearest), found
        assert [round(at - moment) for at, moment in zip(found, nearest, strict=True) if abs(at - moment) > near] == []
        wanted = {at for begun, over in whole for at in self.moments if begun < at < over - 300}
        assert wanted
        assert wanted <= set(nearest)


@pytest.fixture(params=["simpleaudio", "stream"])
def pips(rig, monkeypatch, request):
    for key, value in rig.env.items():
        monkeypatch.setenv(key, value)
    clock = Monotonic()
    desk = Desk(clock, helper_settings(Settings(player=request.param)))
    try:
        waiting.until(lambda: desk.health() and desk.health().player == request.param and not desk.trouble(), "the player")
        yield Pips(rig, desk, clock)
        desk.hush(1)
    finally:
        desk.close()


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGSTOP], ids=["killed", "standing still"])
def test_a_helper_that_fails_is_replaced_and_told_again(rig, pips, how):
    recording = rig.record()
    before = pips.pass_by(2.5)
    os.kill(pips.desk._helper.process.pid, how)
    pips.until_well(starts=2)
    pips.pass_by(1.0)
    pips.heard(recording, before, pips.pass_by(2.5))


@pytest.mark.parametrize("pips", ["simpleaudio"], indirect=True)
def test_a_helper_that_stood_still_for_a_moment_leaves_nothing_late_behind(rig, pips):
    recording = rig.record()
    pips.pass_by(2.5)
    os.kill(pips.desk._helper.process.pid, signal.SIGSTOP)
    pips.pass_by(0.5)
    os.kill(pips.desk._helper.process.pid, signal.SIGCONT)
    _, settled = pips.pass_by(1.5)
    pips.until_well(starts=1)
    pips.heard(recording, pips.pass_by(2.5), since=settled)


def test_a_device_that_goes_is_said_and_found_again(rig, pips):
    pips.promise(2_000)  # a buffer that began in the sink's first block stays as late as that made it
    rig.stop()
    try:
        waiting.until(lambda: pips.desk.trouble() != "", "a word of it")
    finally:
        rig.start()
    pips.until_well(starts=1)
    recording = rig.record()
    _, settled = pips.pass_by(SETTLED)
    pips.heard(recording, pips.pass_by(2.5), since=settled)


def test_a_server_that_hangs_is_said_and_nothing_is_made_up_for(rig, pips):
    helper = pips.desk._helper.process
    os.kill(rig.server.pid, signal.SIGSTOP)
    try:
        waiting.until(lambda: pips.desk.trouble() != "", "a word of it")
        waiting.until(lambda: helper.poll() is not None, "the end of the helper")
    finally:
        os.kill(rig.server.pid, signal.SIGCONT)
    pips.until_well(starts=2)
    recording = rig.record()
    _, settled = pips.pass_by(SETTLED)
    pips.heard(recording, pips.pass_by(2.5), since=settled)


def test_the_helper_ends_with_its_app(pips):
    helper = pips.desk._helper.process
    pips.desk._running = False
    helper.stdin.close()
    assert helper.wait(waiting.LONGEST) == 0
