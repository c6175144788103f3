"""Developing time against temperature and by the first tone: the trade's worked values, each beside its source."""

import pytest

from assistant.trade import emergence, temperature
from assistant.trade.limits import Impossible
from assistant.trade.quantities import parse_temperature

COOL, WARM = parse_temperature("55 F"), parse_temperature("65 F")


@pytest.mark.parametrize("seconds", [(30, 20), (60, 40)], ids=["shortest", "longest"])
def test_the_published_pair(seconds):
    """20–40 s at 65 °F, 30–60 s at 55 °F: Glover 1924, in Clerc §573 [pub]."""
    cool, warm = (1000 * each for each in seconds)
    assert temperature.coefficient((COOL, cool), (WARM, warm)) == pytest.approx(2.0747, abs=5e-5)


@pytest.mark.parametrize(("celsius", "ms"), [(18, 138_860), (22, 103_700), (20, 120_000)])
def test_the_published_pair_applied(celsius, ms):
    """Glover 1924, in Clerc §573 [pub], on 120 s at 20 °C; the values are printed to 0.01 s."""
    q10 = temperature.coefficient((COOL, 30_000), (WARM, 20_000))
    assert temperature.time_at(120_000, 20, celsius, q10) == pytest.approx(ms, abs=5)


def test_two_known_points():
    assert temperature.time_between(((20, 120_000), (24, 90_000)), 22) == pytest.approx(103_920, abs=5)  # [math]


def test_the_line_goes_through_both_points_in_either_order():
    points = ((20.0, 120_000), (24.0, 90_000))
    for known in (points, points[::-1]):
        assert [temperature.time_between(known, celsius) for celsius, _ in points] == [120_000, 90_000]


@pytest.mark.parametrize(
    ("celsius", "said"), [(12.9, "hydroquinone"), (17.9, "guess"), (24.1, "guess"), (13, "guess"), (18, ""), (24, "")]
)
def test_outside_the_range_is_said(celsius, said):
    """Never outside 18–24 °C without a warning; hydroquinone nearly stops below about 13 °C: common practice, no source."""
    lines = temperature.warnings(celsius)
    assert said in lines[0] if said else lines == ()


def test_outside_the_known_points_is_said():
    points = ((20.0, 120_000), (22.0, 100_000))
    assert "both known points" in temperature.warnings(23, points)[0]
    assert temperature.warnings(21, points) == ()


def test_a_development_by_its_first_tone():
    assert emergence.development(9_000, 15) == 135_000  # *Cyclopaedia of Photography*, Jones ed., 1911 [pub]
    assert emergence.development(45_000, 5) == 225_000  # Watkins 1901, in *Dictionary of Photography* [pub]


def test_a_factor_of_ones_own():
    assert emergence.factor(135_000, 9_000) == 15  # F = D_ref/t_e,ref: the same two books turned round [math]


@pytest.mark.parametrize(("now", "tired"), [(12_500, False), (12_501, True), (8_000, False)])
def test_a_quarter_later_than_on_the_first_print(now, tired):
    assert emergence.drift(10_000, now).tired is tired  # 25 %: common practice, no source


@pytest.mark.parametrize(
    "impossible",
    [
        lambda: temperature.time_at(120_000, 20, 60, 2),
        lambda: temperature.time_at(120_000, 20, float("nan"), 2),
        lambda: temperature.time_at(120_000, 20, 22, 0.5),
        lambda: temperature.time_at(0, 20, 22, 2),
        lambda: temperature.time_between(((20, 120_000), (24, 130_000)), 22),
        lambda: temperature.time_between(((20, 120_000), (20, 90_000)), 22),
        lambda: temperature.time_between(((20, 120_000), (21, 60_000)), 22),
        lambda: emergence.factor(9_000, 9_000),
        lambda: emergence.development(9_000, 1),
        lambda: emergence.development(0, 15),
        lambda: emergence.development(86_400_000, 15),
    ],
)
def test_what_has_no_answer_says_so(impossible):
    with pytest.raises(Impossible) as said:
        impossible()
    assert said.value.fix
