"""Sound that fails in the middle, with either player: the desk says so, and it comes back by itself."""

import os
import signal
import subprocess
import sys
import time

import pytest

from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.score.cues import Cue, Passage
from assistant.sound_helper.tones import make
from tests.rig import at_rig_rate, onsets

pytestmark = pytest.mark.rig


class Monotonic:
    """A session that began now."""

    def __init__(self):
        self.began = time.monotonic()

    def to_monotonic(self, at):
        return self.began + at / 1000

    def now(self):
        return round((time.monotonic() - self.began) * 1000)


@pytest.fixture(params=["simpleaudio", "stream"])
def desk(rig, monkeypatch, request):
    for key, value in rig.env.items():
        monkeypatch.setenv(key, value)
    listener = rig.record()  # a null sink that nobody listens to works in blocks of two seconds
    desk = Desk(Monotonic(), helper_settings(Settings(player=request.param)))
    until(lambda: desk.health() and desk.health().player == request.param and desk.trouble() == "")
    yield desk
    desk.close()
    listener.end()


def until(true, seconds=12.0):
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it never came to that"
        time.sleep(0.05)


def pips(desk, *moments):
    desk.give(Passage(1, tuple(Cue(at, "pip", "", 1, "develop") for at in moments)))


def test_a_killed_helper_is_replaced_and_told_again(rig, desk):
    recording = rig.record()
    now = desk._clock.now()
    pips(desk, now + 1500, now + 5000)
    until(lambda: desk._clock.now() > now + 2200)
    desk._process.kill()
    until(lambda: desk._clock.now() > now + 6000)
    samples, _ = recording.end()
    found = onsets(samples, at_rig_rate(make("now")), 0.7)
    assert len(found) == 2
    assert found[1] - found[0] == pytest.approx(3.5, abs=0.03)
    assert desk.starts == 2
    until(lambda: desk.trouble() == "")


def test_a_device_that_goes_is_said_and_found_again(rig, desk):
    rig.stop()
    try:
        now = desk._clock.now()
        pips(desk, *(now + 1000 * i for i in range(1, 9)))
        until(lambda: desk.trouble() != "", 15)
    finally:
        rig.start()
    until(lambda: desk.trouble() == "" and desk._clock.now() > now + 9000, 20)
    recording = rig.record()  # without a listener the null sink lags by two seconds: let that pass
    now = desk._clock.now()
    pips(desk, now + 4500)
    until(lambda: desk._clock.now() > now + 5500)
    samples, _ = recording.end()
    found = onsets(samples, at_rig_rate(make("now")), 0.7)
    assert [at for at in found if at > 3] == [pytest.approx(4.5, abs=0.1)]


def test_a_server_that_hangs_is_said_and_what_is_still_to_come_is_heard_once(rig, desk):
    recording = rig.record()
    helper = desk._process
    now = desk._clock.now()
    pips(desk, now + 1000, now + 3500, now + 4500, now + 13_000)
    until(lambda: desk._clock.now() > now + 2000)
    os.kill(rig.server.pid, signal.SIGSTOP)
    try:
        until(lambda: desk.trouble() != "")
        until(lambda: helper.poll() is not None)
        until(lambda: desk._clock.now() > now + 6000)
    finally:
        os.kill(rig.server.pid, signal.SIGCONT)
    until(lambda: desk.trouble() == "" and desk.health())
    assert desk.starts >= 2
    assert desk._clock.now() < now + 12_000, "it took too long to be back"
    afterwards = rig.record()
    until(lambda: desk._clock.now() > now + 14_000)
    (samples, _), (later, zero) = recording.end(), afterwards.end()
    tone = at_rig_rate(make("now"))
    assert len(onsets(samples, tone, 0.7)) == 2, "the two that fell into the silence are not made up for"
    found = [zero + at - desk._clock.began for at in onsets(later, tone, 0.7)]
    assert found == [pytest.approx((now + 13_000) / 1000, abs=0.1)]


def told(desk, seconds=8.0):
    """The moment since which something went unheard, once the desk knows."""
    end = time.monotonic() + seconds
    while (since := desk.unheard()) is None and time.monotonic() < end:
        time.sleep(0.05)
    return since


def test_pips_while_the_server_is_gone_are_told_as_unheard(rig, desk):
    now = desk._clock.now()
    first = now + 3000
    pips(desk, now + 1000, first, now + 6000)
    until(lambda: desk._clock.now() > now + 2000)
    rig.stop()
    try:
        assert told(desk) == first - 1
        assert told(desk) == now + 6000 - 1
    finally:
        rig.start()
    until(lambda: desk.trouble() == "" and desk.health(), 20)
    assert told(desk, 1.5) is None


def test_a_helper_killed_shortly_before_a_pip_either_sounds_it_or_tells(rig, desk):
    for before in (2000, 1500, 1000, 600, 200):
        recording = rig.record()
        now = desk._clock.now()
        pip = now + 3500
        pips(desk, pip)
        until(lambda pip=pip, before=before: desk._clock.now() > pip - before)
        desk._process.kill()
        until(lambda pip=pip: desk._clock.now() > pip + 500)
        until(lambda: desk.health() and desk.trouble() == "")
        since = told(desk, 2.0)
        samples, _ = recording.end()
        heard = len(onsets(samples, at_rig_rate(make("now")), 0.7))
        assert heard == 1 or since == pip - 1, f"killed {before} ms before"
        if before == 200:
            assert since == pip - 1, "no helper starts as fast as this"


FROZEN = """
import sys, time
from assistant.devices.clock import SessionClock
from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.score.cues import Cue, Passage
clock = SessionClock.begin()
desk = Desk(clock, helper_settings(Settings(player=sys.argv[1])))
while not desk.health():
    time.sleep(0.02)
pip = clock.now() + 3000
desk.give(Passage(1, (Cue(pip, "pip", "", 1),)))
print(desk._process.pid, flush=True)
while clock.now() < pip + 4000:
    time.sleep(0.05)
    if (since := desk.unheard()) is not None:
        print(since - pip, flush=True)
desk.close()
"""


@pytest.mark.parametrize("player", ["simpleaudio", "stream"])
def test_a_pip_while_app_and_helper_were_frozen_is_told_as_unheard(rig, player):
    listener = rig.record()
    with subprocess.Popen([sys.executable, "-c", FROZEN, player], env=rig.env, stdout=subprocess.PIPE, text=True) as app:
        try:
            frozen = [int(app.stdout.readline()), app.pid]
            time.sleep(1.0)
            for pid in frozen:
                os.kill(pid, signal.SIGSTOP)
            time.sleep(3.5)  # over the pip
            for pid in frozen:
                os.kill(pid, signal.SIGCONT)
            assert app.stdout.read().split() == ["-1"]
            assert app.wait(20) == 0
        finally:
            app.kill()
            listener.end()
