"""Three knocks: found beside water and a fan, and not found in two, four, uneven ones, in talk, or in the program's own tones."""

import wave

import numpy as np
import pytest

from assistant.devices.ear_wire import ListenerSettings
from assistant.devices.ears import Listener
from assistant.listener.cutting import CHUNK, CHUNK_MS, Cutter
from assistant.listener.knocks import Knocking
from assistant.session.said import KNOCK
from assistant.sound_helper.tones import MEANINGS, make
from assistant.sound_helper.tones import RATE as TONES
from tests import waiting
from tests.devices.test_ears import FromZero
from tests.voice import needs_voice
from tests.voice.rooms import RATE, clips, in_a_room, room

pytestmark = needs_voice
PEAK = 25
"""dB of a knock's peak over the room: a knuckle on a bench beside a running tap."""


def knocked(gaps, seed):
    """A room with knocks so far apart (ms), the first at 2 s: wood, which rings for a few hundredths of a second."""
    rng = np.random.default_rng(seed)
    samples = room(3 + sum(gaps) / 1000, seed)
    at = 2.0
    for gap in (0, *gaps):
        at += gap / 1000
        count = round(0.08 * RATE)
        times = np.arange(count) / RATE
        ring = sum(np.sin(2 * np.pi * f * times + rng.uniform(0, 6)) for f in (320, 710, 1_450, 2_600))
        burst = (ring + rng.standard_normal(count)) * np.exp(-times / 0.012)
        begin = round(at * RATE)
        samples[begin : begin + count] += burst / np.abs(burst).max() * 10 ** (PEAK / 20) * rng.uniform(0.8, 1.25)
    return samples * 0.02


def found(samples):
    """When three knocks were understood (s): from the first to the last."""
    whole = np.round(np.clip(samples, -1, 1) * 32767).astype(np.int16)
    cutter, knocking, each = Cutter(), Knocking(), []
    for at in range(0, len(whole) - CHUNK, CHUNK):
        cutter.feed(whole[at : at + CHUNK])
        each.append(knocking.feed(whole[at : at + CHUNK], cutter.speaking))
    return [(one.begin * CHUNK_MS / 1000, one.end * CHUNK_MS / 1000) for one in each if one is not None]


def test_three_even_knocks_are_found_and_stamped():
    rng = np.random.default_rng(3)
    gaps = [rng.uniform(170, 420) * np.array([1, rng.uniform(0.85, 1.18)]) for _ in range(10)]
    heard = [found(knocked(pair, seed)) for seed, pair in enumerate(gaps)]
    assert sum(len(one) == 1 for one in heard) >= 9
    begun = [one[0][0] for one in heard if one]
    assert begun == pytest.approx([2.0] * len(begun), abs=0.02)


@pytest.mark.parametrize("gaps", [(), (300,), (300, 300, 300), (180, 420), (60, 60), (900, 900)])
def test_what_is_not_three_even_knocks(gaps):
    assert [one for seed in range(2) for one in found(knocked(gaps, seed))] == []


def test_the_listener_tells_of_them_only_where_it_is_allowed(tmp_path):
    file = tmp_path / "knocks.wav"
    with wave.open(str(file), "wb") as out:
        out.setparams((1, 2, RATE, 0, "NONE", "not compressed"))
        out.writeframes(np.round(np.clip(knocked((300, 320), 1), -1, 1) * 32767).astype("<i2").tobytes())
    heard: list[str] = []
    for allowed in ({"undo"}, {"undo", KNOCK}):
        listener = Listener(FromZero(), ListenerSettings(str(file), "", (("undo", None, "take it back", ""),)))
        listener.listen(lambda one: heard.append(one.name))
        listener.allow(frozenset(allowed))
        waiting.until(listener.trouble, "the end of the file")
        listener.end()
        assert heard[:1] == ([KNOCK] if KNOCK in allowed else [])


def test_talk_water_and_tones_are_no_knocks():
    talk, _ = in_a_room(clips("joe-talk")[::2], 30, 1)
    assert found(talk / 32768) == []
    assert found(room(20, 9) * 0.05) == []
    spaced = np.concatenate([part for name in MEANINGS for part in (make(name) / 32768 * 0.5, np.zeros(TONES // 4))])
    at = np.arange(len(spaced) * RATE // TONES) * TONES / RATE
    tones = np.interp(at, np.arange(len(spaced)), spaced)
    assert found(np.concatenate([np.zeros(RATE), tones]) + room(len(tones) / RATE + 1, 4)[: len(tones) + RATE] * 0.005) == []
