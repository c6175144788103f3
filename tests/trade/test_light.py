"""Exposure laws, burns and dodges, the corner of a bare lamp: the trade's worked values, each beside its source."""

import math

import pytest

from assistant.trade import aperture, evenness, exposure, parts, stops
from assistant.trade.lengths import parse_length
from assistant.trade.limits import Impossible
from assistant.trade.quantities import parse_size
from tests.trade.units import units


def after(seconds: float, change: exposure.StopsChange) -> int:
    return exposure.changed(round(seconds * 1000), [change]).after


@pytest.mark.parametrize(
    ("seconds", "change", "ms"),
    [
        (10, exposure.by_stops(1 / 3), 12_599),  # n stops [math]
        (10, exposure.by_stops(-1 / 2), 7_071),  # n stops [math]
        (10, exposure.by_aperture(8, 11), 20_000),  # ISO 517 series [std] + math; the markings would give 18.906
        (12, exposure.by_aperture(5.6, 16), 96_000),  # ISO 517 series [std] + math
        (12, exposure.by_distance(800, 1000), 18_750),  # inverse-square law [math]
        (10, exposure.by_magnification(2, 3), 17_778),  # thin-lens optics, from memory
        (10, exposure.by_paper(500, 250), 20_000),  # ISO 6846 [std]; P = 1000/H_m from memory
        (12, exposure.by_filter(1, 2), 24_000),  # practice: common practice, no source
    ],
    ids=lambda value: getattr(value, "what", ""),
)
def test_one_change(seconds, change, ms):
    assert after(seconds, change) == ms


def test_stops_between_two_times():
    assert stops.between(12_000, 18_750) == pytest.approx(0.6439, abs=5e-5)  # n = log2(t2/t1) [math]


def test_density_in_stops():
    assert stops.of_density(0.30) == pytest.approx(0.9966, abs=5e-5)  # n = D/log10 2 [math]
    assert exposure.by_density(0.30).stops == stops.of_density(0.30)


def test_the_trade_shortcut_is_one_stop_not_two():
    """f/5.6 at 4 s and f/8 at 8 s (practice) are one stop apart [math]."""
    assert exposure.by_aperture(5.6, 8).stops == 1
    assert after(4, exposure.by_aperture(5.6, 8)) == 8_000


FULL_STOPS = (1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22, 32, 45, 64, 90, 128)
THIRDS = {1.1: 1, 1.6: 4, 1.8: 5, 2.2: 7, 2.5: 8, 3.2: 10, 3.5: 11, 4.5: 13, 5: 14, 6.3: 16, 7.1: 17, 9: 19, 10: 20, 13: 22}
THIRDS |= {14: 23, 18: 25, 20: 26, 25: 28, 29: 29}
HALVES = {1.2: 1, 1.7: 3, 2.4: 5, 3.3: 7, 4.8: 9, 6.7: 11, 9.5: 13, 19: 17, 27: 19}


@pytest.mark.parametrize(("place", "marked"), list(enumerate(FULL_STOPS)))
def test_full_stops_as_they_are_engraved(place, marked):
    assert aperture.exact(marked) == pytest.approx(math.sqrt(2) ** place)  # ISO 517 series [std]


@pytest.mark.parametrize(("marked", "third"), list(THIRDS.items()))
def test_third_stops_as_they_are_engraved(marked, third):
    assert aperture.exact(marked) == pytest.approx(2 ** (third / 6))  # markings of the thirds: from memory


@pytest.mark.parametrize(("marked", "half"), list(HALVES.items()))
def test_half_stops_as_they_are_engraved(marked, half):
    assert aperture.exact(marked) == pytest.approx(2 ** (half / 4))  # markings of the halves: from memory


def test_a_number_far_from_the_series_is_taken_as_it_is():
    assert aperture.exact(1.9) == pytest.approx(1.9)


@pytest.mark.parametrize(
    "change", [exposure.by_distance(800, 1000), exposure.by_magnification(2, 3)], ids=["distance", "magnification"]
)
def test_a_moved_lamp_asks_for_a_new_strip(change):
    assert exposure.NEW_STRIP in exposure.changed(10_000, [change]).warnings


def test_another_filter_or_paper_is_only_a_start():
    assert "test again" in exposure.by_filter(1, 2).warnings[0]
    assert "new strip" in exposure.by_paper(500, 250).warnings[0]


def test_changes_add_up_and_are_rounded_once():
    changes = [exposure.by_stops(1 / 3)] * 3
    assert exposure.changed(10_000, changes).after == 20_000
    assert exposure.changed(10_000, []).after == 10_000


def test_dry_down_comes_once_and_last():
    assert exposure.dry_down(20_000, 8) == 18_400  # practice: common practice, no source
    done = exposure.changed(10_000, [exposure.by_stops(1)], dry_down=8)
    assert (done.uncorrected, done.after) == (20_000, 18_400)


def test_a_clock_with_coarse_steps_says_what_it_changed():
    done = exposure.changed(10_000, [exposure.by_stops(1 / 3)], tick=500)
    assert done.after == 12_500
    assert done.off == pytest.approx(math.log2(12.5 / 12.599), abs=1e-4)


def test_evenness_of_a_bare_lamp():
    corner = evenness.corner(parse_size("8x10 in"), 800)  # cos³θ at the corner [math]
    assert corner.share == pytest.approx(0.941, abs=5e-4)
    assert corner.stops == pytest.approx(-0.088, abs=5e-4)


def test_burn_and_dodge_after_the_published_table():
    """Lambrecht, f/stop timing table, in Lambrecht & Woodhouse, *Way Beyond Monochrome* [pub], printed to 0.1 s."""
    assert round(exposure.dodge(25_400, 1 / 3) / 1000, 1) == 5.2
    assert round(exposure.burn(25_400, 1 / 2) / 1000, 1) == 10.5


def test_parts_follow_the_base_after_dry_down():
    wanted = [parts.BurnOrDodge("dodge", "door", 1 / 3), parts.BurnOrDodge("burn", "sky", 1 / 2)]
    plan = parts.plan(20_000, wanted, dry_down=8)
    assert (plan.uncorrected, plan.base) == (20_000, 18_400)
    assert [one.ms for one in plan.parts] == [exposure.dodge(18_400, 1 / 3), exposure.burn(18_400, 1 / 2)]
    assert plan.light == 18_400 + exposure.burn(18_400, 1 / 2)
    assert plan.warnings == ()


def test_dodges_longer_than_the_base_are_said():
    plan = parts.plan(10_000, [parts.BurnOrDodge("dodge", "door", 1), parts.BurnOrDodge("dodge", "keel", 1.5)])
    assert any("one pair of hands" in words for words in plan.warnings)


def test_a_burn_too_short_for_hands_is_said():
    plan = parts.plan(4_000, [parts.BurnOrDodge("burn", "sky", 1 / 4)])
    assert [one.ms for one in plan.parts] == [757]
    assert "burn sky" in plan.warnings[0]


def test_parts_on_a_coarse_clock_are_whole_steps():
    plan = parts.plan(25_400, [parts.BurnOrDodge("dodge", "door", 1 / 3), parts.BurnOrDodge("burn", "sky", 1 / 2)], tick=500)
    assert [one.ms % 500 for one in plan.parts] == [0, 0]
    assert plan.base == 25_500
    assert [one.off for one in plan.parts] == pytest.approx([0, 0], abs=0.02)


@pytest.mark.parametrize(
    ("text", "quantity"), [("80 cm", "80 cm"), ("31.5 in", "31.5 inch"), ("1.2 m", "1.2 m"), ("20 mm", "20 mm")]
)
def test_lengths_agree_with_pint(text, quantity):
    assert parse_length(text) == pytest.approx(units()(quantity).to("mm").magnitude)


@pytest.mark.parametrize(
    "impossible",
    [
        lambda: exposure.by_distance(0, 800),
        lambda: exposure.by_magnification(2, -3),
        lambda: exposure.dry_down(10_000, 50),
        lambda: exposure.dry_down(10_000, -1),
        lambda: exposure.burn(10_000, 0),
        lambda: exposure.dodge(10_000, -1),
        lambda: exposure.changed(-1, [exposure.by_stops(1)]),
        lambda: exposure.by_stops(25),
        lambda: exposure.changed(86_400_000, [exposure.by_stops(1)]),
        lambda: stops.of_density(-0.3),
        lambda: stops.between(0, 1),
        lambda: exposure.changed(1, [exposure.by_stops(-3)]),
    ],
)
def test_what_has_no_answer_says_so(impossible):
    with pytest.raises(Impossible) as said:
        impossible()
    assert said.value.fix


def test_dodges_are_given_one_after_the_other_with_a_second_for_the_hands_between():
    assert parts.shades(20_000, [3_000, 4_000]) == ((1_000, 4_000), (5_000, 9_000))
    with pytest.raises(Impossible, match="the dodges take until 9 s"):
        parts.shades(8_900, [3_000, 4_000])
