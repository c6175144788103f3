"""Sound that fails in the middle: the desk says so, and it comes back by itself."""

import time

import pytest

from assistant.devices.desk import Desk
from assistant.devices.settings import helper_settings
from assistant.devices.tones import make
from assistant.score.cues import Cue, Passage
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


@pytest.fixture
def desk(rig, monkeypatch):
    for key, value in rig.env.items():
        monkeypatch.setenv(key, value)
    desk = Desk(Monotonic(), {**helper_settings(), "player": "simpleaudio"})
    yield desk
    desk.close()


def until(true, seconds=12.0):
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it never came to that"
        time.sleep(0.05)


def pips(desk, *moments):
    desk.give(Passage(1, tuple(Cue(at, "pip", "", 1, "develop") for at in moments)))


def test_a_killed_helper_is_replaced_and_told_again(rig, desk):
    until(lambda: desk.health().get("player") == "simpleaudio")
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
    until(lambda: desk.health().get("player") == "simpleaudio" and desk.trouble() == "")
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
