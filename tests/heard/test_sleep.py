"""A computer that sleeps: nothing is made up for, one sentence says so, and what is still to come keeps its moments.

The sleep itself is a computer's clock that is set forward by hand, which no test can do to the real one; the desk, its
helper and what is heard are the real ones. A computer that has slept before is had for real, in a time namespace.
"""

import json
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.conductor.conductor import Conductor
from assistant.devices.clock import MS, ComputerTime, SessionClock
from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.session import happenings as h
from assistant.session.advance import open_bench
from assistant.session.place import Called
from assistant.sound_helper.tones import make
from tests import waiting
from tests.records.memory_journal import MemoryJournal
from tests.rig import RATE, at_rig_rate, onsets
from tests.session import cards

pytestmark = pytest.mark.rig
NAP = 240_000


class Sleepy(ComputerTime):
    """The computer's own clocks, with a sleep in between that only the one of them counts that counts sleep."""

    def __init__(self):
        super().__init__()
        self.asleep = 0

    def since_boot(self):
        return super().since_boot() + self.asleep * MS


class Overheard(Desk):
    """A real desk that also remembers the answers it was given."""

    def __init__(self, *args):
        self.answers = []
        super().__init__(*args)

    def say(self, cue):
        self.answers.append(cue)
        super().say(cue)


@pytest.fixture
def session(rig, monkeypatch):
    for key, value in rig.env.items():
        monkeypatch.setenv(key, value)
    piece = Sleepy()
    clock = SessionClock.begin(piece)
    desk = Overheard(clock, helper_settings(Settings(player="simpleaudio")))
    conductor = Conductor(open_bench(cards.proof()), clock, desk, MemoryJournal(clock))
    conductor.open()
    until(conductor, lambda: desk.health())
    yield conductor, desk, piece, rig
    desk.close()


def until(conductor, true):
    def beaten():
        conductor.beat()
        return true()

    waiting.until(beaten)


def into_the_developer(conductor):
    """Through the exposure, at its true length."""
    under_the_lamp(conductor)
    until(conductor, lambda: asked(conductor) and not conductor.bench.copy(1).boxed)
    conductor.tell(h.Tap())


def asked(conductor):
    return any(ask.at <= conductor.now() for ask in conductor.bench.asks)


def under_the_lamp(conductor):
    until(conductor, lambda: asked(conductor))
    conductor.tell(h.Tap())


def test_a_sleep_in_a_bath_is_one_sentence_and_no_burst(session):
    conductor, desk, piece, rig = session
    into_the_developer(conductor)
    until(conductor, lambda: len(desk.answers) >= 2)
    waiting.pause(1.0)
    given, starts = len(desk.answers), desk.starts
    recording = rig.record()
    piece.asleep += NAP
    until(conductor, lambda: desk.starts > starts and desk.health() and desk.trouble() == "")
    began = time.monotonic()
    until(conductor, lambda: time.monotonic() > began + 3)
    samples, _ = recording.judged()
    (sentence,) = desk.answers[given:]
    assert "four minutes" in sentence.words
    assert "developer" in sentence.words
    for tone in ("now", "lift", "agitate"):
        assert onsets(samples, at_rig_rate(make(tone)), 0.7) == [], f"{tone} is made up for"
    assert isinstance(conductor.bench.copy(1).place, Called), "a hand has to say that the print was moved"


def test_a_sleep_during_an_exposure_voids_it_and_its_ticks_stop(session):
    conductor, desk, piece, rig = session
    under_the_lamp(conductor)
    until(conductor, lambda: conductor.bench.copy(1).since is not None)
    piece.asleep += NAP
    conductor.beat()
    assert conductor.bench.copy(1).void
    until(conductor, lambda: desk.starts > 1 and desk.health() and desk.trouble() == "")
    recording = rig.record()
    began = time.monotonic()
    until(conductor, lambda: time.monotonic() > began + 3)
    samples, _ = recording.judged()
    assert onsets(samples, at_rig_rate(make("tick")), 0.8) == []
    assert onsets(samples, at_rig_rate(make("end")), 0.7) == []


PIPS = """
import json, sys, time
from assistant.devices.clock import SessionClock
from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.score.cues import Cue, Passage
from tests.waiting import until
clock = SessionClock.begin()
desk = Desk(clock, helper_settings(Settings(player=sys.argv[1])))
until(desk.health)
moments = [clock.now() + 1500 + 700 * i for i in range(3)]
desk.give(Passage(1, tuple(Cue(at, "pip", "", 1) for at in moments)))
slept = time.clock_gettime(time.CLOCK_BOOTTIME) - time.monotonic()
print(json.dumps([slept, [clock.to_monotonic(at) for at in moments]]), flush=True)
sys.stdin.read()
desk.close()
"""
HEARD_OUT = 2.0
"""Seconds that are recorded after the last moment."""
SLEPT = 200_000
ROOT = Path(__file__).parents[2]


def namespace():
    """How a program is run on a computer that has slept for so long, [] where that can't be had."""
    call = ["unshare", "-T", "--boottime", str(SLEPT)]
    try:
        able = subprocess.run([*call, "true"], capture_output=True, check=False).returncode == 0
    except OSError:
        able = False
    return call if able and sys.platform == "linux" else []


@pytest.mark.skipif(not namespace(), reason="no time namespaces here: that needs Linux, root and unshare -T")
@pytest.mark.parametrize("player", ["simpleaudio", "stream"])
def test_on_a_computer_that_has_slept_for_days_sounds_fall_on_their_moments(rig, player):
    recording = rig.record()
    call = [*namespace(), sys.executable, "-c", PIPS, player]
    pipe = subprocess.PIPE
    with subprocess.Popen(call, env=rig.env, cwd=ROOT, stdin=pipe, stdout=pipe, text=True) as program:
        assert program.stdout is not None
        slept, moments = json.loads(program.stdout.readline())
        over = recording.count + (moments[-1] - time.monotonic() + HEARD_OUT) * RATE
        waiting.until(lambda: recording.count > over, "what is recorded after the last moment")
    samples, _ = recording.judged()
    assert slept > SLEPT - 1
    heard = [recording.when(at) for at in onsets(samples, at_rig_rate(make("now")), 0.7)]
    assert heard == [pytest.approx(at, abs=recording.near) for at in moments]
