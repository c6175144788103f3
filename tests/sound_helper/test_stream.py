"""What ties the frames of an open stream to the clock: the device's own sayings, which wander, jump and start wrong."""

import random

import pytest

from assistant.sound_helper.stream import LATEST, READINGS, zero_of


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
