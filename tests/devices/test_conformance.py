"""What a conductor may count on with any sound desk: the real one over either player, and the recording one.

The real ones play into the sound rig and are judged by what is found in its recording; moments are ms.
"""

import time

import pytest

from assistant.conductor.ports import SoundDesk
from assistant.conductor.twins import RecordingDesk
from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.score.cues import KINDS, Cue, Passage
from assistant.sound_helper.tones import make
from tests import waiting
from tests.rig import at_rig_rate, onsets

JUDGED = ("start", "end", "pip", "move")


class Sounding:
    """The real desk: time passes by itself, what was heard is found in the recording."""

    def __init__(self, rig, player):
        self.rig, self.zero = rig, time.monotonic()
        self.desk = Desk(self, helper_settings(Settings(player=player)))
        waiting.until(self.desk.health, "the helper")

    def now(self):
        return round((time.monotonic() - self.zero) * 1000)

    def to_monotonic(self, at):
        return self.zero + at / 1000

    def listen(self):
        self.recording = self.rig.record()

    def run(self, until):
        waiting.pause(self.to_monotonic(until) - time.monotonic())

    def heard(self):
        samples, zero = self.recording.judged()
        self.near = self.recording.near * 1000
        tones = {kind: at_rig_rate(make(KINDS[kind].tone)) for kind in JUDGED}
        found = [(round((zero + at - self.zero) * 1000), kind) for kind in JUDGED for at in onsets(samples, tones[kind], 0.7)]
        return sorted(found)


class Kept:
    """The recording desk: time passes when it is told to, and every cue is on its moment."""

    near = 0

    def __init__(self):
        self.desk, self.time = RecordingDesk(), 0

    def now(self):
        return self.time

    def listen(self):
        self.run(self.time)
        self.before = len(self.desk.heard)

    def run(self, until):
        self.time = until
        self.desk.until(until)

    def heard(self):
        return [(cue.at, cue.kind) for cue in self.desk.heard[self.before :] if cue.kind in JUDGED]


REAL = [
    pytest.param(player, marks=[pytest.mark.rig, pytest.mark.xdist_group(f"desk over {player}")])
    for player in ("simpleaudio", "stream")
]


@pytest.fixture(scope="module", params=[*REAL, "recording"])
def stage(request):
    if request.param in ("simpleaudio", "stream"):
        if request.param == "stream":
            pytest.importorskip("sounddevice")
        stage = Sounding(request.getfixturevalue("rig"), request.param)
        yield stage
        stage.desk.close()
    else:
        yield Kept()


def hears(stage, *wanted):
    """Just these sounds, in this order, at these moments."""
    heard = stage.heard()
    assert [kind for _, kind in heard] == [kind for _, kind in wanted], (heard, wanted)
    assert all(abs(a - b) <= stage.near for (a, _), (b, _) in zip(heard, wanted, strict=True)), (heard, wanted)


def begin(stage):
    """A moment from which on cues can be promised, in a stage where nothing is left of before."""
    for voice in range(9):
        stage.desk.hush(voice)
    stage.run(stage.now() + 300)
    stage.listen()
    return stage.now() + 700


def passage(voice, *cues):
    return Passage(voice, tuple(Cue(at, kind, "", voice) for at, kind in cues))


def test_it_is_a_sound_desk_and_all_is_well(stage):
    desk: SoundDesk = stage.desk
    assert desk.trouble() == ""


def test_a_passage_is_heard_at_its_moments(stage):
    at = begin(stage)
    stage.desk.give(passage(1, (at, "start"), (at + 700, "end")))
    stage.run(at + 1_300)
    hears(stage, (at, "start"), (at + 700, "end"))


def test_a_passage_takes_the_place_of_what_was_left_of_its_voice_and_of_no_other(stage):
    at = begin(stage)
    stage.desk.give(passage(1, (at, "start"), (at + 2_200, "pip")))
    stage.desk.give(passage(2, (at + 1_700, "end")))
    stage.run(at + 500)
    stage.desk.give(passage(1, (at + 1_200, "move")))
    stage.run(at + 2_800)
    hears(stage, (at, "start"), (at + 1_200, "move"), (at + 1_700, "end"))


def test_what_is_hushed_is_not_heard_and_others_are(stage):
    at = begin(stage)
    stage.desk.give(passage(1, (at, "start"), (at + 500, "pip")))
    stage.desk.give(passage(2, (at + 700, "end")))
    stage.desk.hush(1)
    stage.desk.hush(7)
    stage.run(at + 1_300)
    hears(stage, (at + 700, "end"))


def test_the_same_passage_given_again_is_heard_once(stage):
    at = begin(stage)
    same = passage(1, (at, "start"), (at + 400, "move"), (at + 1_500, "pip"))
    stage.desk.give(same)
    stage.desk.give(same)
    stage.run(at + 550)  # in the middle of its sounding
    stage.desk.give(same)
    stage.run(at + 2_200)
    hears(stage, (at, "start"), (at + 400, "move"), (at + 1_500, "pip"))


def test_what_is_past_is_never_made_up_for(stage):
    begin(stage)
    stage.run(stage.now() + 400)
    now = stage.now()
    stage.desk.give(passage(1, *((now - ms, "pip") for ms in (9_000, 6_000, 3_000, 2_000)), (now + 900, "end")))
    stage.run(now + 1_500)
    hears(stage, (now + 900, "end"))


def test_an_answer_is_heard_at_once_and_stops_nothing(stage):
    at = begin(stage)
    stage.desk.give(passage(1, (at + 700, "end")))
    stage.run(at)
    stage.desk.say(Cue(at, "move"))
    stage.run(at + 1_300)
    hears(stage, (at, "move"), (at + 700, "end"))


def test_what_was_sounded_is_not_told_as_unheard(stage):
    at = begin(stage)
    stage.desk.give(passage(1, (at, "start"), (at + 700, "pip")))
    stage.run(at + 2_500)
    assert stage.desk.unheard() is None


def test_health_says_what_plays_and_since_when_it_is_silent(stage):
    if not isinstance(stage, Sounding):
        pytest.skip("only a desk with a helper has one")
    health = stage.desk.health()
    assert health.player in ("simpleaudio", "stream")
    assert health.complaint == ""
    assert 0 <= health.age < 1
    assert health.since <= health.until <= time.monotonic()


@pytest.mark.rig
def test_closed_twice_and_spoken_to_afterwards_it_does_nothing(rig):
    stage = Sounding(rig, "simpleaudio")
    process = stage.desk._helper.process
    stage.desk.close()
    stage.desk.close()
    assert process.poll() is not None
    stage.desk.give(passage(1, (stage.now() + 100, "pip")))
    stage.desk.hush(1)
    stage.desk.say(Cue(stage.now(), "heard"))
    assert isinstance(stage.desk.trouble(), str)
