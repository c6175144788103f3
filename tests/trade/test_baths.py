"""Mixing, filling, capacity: the trade's worked values, each beside its source, and units held against pint."""

import pytest

from assistant.trade import capacity, cautions, dilution, filling
from assistant.trade.limits import Impossible
from assistant.trade.quantities import parse_mix, parse_size
from tests.trade.units import units


@pytest.mark.parametrize(
    ("volume", "mix", "concentrate", "water"),
    [
        (2000, "1+9", 200, 1800),  # concentrate = V/(1+a) [math]
        (1000, "1+4", 200, 800),  # [math]
        (1500, "1+9", 150, 1350),  # [math]
    ],
)
def test_one_plus_so_many(volume, mix, concentrate, water):
    assert dilution.poured(volume, parse_mix(mix)) == (pytest.approx(concentrate), pytest.approx(water))


def test_what_the_last_of_a_bottle_makes():
    assert dilution.stretched(150, parse_mix("1+9")).volume == pytest.approx(1500)


def test_an_army_recipe_for_stop_bath():
    """1.5 fl oz of 28 % acid in 32 fl oz water: Army recipe [pub] + math; the same in fluid ounces and in ml."""
    stock, water = (units()(f"{ounces} floz").to("ml").magnitude for ounces in (1.5, 32))
    assert dilution.strength(28, 1.5, 32) == pytest.approx(1.254, abs=5e-4)
    assert dilution.strength(28, stock, water) == pytest.approx(dilution.strength(28, 1.5, 32))


def test_little_concentrate_wants_a_syringe():
    assert dilution.poured(300, parse_mix("1+99")).warnings
    assert not dilution.poured(500, parse_mix("1+99")).warnings


def test_hot_and_cold():
    water = filling.hot_and_cold(1000, 20, cold=10, hot=50)  # [math]
    assert water == (pytest.approx(250), pytest.approx(750))
    heat = water.hot * 50 + water.cold * 10
    assert heat / 1000 == pytest.approx(20)


def test_the_water_agrees_with_pint_on_fahrenheit():
    degrees = {f: units().Quantity(f, "degF").to("degC").magnitude for f in (50, 68, 122)}
    water = filling.hot_and_cold(1000, degrees[68], cold=degrees[50], hot=degrees[122])
    assert water.hot == pytest.approx(250)


def test_scalding_water_is_said():
    assert any("scalds" in words for words in filling.water_warnings(50))
    assert not any("scalds" in words for words in filling.water_warnings(40))


def test_what_a_tray_takes():
    assert filling.tray(parse_size("25x30 cm"), depth=20) == 1500  # V = L·W·depth [math]
    inch, cm = units()("inch"), units()("cm")
    box = 10 * inch * 12 * inch * 2 * cm
    assert filling.tray(parse_size("8x10 in"), 20, border=25.4) == pytest.approx(box.to("ml").magnitude, abs=0.5)


@pytest.mark.parametrize(
    ("size", "sheets"),
    [("4x5 in", 0.25), ("5x7 in", 0.4375), ("11x14 in", 1.925), ("12x16 in", 2.4), ("16x20 in", 4)],  # by area [math]
)
def test_sizes_in_sheets_of_8x10(size, sheets):
    assert parse_size(size).equivalents == pytest.approx(sheets)


def test_fixer_of_unknown_type():
    """20 acid / 25 alkaline a litre: Anchell p. 108 [pub], so 2 l take 20.78 sheets of 11x14."""
    assert capacity.USUAL["acid fixer"] == (20, 20)
    assert capacity.USUAL["alkaline fixer"] == (25, 25)
    assert capacity.sheets(parse_size("11x14 in"), 2000, 20) == pytest.approx(20.78, abs=5e-3)


@pytest.mark.parametrize(("bath", "usual"), [("developer", (15, 25)), ("stop", (15, 20)), ("washing aid", (20, 25))])
def test_usual_capacities(bath, usual):
    assert capacity.USUAL[bath] == usual  # defaults: common practice, no source


@pytest.mark.parametrize(("sheets", "grams_per_litre"), [(30, 0.3), (5, 0.05)])
def test_silver_in_fixer(sheets, grams_per_litre):
    """Per US gallon after so many 8x10: Haist, *Modern Photographic Processing*, 1979 [pub, second hand]."""
    gallon = units()("1 gallon").to("ml").magnitude
    assert capacity.silver(sheets, gallon) == pytest.approx(grams_per_litre, rel=1e-3)


def test_an_edition_uses_a_bath_up():
    use = capacity.edition(parse_size("11x14 in"), 24, 2000, 20)
    assert use.spent_at == 21
    assert (use.left, use.more) == (0, 0)
    assert capacity.edition(parse_size("11x14 in"), 20, 2000, 20).spent_at is None


def test_what_went_through_before_counts():
    fresh, used = (capacity.edition(parse_size("8x10 in"), 10, 1000, 20, before) for before in (0, 15))
    assert (fresh.more, fresh.spent_at) == (10, None)
    assert (used.more, used.spent_at) == (0, 6)


@pytest.mark.parametrize(("sheets", "volume", "per_litre"), [(25, 3000, 20), (7, 1500, 11.2), (14, 3000, 11.2)])
def test_a_bath_that_just_lasts_is_not_spent(sheets, volume, per_litre):
    use = capacity.edition(parse_size("12x16 in"), sheets, volume, per_litre)
    assert (use.left, use.more, use.spent_at) == (pytest.approx(0), 0, None)


def test_no_toner_has_a_capacity():
    assert not [bath for bath in capacity.USUAL if "ton" in bath]


@pytest.mark.parametrize(
    ("bath", "said"),
    [
        ("print developer", "gloves or tongs"),
        ("acetic stop", "acetic acid's vapour stings"),
        ("stop bath", "acetic acid's vapour stings"),  # it may be one
        ("citric stop", "goggles"),
        ("bleach", "no acid near it"),
        ("sepia toner", "no acid near it"),
        ("rapid fixer", "regulated waste"),
        ("selenium toner", "waterproof gloves"),
        ("holding water", "label"),
    ],
)
def test_cautions_follow_the_bath(bath, said):
    lines = cautions.for_bath(bath)
    assert any(said in line for line in lines)
    assert lines[-1] == cautions.GENERAL


@pytest.mark.parametrize(
    ("bath", "not_said"),
    [
        ("acid fixer", "Stop bath"),
        ("citric stop", "vapour"),
        ("water for the stop", "vapour"),
        ("hypo clearing agent", "Fixer"),
        ("bleach before the sepia toner", "Toner"),
    ],
)
def test_a_bath_gets_no_caution_of_another(bath, not_said):
    assert not any(not_said in line for line in cautions.for_bath(bath))


def test_two_baths_of_a_kind_are_cautioned_of_once():
    assert cautions.for_baths(["first fixer", "second fixer"]) == cautions.for_bath("fixer")[:-1]


@pytest.mark.parametrize(
    "impossible",
    [
        lambda: filling.hot_and_cold(1000, 5, cold=10, hot=50),
        lambda: filling.hot_and_cold(1000, 20, cold=20, hot=20),
        lambda: filling.hot_and_cold(1000, 20, cold=50, hot=10),
        lambda: filling.hot_and_cold(0, 20, cold=10, hot=50),
        lambda: filling.tray(parse_size("8x10 in"), 0),
        lambda: filling.tray(parse_size("8x10 in"), 20, -1),
        lambda: dilution.weakened(2, 28, 1000),
        lambda: dilution.strength(128, 1, 1),
        lambda: dilution.strength(28, 0, 0),
        lambda: capacity.edition(parse_size("8x10 in"), -1, 1000, 20),
        lambda: capacity.sheets(parse_size("8x10 in"), 1000, 0),
    ],
)
def test_what_has_no_answer_says_so(impossible):
    with pytest.raises(Impossible) as said:
        impossible()
    assert said.value.fix
