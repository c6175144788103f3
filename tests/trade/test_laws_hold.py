"""What must hold for any number: laws lead there and back, and nothing impossible gets through."""

import math
from dataclasses import fields, is_dataclass

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from assistant.trade import (
    capacity,
    dilution,
    emergence,
    evenness,
    exposure,
    filling,
    parts,
    safetime,
    stops,
    strips,
    temperature,
    vision,
    washing,
)
from assistant.trade.quantities import LONGEST, Misread, Mix, Size

times = st.integers(100, 3_600_000)
stops_up = st.floats(0, 4)
ratios = st.tuples(st.floats(1, 100), st.floats(1, 4))


def there_and_back(law, ms, first, second):
    """A time changed by a law from first to second and back; the way there is the one that lengthens it."""
    if law(first, second).stops < 0:
        first, second = second, first
    there = exposure.changed(ms, [law(first, second)])
    return exposure.changed(there.after, [law(second, first)]).after


@pytest.mark.parametrize("law", [exposure.by_distance, exposure.by_paper, exposure.by_filter, exposure.by_magnification])
@given(ms=times, pair=ratios)
def test_a_change_there_and_back(law, ms, pair):
    low, ratio = pair
    assume(law is not exposure.by_magnification or low * ratio <= 100)
    assert abs(there_and_back(law, ms, low, low * ratio) - ms) <= 1


@given(times, st.sampled_from([1.4, 2, 2.8, 3.5, 4.5, 5.6, 6.7, 8, 9, 11]), st.sampled_from([5.6, 8, 11, 13, 16, 22]))
def test_an_aperture_there_and_back(ms, first, second):
    assume(abs(exposure.by_aperture(first, second).stops) <= 4)
    assert abs(there_and_back(exposure.by_aperture, ms, first, second) - ms) <= 1


@given(times, stops_up)
def test_stops_there_and_back(ms, more):
    longer = exposure.changed(ms, [exposure.by_stops(more)]).after
    assert abs(exposure.changed(longer, [exposure.by_stops(-more)]).after - ms) <= 1
    assert abs(stops.between(ms, longer) - more) <= math.log2(1 + 0.51 / longer) + 1e-9


@given(times, st.floats(0.01, 4))
def test_a_burn_adds_and_a_dodge_takes_its_stops(ms, amount):
    base = ms + 1000
    assert base + exposure.burn(base, amount) == pytest.approx(base * 2**amount, abs=0.51)
    assert base - exposure.dodge(base, amount) == pytest.approx(base / 2**amount, abs=0.51)


@given(times, st.floats(18, 24), st.floats(18, 24), st.floats(1, 4))
def test_a_temperature_there_and_back(ms, rated, celsius, q10):
    assume(celsius <= rated)
    cooler = temperature.time_at(ms, rated, celsius, q10)
    assert abs(temperature.time_at(cooler, celsius, rated, q10) - ms) <= 1


@given(st.floats(1, 5), st.floats(18, 20), st.floats(21, 24))
def test_two_points_show_their_coefficient(q10, cool, warm):
    ms = 3_600_000
    assert temperature.coefficient((cool, temperature.time_at(ms, warm, cool, q10)), (warm, ms)) == pytest.approx(q10, rel=1e-4)


@given(st.integers(1000, 120_000), st.floats(1.5, 40))
def test_a_factor_there_and_back(emerged, factor):
    developed = emergence.development(emerged, factor)
    assert abs(emergence.factor(developed, emerged) * emerged - emerged * factor) <= 0.51


@given(st.integers(1, 1_000_000), st.floats(0.1, 10), st.floats(0.1, 100))
def test_a_mix_there_and_back(volume, concentrate, water):
    mix = Mix(concentrate, water)
    pour = dilution.poured(volume, mix)
    assert pour.volume == pytest.approx(volume)
    assert dilution.stretched(pour.concentrate, mix).volume == pytest.approx(volume)


@given(st.floats(1, 100), st.floats(0.01, 1), st.integers(1, 1_000_000))
@example(35.229749329259874, 1.0, 471)  # the volume less itself came out below zero
def test_a_strength_there_and_back(stock, share, volume):
    pour = dilution.weakened(stock, stock * share, volume)
    assert dilution.strength(stock, *pour) == pytest.approx(stock * share)


@given(st.integers(1, 100_000), st.floats(0, 40), st.floats(1, 60), st.floats(0, 1))
def test_hot_and_cold_hold_the_heat(volume, cold, warmer, share):
    hot = cold + warmer
    wanted = min(hot, cold + warmer * share)
    assume(hot <= 100)
    water = filling.hot_and_cold(volume, wanted, cold=cold, hot=hot)
    assert min(water) >= 0
    assert (water.hot * hot + water.cold * cold) / volume == pytest.approx(wanted)


@given(st.integers(0, 100), st.integers(100, 10_000), st.floats(1, 100), st.floats(0, 200))
def test_a_spent_bath_is_spent_at_the_first_sheet_it_does_not_cover(count, volume, per_litre, before):
    use = capacity.edition(Size(11, 14, "in"), count, volume, per_litre, before)
    free = volume / 1000 * per_litre - before
    if use.spent_at is None:
        assert count * 1.925 <= free + 1e-6 or count == 0
    else:
        assert use.spent_at * 1.925 > free - 1e-6
        assert use.spent_at == 1 or (use.spent_at - 1) * 1.925 <= free + 1e-6


@given(st.floats(1, 1e6), st.sampled_from([1, 10, 100, 250, 500, 1000]))
def test_a_clock_gives_its_nearest_step(ms, tick):
    given_ms = stops.on_clock(ms, tick)
    assert given_ms.ms % tick == 0
    assert abs(given_ms.ms - ms) <= tick / 2 or given_ms.ms == tick
    assert given_ms.off == pytest.approx(math.log2(given_ms.ms / ms))


def worked_out(law, *words, **named):
    """What a law says, or None where it refuses; a refusal says what is wrong and what to do."""
    try:
        return law(*words, **named)
    except Misread as said:
        if not (said.what and said.fix):
            raise
        return None


def numbers(value):
    """Every number in a result."""
    if is_dataclass(value):
        value = [getattr(value, field.name) for field in fields(value)]
    if isinstance(value, (tuple, list)):
        return [number for item in value for number in numbers(item)]
    return [value] if isinstance(value, (int, float)) else []


whole, anything = st.integers(-10, 10**12), st.floats()
sizes = st.builds(Size, st.floats(0.01, 200), st.floats(0.01, 200), st.just("in"))

SPANS = {
    exposure.dry_down: (whole, anything),
    exposure.burn: (whole, anything),
    exposure.dodge: (whole, anything),
    temperature.time_at: (whole, anything, anything, anything),
    temperature.time_between: (st.tuples(*[st.tuples(anything, whole)] * 2), anything),
    emergence.development: (whole, anything),
    safetime.safe_time: (whole, st.none() | whole),
    washing.changes_in: (whole, whole),
}
"""Function -> what it is given; its result is a whole number above zero, at most a day where it is a span."""

OTHERS = {
    stops.between: (whole, whole),
    stops.of_density: (anything,),
    stops.on_clock: (anything, whole),
    evenness.corner: (sizes, anything),
    temperature.coefficient: (st.tuples(anything, whole),) * 2,
    emergence.factor: (whole, whole),
    emergence.drift: (whole, whole),
    dilution.poured: (anything, st.builds(Mix, anything, anything)),
    dilution.stretched: (anything, st.builds(Mix, anything, anything)),
    dilution.strength: (anything, anything, anything),
    dilution.weakened: (anything, anything, anything),
    filling.tray: (sizes, anything, anything),
    capacity.edition: (sizes, whole, anything, anything, anything),
    capacity.silver: (anything, anything),
    washing.fill_and_dump: (anything, anything, whole),
    washing.through_flow: (anything, anything, whole),
    vision.contrast_on_black: (anything,),
    vision.darkest_red: (anything,),
    vision.night_share: (anything,),
    exposure.by_stops: (anything,),
    exposure.by_aperture: (anything, anything),
    exposure.by_distance: (anything, anything),
    exposure.by_magnification: (anything, anything),
    exposure.by_paper: (anything, anything),
    exposure.by_filter: (anything, anything),
}
"""Function -> what it is given; its result holds no nan and nothing endless."""


@pytest.mark.parametrize("law", SPANS, ids=lambda law: f"{law.__module__.rpartition('.')[2]}.{law.__name__}")
@given(st.data())
def test_a_span_is_whole_and_above_zero_or_refused(law, data):
    result = worked_out(law, *(data.draw(word) for word in SPANS[law]))
    assert result is None or (isinstance(result, int) and 0 < result <= LONGEST)


@pytest.mark.parametrize("law", OTHERS, ids=lambda law: f"{law.__module__.rpartition('.')[2]}.{law.__name__}")
@given(st.data())
def test_any_number_is_finite_or_refused(law, data):
    result = worked_out(law, *(data.draw(word) for word in OTHERS[law]))
    assert all(math.isfinite(number) for number in numbers(result))


@given(whole, st.integers(-3, 30), st.none() | whole, st.none() | anything, st.integers(-5, 10_000))
@example(8_000, 5, None, 1 / 3, 1)
def test_a_strip_is_whole_or_refused(first, count, add, step, tick):
    plan = worked_out(strips.plan, first, count, add=add, stops=step, tick=tick)
    assert plan is None or (min(plan.increments) > 0 and all(map(math.isfinite, plan.off)))


PARTS = st.builds(parts.BurnOrDodge, st.sampled_from(["burn", "dodge"]), st.just("sky"), anything)


@given(whole, st.lists(PARTS), anything, whole)
@example(25_400, [parts.BurnOrDodge("burn", "sky", 0.5)], 8.0, 100)
def test_parts_are_whole_or_refused(base, wanted, dried, tick):
    plan = worked_out(parts.plan, base, wanted, dried, tick)
    if plan is not None:
        assert all(0 < one.ms <= LONGEST for one in plan.parts)
        assert all(one.ms < plan.base for one in plan.parts if one.part.kind == "dodge")
