"""What was sounded and what was not, by what a helper says of its device. Moments are ms of the session."""

import pytest

from assistant.devices.confirmed import LATE, Confirmed
from assistant.score.cues import KINDS, Cue

PIPS = [Cue(10_000, "pip"), Cue(20_000, "pip")]


@pytest.fixture
def under_way():
    """Two pips are promised, and the sound was confirmed up to 5 s."""
    confirmed = Confirmed()
    confirmed.answered(0, 0, (), 0)
    confirmed.promised(1, PIPS, 0)
    confirmed.answered(0, 5_000, (), 5_000)
    return confirmed


def test_what_a_living_device_took_was_heard(under_way):
    for now in range(5_500, 25_000, 500):
        under_way.answered(0, now, (), now)
    assert under_way.unheard() is None


def test_answers_that_come_late_all_at_once_still_confirm(under_way):
    under_way.passed(24_000)  # the app was held up for nineteen seconds, its helper was not
    for until in (9_000, 12_000, 24_000):
        under_way.answered(0, until, (), 24_000)
    assert under_way.unheard() is None


def test_a_device_that_was_away_over_a_pip_is_told_once(under_way):
    under_way.answered(12_000, 12_500, (), 12_500)
    assert under_way.unheard() == 9_999
    assert under_way.unheard() is None
    under_way.answered(12_000, 21_000, (), 21_000)
    assert under_way.unheard() is None


def test_away_over_two_pips_the_first_is_told(under_way):
    under_way.answered(30_000, 30_100, (), 30_100)
    assert under_way.unheard() == 9_999


def test_away_between_two_pips_nothing_is_told(under_way):
    under_way.answered(0, 10_500, (), 10_500)
    under_way.answered(15_000, 21_000, (), 21_000)
    assert under_way.unheard() is None


def test_what_a_living_helper_could_not_hand_over_in_time_is_told(under_way):
    under_way.answered(0, 10_700, (10_000,), 10_700)
    assert under_way.unheard() == 9_999


def test_while_there_is_no_sound_each_pip_is_told_as_it_passes(under_way):
    under_way.silent(10_000 + LATE)
    assert under_way.unheard() is None, "a helper that is just starting may still sound it"
    under_way.silent(10_001 + LATE)
    assert under_way.unheard() == 9_999
    under_way.silent(20_001 + LATE)
    assert under_way.unheard() == 19_999
    under_way.answered(25_000, 25_100, (), 25_100)
    assert under_way.unheard() is None


def test_where_there_never_was_any_sound_the_session_is_seen_and_nothing_is_told():
    confirmed = Confirmed()
    confirmed.promised(1, PIPS, 0)
    confirmed.silent(60_000)
    assert confirmed.unheard() is None


def test_what_was_hushed_or_replaced_before_its_moment_is_not_missed(under_way):
    under_way.promised(1, [Cue(20_000, "pip")], 6_000)
    under_way.answered(12_000, 12_100, (), 12_100)
    under_way.hushed(1, 15_000)
    under_way.answered(30_000, 30_100, (), 30_100)
    assert under_way.unheard() is None


def test_what_passed_before_it_was_replaced_still_counts(under_way):
    under_way.promised(1, [], 11_000)
    under_way.answered(12_000, 12_100, (), 12_100)
    assert under_way.unheard() == 9_999


def test_a_sleep_of_the_computer_is_told_by_the_clock_and_not_here(under_way):
    under_way.slept(30_000)
    under_way.promised(1, [Cue(30_400, "pip"), Cue(40_000, "pip")], 30_000)
    under_way.answered(31_000, 31_100, (), 31_100)
    assert under_way.unheard() == 30_399, "but the helper's restart after it is"


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_only_what_is_taken_for_done_at_its_moment_counts(kind):
    confirmed = Confirmed()
    confirmed.answered(0, 0, (), 0)
    confirmed.promised(1, [Cue(1_000, kind)], 0)
    confirmed.answered(5_000, 5_000, (), 5_000)
    assert confirmed.unheard() == (999 if kind in ("pip", "start", "end", "move", "shade") else None)
