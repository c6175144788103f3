"""What is handed to a player and when, under a clock that is moved by hand."""

import sys
import time
from types import SimpleNamespace

import numpy as np
import pytest

from assistant.places import shipped
from assistant.score.cues import Cue
from assistant.sound_helper.mixing import Mixer
from assistant.sound_helper.phrase_cache import PhraseCache
from assistant.sound_helper.players import ASLEEP_AFTER, SimpleaudioPlayer, cut_late
from assistant.sound_helper.sequencer import ANSWERED, COURTESY, Sequencer
from assistant.sound_helper.speech import Voice
from assistant.sound_helper.tones import RATE, make


class Tape:
    """A player that keeps what it was given, and when that is to begin."""

    name = "tape"

    def __init__(self):
        self.given, self.stopped, self.at_once = {}, [], []

    def at(self, begin, samples, number):
        self.given[number] = (round(begin * 1000), samples)

    def now(self, samples, number):
        self.at_once.append(samples)

    def stop(self, number):
        self.stopped.append(number)


class Stage:
    def __init__(self, folder, quiet=False):
        self.time, self.tape = 0, Tape()
        self.phrases = PhraseCache(folder, Voice())
        self.phrases.wait(["half way", "place paper"])
        mixer = Mixer(shipped("sounds"), folder, self.phrases)
        self.sequencer = Sequencer(self.tape, mixer, quiet, now=lambda: self.time / 1000)

    def run(self, until):
        while self.time < until:
            self.time += 100
            self.sequencer.work()


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Where the phrases are, spoken once."""
    return tmp_path_factory.mktemp("spoken")


@pytest.fixture
def stage(folder):
    return Stage(folder)


EXPOSURE = [Cue(2_000, "start"), *(Cue(2_000 + 1_000 * i, "tick") for i in range(1, 30)), Cue(32_000, "end")]


def test_a_whole_exposure_is_one_buffer_to_the_sample(stage):
    stage.sequencer.give(1, EXPOSURE)
    stage.run(33_000)
    ((begin, samples),) = stage.tape.given.values()
    assert begin == 2_000
    end = make("end")
    assert np.array_equal(samples[30 * RATE : 30 * RATE + len(end)], end)
    assert np.array_equal(samples[5 * RATE :][: len(make("tick"))], make("tick"))


def test_what_is_promised_again_goes_on_sounding_and_is_not_given_twice(stage):
    stage.sequencer.give(1, EXPOSURE)
    stage.run(5_000)
    stage.sequencer.give(1, [cue for cue in EXPOSURE if cue.at > 5_000])
    stage.run(33_000)
    assert stage.tape.stopped == []
    assert len(stage.tape.given) == 1


def test_what_is_no_longer_promised_is_taken_back(stage):
    stage.sequencer.give(1, EXPOSURE)
    stage.run(5_000)
    stage.sequencer.give(1, [])
    assert stage.tape.stopped == list(stage.tape.given)


def test_what_may_have_come_off_its_moments_is_begun_anew_from_its_next_tone_on(stage):
    stage.sequencer.give(1, [*EXPOSURE, Cue(8_000, "tell", "half way")])
    stage.sequencer.give(2, [Cue(5_500, "pip")])
    stage.run(5_100)
    assert len(stage.tape.given) == 2
    stage.sequencer.again()
    stage.run(33_000)
    assert stage.tape.stopped == [0], "the pip has not begun"
    assert [begin for begin, _ in stage.tape.given.values()] == [2_000, 5_500, 6_000]
    before, _, anew = (samples for _, samples in stage.tape.given.values())
    assert np.array_equal(anew, before[4 * RATE :])


def test_what_is_hushed_is_never_given(stage):
    stage.sequencer.give(1, [Cue(3_000, "pip")])
    stage.sequencer.hush(1)
    stage.run(4_000)
    assert stage.tape.given == {}


def test_after_a_stall_there_is_no_burst(stage):
    stage.sequencer.give(1, [Cue(2_000 * i, "pip") for i in range(1, 5)])
    stage.time = 6_500
    stage.run(9_000)
    assert [begin for begin, _ in stage.tape.given.values()] == [8_000]


def test_an_answer_sounds_at_once(stage):
    stage.time = 1_234
    stage.sequencer.say(Cue(1_200, "heard"))
    assert np.array_equal(stage.tape.at_once[0], make("heard"))


def test_quiet_leaves_only_what_must_be_acted_on(folder):
    stage = Stage(folder, quiet=True)
    stage.sequencer.give(1, [Cue(2_000, "call", "half way"), Cue(5_000, "pip")])
    stage.run(6_000)
    assert [begin for begin, _ in stage.tape.given.values()] == [5_000]


def test_a_warning_that_has_no_voice_is_a_tone(tmp_path):
    stage = Stage(tmp_path)
    stage.phrases._mute["half way"] = time.monotonic()
    stage.phrases._file("half way").unlink()
    stage.sequencer.give(1, [Cue(3_000, "call", "half way")])
    stage.run(4_000)
    ((begin, samples),) = stage.tape.given.values()
    assert begin == 3_000
    assert np.array_equal(samples, make("look"))


def test_a_late_buffer_is_cut_at_its_front_so_that_the_rest_stays_in_place():
    samples = np.full(RATE, 1_000, np.int16)
    rest = cut_late(samples, 0.25)
    assert len(rest) == RATE - RATE // 4
    assert rest[0] == 0
    assert rest[RATE // 200] == 1_000
    assert np.shares_memory(rest, samples)
    assert cut_late(samples, -1.0) is samples


def test_what_wakes_an_output_is_put_before_a_long_buffer_while_the_players_thread_goes_on(monkeypatch):
    monkeypatch.setitem(sys.modules, "simpleaudio", SimpleNamespace(play_buffer=lambda *given: None))
    player, held, join = SimpleaudioPlayer(), [], np.concatenate
    monkeypatch.setattr(np, "concatenate", lambda parts: held.append(player._changed._is_owned()) or join(parts))
    player.at(time.monotonic() + 2 * ASLEEP_AFTER, np.zeros(180 * RATE, np.int16), 1)
    player.stop(1)
    assert held == [False]


def test_talk_waits_for_somebody_who_speaks_and_the_pip_does_not(stage):
    stage.sequencer.listening(True)
    stage.sequencer.give(1, [Cue(3_000, "tell", "half way"), Cue(4_000, "pip")])
    stage.run(4_900)
    assert [begin for begin, _ in stage.tape.given.values()] == [4_000]
    stage.sequencer.listening(False)
    stage.run(6_000)
    begin, _ = list(stage.tape.given.values())[-1]
    assert len(stage.tape.given) == 2
    assert begin >= 4_900


def test_talk_waits_no_longer_than_a_command_lasts(stage):
    stage.sequencer.listening(True)
    stage.sequencer.give(1, [Cue(3_000, "tell", "half way")])
    stage.run(3_000 + COURTESY - 100)
    assert not stage.tape.given
    stage.run(3_000 + COURTESY + 100)
    assert len(stage.tape.given) == 1


REMINDER, ANSWER = "half way", "place paper"


def spoken(stage):
    """The phrases that sounded, in order."""
    words = {phrase: stage.phrases.samples(phrase) for phrase in (REMINDER, ANSWER)}
    given = sorted(stage.tape.given.values(), key=lambda pair: pair[0])
    return [next(name for name, heard in words.items() if np.array_equal(heard, samples)) for _, samples in given]


@pytest.mark.parametrize("asked", [1_000, COURTESY - 100, COURTESY + 500])
def test_what_was_held_back_follows_the_answer_to_what_was_asked_meanwhile(stage, asked):
    stage.sequencer.give(1, [Cue(3_000, "tell", REMINDER)])
    stage.run(2_000)
    stage.sequencer.listening(True)
    stage.run(3_000 + asked)
    said_over = spoken(stage)  # talk waits no longer than a command lasts
    stage.sequencer.listening(False)
    stage.run(stage.time + 100)
    stage.sequencer.say(Cue(stage.time, "tell", ANSWER))
    stage.run(9_000)
    assert spoken(stage) == [*said_over, ANSWER, *([] if said_over else [REMINDER])]
    assert bool(said_over) == (asked > COURTESY)


def test_what_was_held_back_is_not_said_where_the_answer_made_it_untrue(stage):
    stage.sequencer.give(1, [Cue(3_000, "tell", REMINDER)])
    stage.sequencer.listening(True)
    stage.run(4_000)
    stage.sequencer.listening(False)
    stage.run(4_000 + ANSWERED - 100)
    stage.sequencer.give(1, [])
    stage.run(9_000)
    assert not stage.tape.given


def test_talk_waits_for_an_answer_that_is_still_to_be_spoken(stage, monkeypatch):
    samples = stage.phrases.samples
    monkeypatch.setattr(stage.phrases, "samples", lambda words: None if words == ANSWER else samples(words))
    stage.sequencer.give(1, [Cue(2_500, "tell", REMINDER), Cue(3_500, "pip")])
    stage.sequencer.listening(True)
    stage.run(2_900)
    stage.sequencer.listening(False)
    stage.sequencer.say(Cue(stage.time, "tell", ANSWER))
    stage.run(4_000)
    assert [begin for begin, _ in stage.tape.given.values()] == [3_500]
    stage.tape.given.clear()
    monkeypatch.undo()
    stage.run(9_000)
    assert spoken(stage) == [ANSWER, REMINDER]


def test_when_its_words_sound_is_told_as_they_are_handed_over_and_of_tones_nothing(stage):
    stage.sequencer.give(1, [Cue(3_000, "tell", "half way"), Cue(9_000, "pip")])
    stage.run(2_000)
    assert not list(stage.sequencer.spoken())
    stage.run(3_000)
    ((begin, end),) = stage.sequencer.spoken()
    assert begin >= 2_000
    assert 300 < end - begin < 2_000
    stage.run(10_000)
    assert not list(stage.sequencer.spoken())
