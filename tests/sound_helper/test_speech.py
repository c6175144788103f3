"""Speech: made by the real engine, levelled, understood by an independent recogniser; kept, and failing in words."""

import os
import subprocess
import sys
from collections import Counter
from pathlib import Path
from unittest import mock

import numpy as np
import pytest

from assistant.score.words import span
from assistant.sound_helper import phrase_cache
from assistant.sound_helper.loudness import CEILING, TARGET, level, loudness
from assistant.sound_helper.phrase_cache import MUTE, PhraseCache
from assistant.sound_helper.speech import Speaker, Voice, kept_as, resampled, trimmed
from assistant.sound_helper.tones import RATE
from tests import waiting
from tests.sound_helper.noises import pink
from tests.sound_helper.said import Ear, plain, sentences

pytestmark = pytest.mark.xdist_group("speech")


def spoken_in(folder, said):
    """Each of these sentences, -1 to 1, as the helper's own phrases give it."""
    phrases = PhraseCache(folder, Voice(), voices=2)
    with mock.patch.object(phrase_cache, "PATIENCE", waiting.LONGEST):  # a busy machine is no fault of the voice
        for words in said:
            phrases.wait([words])
    assert phrases.complaint == ""
    return {words: phrases.samples(words) / 32768 for words in said}


@pytest.fixture(scope="module")
def spoken(tmp_path_factory):
    return spoken_in(tmp_path_factory.mktemp("spoken"), sentences()[::3])


@pytest.fixture(scope="module")
def ear():
    return Ear(sentences())


def in_noise(samples, decibels, rng):
    """Half as loud, with pink noise so many dB below it."""
    noise, quiet = pink(len(samples), rng), samples / 2
    return quiet + noise * np.sqrt((quiet**2).mean() / (noise**2).mean() / 10 ** (decibels / 10))


def meter_of(rate):
    """pyloudnorm's, which takes a second or two to be read."""
    from pyloudnorm import Meter

    return Meter(rate)


def understood(ear, spoken, hear=lambda samples: samples):
    wrong = [words for words, samples in spoken.items() if ear.hear(hear(samples)) != plain(words)]
    return 1 - len(wrong) / len(spoken), wrong


@pytest.mark.quiet
def test_every_sentence_is_understood(ear, tmp_path):
    share, wrong = understood(ear, spoken_in(tmp_path, sentences()))
    assert share >= 0.95, wrong


def test_every_third_sentence_is_understood_with_noise_ten_decibels_below_it(ear, spoken):
    rng = np.random.default_rng(1)
    share, wrong = understood(ear, spoken, lambda samples: in_noise(samples, 10, rng))
    assert share >= 0.85, wrong


def test_no_time_is_taken_for_another_that_sounds_like_it(tmp_path):
    """Fifteen and fifty: with noise 5 dB below them some times are not understood, but none is taken for its like."""
    alike = {teen * 1000: (teen - 10) * 10_000 for teen in range(13, 20)}
    alike |= {tens: teen for teen, tens in alike.items()}
    said = {ms: span(ms) for ms in range(1_000, 100_000, 1_000)}
    phrases, rng, taken = PhraseCache(tmp_path, Voice(), voices=2), np.random.default_rng(7), Counter()
    phrases.wait([said[ms] for ms in alike])
    ear = Ear(said.values())
    for ms, other in alike.items():
        for _ in range(3):
            heard = ear.hear(in_noise(phrases.samples(said[ms]) / 32768, 5, rng))
            taken[{plain(said[ms]): "right", plain(said[other]): "its like"}.get(heard, "another")] += 1
    assert taken["its like"] == 0
    assert taken["right"] > taken["another"]


def test_the_ear_is_not_pleased_with_anything(ear, spoken):
    """The recogniser itself can fail: sentences played backwards are not understood."""
    some = dict(list(spoken.items())[:12])
    share, _ = understood(ear, some, lambda samples: samples[::-1])
    assert share < 0.5


def test_all_sentences_are_equally_loud_and_none_is_cut(spoken):
    """pyloudnorm is the outside check; it measures from 400 ms on."""
    meter = meter_of(RATE)
    levels = {words: meter.integrated_loudness(s) for words, s in spoken.items() if len(s) > 0.4 * RATE}
    assert len(levels) > 0.95 * len(spoken)
    assert {words: lufs for words, lufs in levels.items() if abs(lufs - TARGET) > 1} == {}
    assert max(np.abs(samples).max() for samples in spoken.values()) <= CEILING + 1e-4


def test_no_sentence_carries_silence_with_it(spoken):
    for words, samples in spoken.items():
        loud = np.flatnonzero(np.abs(samples) > 0.02)
        assert loud[0] < 0.06 * RATE, words
        assert len(samples) - loud[-1] < 0.06 * RATE, words


def test_a_full_scale_sine_of_997_hz_measures_minus_3_01():
    """ITU-R BS.1770: 997 Hz, full scale, one channel: -3.01 LKFS."""
    sine = np.sin(2 * np.pi * 997 * np.arange(5 * RATE) / RATE)
    assert loudness(sine) == pytest.approx(-3.01, abs=0.05)


@pytest.mark.parametrize("rate", [22_050, 44_100, 48_000])
def test_loudness_agrees_with_pyloudnorm(rate):
    rng = np.random.default_rng(3)
    sound = rng.standard_normal(3 * rate) * np.linspace(0.001, 0.3, 3 * rate)
    assert loudness(sound, rate) == pytest.approx(meter_of(rate).integrated_loudness(sound), abs=0.1)


def test_levelling_holds_peaks_below_the_ceiling_even_of_spiky_sound():
    spikes = np.random.default_rng(5).standard_normal(RATE) * 0.01
    spikes[::4_000] = 1.0
    assert np.abs(level(spikes)).max() <= CEILING * 32767 + 1


def test_doubling_the_rate_keeps_every_sample():
    sound = np.sin(np.arange(2_000) / 7) * np.hanning(2_000)
    assert np.abs(resampled(sound, RATE // 2)[::2] - sound).max() < 1e-9


def test_trimming_silence_leaves_silence():
    assert len(trimmed(np.zeros(100))) == 1


def test_a_phrase_is_spoken_once_and_kept_for_the_next_time(tmp_path):
    first = PhraseCache(tmp_path, Voice())
    assert first.length("half way") is None
    first.wait(["half way"])
    kept = kept_as(tmp_path, Voice(), "half way")
    made = kept.stat().st_mtime_ns
    second = PhraseCache(tmp_path, Voice())
    second.wait(["half way"])
    assert kept.stat().st_mtime_ns == made
    assert second.length("half way") == len(second.samples("half way")) * 1000 // RATE
    assert PhraseCache(tmp_path, Voice(rate=150)).length("half way") is None


def test_an_unknown_voice_is_named_and_another_speaks(tmp_path):
    phrases = PhraseCache(tmp_path, Voice("nobody"))
    phrases.wait(["half way"])
    assert phrases.length("half way") > 300
    assert phrases.complaint == 'There is no voice "nobody" here, another speaks: `traycall voice` lists them.'


def test_a_throat_that_does_not_exist_is_noticed_too(tmp_path):
    phrases = PhraseCache(tmp_path, Voice("en-us+zz"))
    phrases.wait(["half way"])
    assert "en-us+zz" in phrases.complaint


def test_speech_that_can_not_be_kept_is_a_sentence_and_no_words(tmp_path):
    blocked = tmp_path / "spoken"
    blocked.write_text("a file where the folder should be")
    phrases = PhraseCache(blocked, Voice())
    phrases.wait(["half way"])
    assert phrases.length("half way") == 0
    assert phrases.samples("half way") is None
    assert phrases.complaint.startswith("No speech, tones only: ")


def test_many_phrases_do_not_fill_the_disk(tmp_path, monkeypatch):
    monkeypatch.setattr("assistant.sound_helper.phrase_cache.KEPT", 3)
    for i in range(9):
        (tmp_path / f"{i}.wav").write_bytes(b"")
    PhraseCache(tmp_path, Voice())
    assert len(list(tmp_path.glob("*.wav"))) == 3


def test_the_voice_process_ends_with_its_input_and_prints_nothing_but_answers(tmp_path):
    with speech_process(tmp_path) as process:
        for words in ('"half way"', '"lift"'):
            print(words, file=process.stdin, flush=True)
            assert process.stdout.readline() == '{"why": "", "known": true}\n'
        process.stdin.close()
        assert process.wait(10) == 0
        assert process.stdout.read() == ""


def test_a_voice_that_hangs_ends_with_its_input_too(tmp_path):
    hangs = "import signal\nfrom assistant.sound_helper import speech\nspeech.Speaker = lambda voice: signal.pause()\n"
    with speech_process(tmp_path, hangs) as process:
        print('"half way"', file=process.stdin, flush=True)
        process.stdin.close()
        assert process.wait(10) == 0


def speech_process(folder, before=""):
    run = f"import sys\n{before}from assistant.sound_helper.speech import main\nmain(sys.argv[1:])"
    call = [sys.executable, "-c", run, str(folder), '["en-us+f5", 165, 40]']
    return subprocess.Popen(call, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)


def test_a_phrase_that_failed_is_tried_again_after_a_while(tmp_path):
    now, folder = [0.0], tmp_path / "spoken"
    folder.write_text("a file where the folder should be")
    phrases = PhraseCache(folder, Voice(), now=lambda: now[0])
    phrases.wait(["half way"])
    assert phrases.length("half way") == 0
    folder.unlink()
    now[0] = MUTE
    phrases.want(["half way"])
    assert phrases.length("half way") == 0, "not before"
    now[0] = MUTE + 1
    phrases.wait(["half way"])
    assert phrases.length("half way") > 300
    assert phrases.complaint == ""


def test_a_voice_that_can_not_be_started_is_a_sentence_and_leaves_the_rest_going(tmp_path, monkeypatch):
    phrases = PhraseCache(tmp_path, Voice())
    monkeypatch.setattr(sys, "executable", str(tmp_path / "no-python"))
    phrases.wait(["half way"])
    assert phrases.complaint.startswith("No speech, tones only: the voice can't be started")
    monkeypatch.undo()
    phrases.wait(["lift"])
    assert phrases.length("lift") > 100


def test_a_voice_that_hangs_is_given_up_and_leaves_no_dead_process(tmp_path, monkeypatch):
    monkeypatch.setattr("assistant.sound_helper.phrase_cache.PATIENCE", 0.05)
    before = dead_children()
    phrases = PhraseCache(tmp_path, Voice())
    phrases.wait(["half way"])
    assert phrases.length("half way") == 0
    assert dead_children() <= before


def dead_children():
    """Children that have ended and wait to be buried."""
    children = Path(f"/proc/{os.getpid()}/task").glob("*/children")
    pids = {pid for file in children for pid in file.read_text().split()}
    return {pid for pid in pids if ") Z " in Path(f"/proc/{pid}/stat").read_text()}


def test_names_of_voices_are_listed():
    assert any(name.endswith("en-us") for name in Speaker(Voice()).names())
