"""Washing: the worked values, and the law of running water against an ODE solver that never saw it."""

from fractions import Fraction

import pytest

from assistant.trade import washing
from assistant.trade.limits import Impossible

MINUTE = 60_000


def test_one_change_and_three():
    """v 0.1 l, V 2 l [math]."""
    assert washing.fill_and_dump(100, 2000, 1).left == pytest.approx(0.047619, abs=5e-7)
    assert washing.fill_and_dump(100, 2000, 3).left == pytest.approx(1.0798e-4, rel=5e-5)


def test_changes_one_after_the_other():
    """Salt carried from filling to filling, in exact fractions."""
    salt, held, fresh = Fraction(1), Fraction(150), Fraction(1850)
    for _ in range(7):
        salt = salt * held / (held + fresh)
    assert washing.fill_and_dump(150, 1850, 7).left == pytest.approx(float(salt), rel=1e-12)


def test_running_water():
    """10 l at 2 l a minute for 30 min [math]."""
    wash = washing.through_flow(10_000, 2000, 30 * MINUTE)
    assert wash.left == pytest.approx(2.479e-3, abs=5e-7)
    assert wash.water == 60_000


def test_running_water_agrees_with_an_ode_solver():
    from scipy.integrate import solve_ivp

    for volume, flow, minutes in ((10, 2, 30), (20, 3, 40), (6, 0.5, 90), (12, 8, 5)):
        lost = -flow / volume
        solved = solve_ivp(lambda _t, c, lost=lost: lost * c, (0, minutes), [1.0], method="DOP853", rtol=1e-10, atol=1e-14)
        left = washing.through_flow(volume * 1000, flow * 1000, minutes * MINUTE).left
        assert left == pytest.approx(solved.y[0, -1], rel=1e-6), (volume, flow, minutes)


def test_running_water_is_endless_tiny_changes():
    many = washing.fill_and_dump(10_000, 60, 1000)
    assert many.left == pytest.approx(washing.through_flow(10_000, 2000, 30 * MINUTE).left, rel=0.02)


@pytest.mark.parametrize(("minutes", "changes"), [(30, 6), (90, 18), (31, 7), (1, 1)])
def test_changes_in_a_wash(minutes, changes):
    """30 min = 6 and 90 min = 18 changes: Clerc §607 [pub]."""
    assert washing.changes_in(minutes * MINUTE) == changes


def test_faster_than_five_minutes_gains_nothing():
    assert washing.RENEW == 5 * MINUTE  # Clerc §607 [pub]
    assert washing.TOO_OFTEN in washing.warnings(5 * MINUTE - 1)
    assert washing.TOO_OFTEN not in washing.warnings(5 * MINUTE)


def test_every_wash_points_to_the_paper_and_to_late_prints():
    said = " ".join(washing.warnings())
    assert "blank sheet" in said
    assert "starts it again" in said


@pytest.mark.parametrize(
    "impossible",
    [
        lambda: washing.fill_and_dump(0, 2000, 3),
        lambda: washing.fill_and_dump(100, 0, 3),
        lambda: washing.fill_and_dump(100, 2000, -1),
        lambda: washing.through_flow(0, 2000, MINUTE),
        lambda: washing.through_flow(10_000, float("inf"), MINUTE),
        lambda: washing.changes_in(0),
    ],
)
def test_what_has_no_answer_says_so(impossible):
    with pytest.raises(Impossible) as said:
        impossible()
    assert said.value.fix
