"""The hint for the next print in the toner, and the simulation that its estimator was picked by."""

import pytest

from assistant.trade.toning_drift import hint, passes
from tests.bench.toning import errors, inside


def test_no_hint_before_two_prints() -> None:
    assert hint([]) is None
    assert hint([50_000]) is None


def test_one_forgotten_print_moves_nothing_but_the_width() -> None:
    found = hint([50_000, 95_000, 52_000])
    assert found is not None
    assert found.expected == 52_000
    assert found.until > 95_000
    assert found.look_from == 26_000  # half of it: a print is never to be looked at from the very first second


def test_only_the_last_three_count() -> None:
    assert hint([10_000, 20_000, 50_000, 51_000, 52_000]) == hint([50_000, 51_000, 52_000])


def test_the_printers_bound() -> None:
    assert not passes([100_000, 110_000, 118_000], 120_000)
    assert passes([110_000, 125_000, 130_000], 120_000)
    assert not passes([130_000], 120_000)


def test_the_estimator_is_the_one_with_the_least_error_of_the_four() -> None:
    found = errors(editions=1500)
    assert min(found, key=lambda name: found[name][0]) == "median of the last three"


@pytest.mark.parametrize("seed", [1907, 1931])
def test_about_eight_in_ten_are_pulled_inside_the_width(seed: int) -> None:
    assert inside(seed, editions=1000) == pytest.approx(80, abs=3)
