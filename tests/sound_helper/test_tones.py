"""The palette: no clicks, the right part of the spectrum, and no tone to be taken for another, even over water."""

import itertools

import numpy as np
import pytest

from assistant.places import shipped
from assistant.score.cues import KINDS
from assistant.sound_helper.tones import MAKERS, MEANINGS, PEAK, RATE, BadTone, make, palette, read, save, write
from tests.sound_helper.noises import level_a, pink, water

NAMES = list(MAKERS)


def sound(name):
    return make(name) / 32768


def test_every_kind_of_cue_has_its_tone_and_every_tone_its_meaning():
    assert {kind.tone for kind in KINDS.values() if kind.tone} == set(MAKERS) == set(MEANINGS)


@pytest.mark.parametrize("name", NAMES)
def test_the_shipped_file_is_what_the_generator_makes(name):
    kept = read(shipped("sounds") / f"{name}.wav").astype(int)
    made = make(name).astype(int)
    assert len(kept) == len(made)
    assert np.abs(kept - made).max() <= 1  # sines differ in the last bit from one machine to the next


@pytest.mark.parametrize("name", NAMES)
def test_a_tone_is_never_too_loud_and_begins_and_ends_in_silence(name):
    samples = sound(name)
    assert np.abs(samples).max() <= PEAK + 1e-4
    assert abs(samples[0]) < 0.002
    assert abs(samples[-1]) < 0.002


def click(samples):
    """Energy above 8 kHz in the first 5 ms, in dB of the loudest 5 ms of the tone."""
    span = RATE // 200
    begin = samples[:span] * np.concatenate([np.ones(span // 2), np.hanning(span)[span // 2 + span % 2 - 1 :]])[:span]
    power = np.abs(np.fft.rfft(np.concatenate([np.zeros(span), begin, np.zeros(span)]))) ** 2
    pitch = np.fft.rfftfreq(3 * span, 1 / RATE)
    loudest = max((samples[i : i + span] ** 2).sum() for i in range(0, len(samples) - span, span // 2))
    return 10 * np.log10(2 * power[pitch > 8000].sum() / (3 * span) / loudest + 1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_a_tone_begins_and_ends_without_a_click(name):
    samples = np.trim_zeros(sound(name))
    assert click(samples) < -45
    assert click(samples[::-1]) < -45


def test_the_measure_of_clicks_hears_one():
    bare = 0.5 * np.sin(2 * np.pi * 1000 * np.arange(RATE // 10) / RATE + 1.2)
    assert click(bare) > -35


@pytest.mark.parametrize("name", NAMES)
def test_most_of_a_tone_lies_where_hearing_is_good(name):
    power = np.abs(np.fft.rfft(sound(name))) ** 2
    pitch = np.fft.rfftfreq(len(sound(name)), 1 / RATE)
    assert power[(pitch >= 500) & (pitch <= 2500)].sum() / power.sum() >= 0.65


def heard_as(samples):
    """What an ear tells apart: a map of 20 bands, 300 to 6000 Hz, by 12 times of 62 ms, dB below its peak."""
    span = int(0.0625 * RATE)
    whole = np.zeros(12 * span)
    whole[: len(samples)] = samples[: len(whole)]
    bands = np.geomspace(300, 6000, 21)
    pitch = np.fft.rfftfreq(span, 1 / RATE)
    rows = []
    for part in whole.reshape(12, span):
        power = np.abs(np.fft.rfft(part * np.hanning(span))) ** 2
        rows.append([power[(pitch >= a) & (pitch < b)].sum() for a, b in itertools.pairwise(bands)])
    table = np.array(rows)
    return np.maximum(10 * np.log10(table / table.max() + 1e-9), -40)


def test_no_two_meanings_sound_alike():
    maps = {name: heard_as(sound(name)) for name in NAMES}
    far = {(a, b): float(np.sqrt(((maps[a] - maps[b]) ** 2).mean())) for i, a in enumerate(NAMES) for b in NAMES[i + 1 :]}
    closest = sorted(far, key=far.get)[:3]
    assert far[closest[0]] >= 4.0, [(pair, far[pair]) for pair in closest]


@pytest.mark.parametrize("noise", [pink, water])
def test_every_tone_is_told_from_all_others_in_noise(noise):
    """24 dB below full scale, as loud as the common tone itself; the listener is a matched filter that knows the palette."""
    known = {name: sound(name) / np.sqrt((sound(name) ** 2).sum()) for name in NAMES}
    from scipy.fft import next_fast_len

    span = next_fast_len(2 * RATE + max(map(len, known.values())), real=True)
    filters = {name: np.fft.rfft(shape[::-1], span) for name, shape in known.items()}
    rng = np.random.default_rng(7)
    confused = []
    for name in NAMES:
        for _ in range(2):
            room = noise(2 * RATE, rng)
            room *= 10 ** (-24 / 20) / level_a(room)
            tone = sound(name)
            room[5_000 : 5_000 + len(tone)] += tone * max(1.0, 10 ** (-24 / 20) / level_a(tone))
            heard = np.fft.rfft(room, span)
            scores = {other: np.abs(np.fft.irfft(heard * shape, span)).max() for other, shape in filters.items()}
            best = max(scores, key=scores.get)
            if best != name:
                confused.append((name, best))
    assert not confused


def test_writing_the_palette_gives_files_that_are_read_back(tmp_path):
    files = write(tmp_path / "mine")
    assert [file.stem for file in files] == NAMES
    assert all(np.array_equal(read(file), make(file.stem)) for file in files)


def test_a_sound_of_the_printers_own_takes_the_place_of_a_tone(tmp_path):
    own = (0.5 * 32767 * np.sin(np.arange(4000) / 8)).astype(np.int16)
    save(tmp_path / "now.wav", own)
    tones, complaint = palette(shipped("sounds"), tmp_path)
    assert np.array_equal(tones["now"], own)
    assert np.array_equal(tones["end"], read(shipped("sounds") / "end.wav"))
    assert complaint == ""


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda file: file.write_bytes(b"ID3 something"), "this is no WAV file"),
        (lambda file: save(file, np.zeros(4 * RATE, np.int16)), "4.0 s long: a tone lasts up to 3 s"),
        (lambda file: save(file, np.full(400, 32767, np.int16)), "it is too loud"),
        (lambda file: save(file, np.zeros(400, np.int16)), "nothing is to be heard in it"),
    ],
)
def test_a_bad_sound_of_the_printers_own_is_named_and_the_shipped_one_sounds(tmp_path, wrong, said):
    file = tmp_path / "now.wav"
    wrong(file)
    with pytest.raises(BadTone, match=said):
        read(file)
    tones, complaint = palette(shipped("sounds"), tmp_path)
    assert str(file) in complaint
    assert said in complaint
    assert np.array_equal(tones["now"], make("now"))
