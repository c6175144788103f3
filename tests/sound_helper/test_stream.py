"""What ties the frames of an open stream to the clock: the device's own sayings, which wander, jump and start wrong."""

import random
from types import SimpleNamespace

import numpy as np
import pytest

from assistant.sound_helper import stream
from assistant.sound_helper.stream import LATEST, READINGS, Stream, zero_of
from assistant.sound_helper.tones import RATE


def test_sayings_come_out_late_and_are_worth_their_lower_envelope():
    chance = random.Random(3)
    readings = []
    for _ in range(3 * READINGS):
        readings.append(5.0 + chance.expovariate(1000))
        zero = zero_of(readings)
    assert zero == pytest.approx(5.0, abs=0.0003)
    assert len(readings) == READINGS


@pytest.mark.parametrize("jump", [0.05, -0.05, 1.6, -1.6])
def test_an_output_that_was_changed_is_followed_within_half_a_second(jump):
    readings = [5.0] * READINGS
    for _ in range(LATEST):
        readings.append(5.0 + jump)
        zero = zero_of(readings)
    assert zero == pytest.approx(5.0 + jump)


@pytest.mark.parametrize("jump", [0.05, 1.6])
def test_a_few_late_sayings_move_nothing(jump):
    readings = [5.0] * 40
    for _ in range(LATEST - 1):
        readings.append(5.0 + jump)
        zero = zero_of(readings)
    assert zero == pytest.approx(5.0)


def test_a_device_that_starts_wrong_is_set_right_by_what_follows():
    readings = [0.0] * 5
    zero_of(readings)
    for _ in range(LATEST):
        readings.append(1.6)
        zero = zero_of(readings)
    assert zero == pytest.approx(1.6)


BLOCK = RATE // 20
"""Frames for which a device asks at a time."""
MARKS = np.zeros(4 * RATE, np.int16)
MARKS[RATE // 2 :: RATE] = 9000


def heard(monkeypatch, begin, clock, blocks):
    """Seconds at which samples with a mark every second, from half a second on, sound on a device that is so late."""
    played, now = Stream.__new__(Stream), 100.0
    played._mixing, played._position, played._readings, played._simpleaudio = [], 0, [], None
    monkeypatch.setattr(stream, "time", SimpleNamespace(monotonic=lambda: now))
    played.at(100.0 + begin, MARKS, 1)
    found = []
    for number in range(blocks):
        out = np.zeros((BLOCK, 1), np.int16)
        now = 100.0 + number * BLOCK / RATE
        position = played._position
        played._fill(out, BLOCK, SimpleNamespace(outputBufferDacTime=clock(number), currentTime=0.0), None)
        found += [clock(number) + (position + int(place)) / RATE for place in np.flatnonzero(out[:, 0] > 8000)]
    return found


def test_what_began_before_the_stream_did_goes_on_at_its_moments(monkeypatch):
    assert heard(monkeypatch, -0.7, lambda _: 0.0, 60) == pytest.approx([0.8, 1.8, 2.8], abs=1e-3)


def test_what_is_under_way_jumps_with_its_output(monkeypatch):
    """The device says at first that it plays at once, and then that it plays 0.36 s later than that."""
    found = heard(monkeypatch, 0.0, lambda number: 0.0 if number < 5 else 0.36, 80)
    assert found[-3:] == pytest.approx([1.5, 2.5, 3.5], abs=1e-3)
