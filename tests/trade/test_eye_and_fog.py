"""Safe time and red light: the standard's worked value, and every number of the eye against `colour-science`."""

import warnings

import pytest

from assistant.trade import safetime, vision
from assistant.trade.limits import Impossible

SP = 1700 / 683


@pytest.fixture(scope="module")
def colour():
    """The library, read where it is asked for: that takes more than a second."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it misses a plotting library that nobody needs here
        import colour
    return colour


@pytest.fixture(scope="module")
def night_to_day(colour):
    """What a rod sees of a wavelength beside what a cone sees of it."""
    day = colour.colorimetry.SDS_LEFS_PHOTOPIC["CIE 1924 Photopic Standard Observer"]
    night = colour.colorimetry.SDS_LEFS_SCOTOPIC["CIE 1951 Scotopic Standard Observer"]
    return lambda nm: SP * night[nm] / day[nm]


def test_the_standards_safe_time():
    """Clean at 4 min, fogged at 8: ANSI IT2.26-1998, ISO 8374 [std]."""
    assert safetime.safe_time(240_000, 480_000) / 1000 == pytest.approx(169.7, abs=0.05)


def test_safe_time_never_exceeds_half_the_mean():
    safe = safetime.safe_time(240_001, 480_003)
    assert (2 * safe) ** 2 <= 240_001 * 480_003 < (2 * (safe + 1)) ** 2


def test_nothing_fogged_is_a_lower_bound():
    assert safetime.safe_time(480_000, None) == 240_000


@pytest.mark.parametrize(("clean", "fogged"), [(480_000, 240_000), (240_000, 240_000), (0, 60_000), (1, -1)])
def test_a_fog_test_that_contradicts_itself(clean, fogged):
    with pytest.raises(Impossible) as said:
        safetime.safe_time(clean, fogged)
    assert said.value.fix


def test_the_eye_agrees_with_colour_science(night_to_day):
    """CIE 1924 V and 1951 V': S/P = 0.0385 at 625 nm (in the `colour-science` package)."""
    assert vision.night_share(625) == pytest.approx(0.0385, abs=5e-5)
    assert vision.night_share(625) == pytest.approx(night_to_day(625))
    for nm in range(580, 661):
        assert vision.night_share(nm) == pytest.approx(night_to_day(nm), rel=0.01), nm


def test_contrast_agrees_with_colour_science(colour):
    for red in (0, 1, 10, 11, 64, 128, 183, 200, 235, 255):
        luminance = colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ[1, 0] * colour.models.eotf_sRGB(red / 255)
        assert vision.contrast_on_black(red) == pytest.approx((luminance + 0.05) / 0.05, rel=1e-3), red


def test_reds_that_can_be_read():
    """Pure red on black 5.252:1, #EB0000 the darkest above 4.5:1, #B70000 above 3:1 (WCAG 2 formula)."""
    assert vision.contrast_on_black(255) == pytest.approx(5.252, abs=5e-4)
    assert vision.darkest_red(4.5) == 0xEB
    assert vision.darkest_red(3) == 0xB7


@pytest.mark.parametrize("impossible", [lambda: vision.darkest_red(6), lambda: vision.night_share(500)])
def test_what_has_no_answer_says_so(impossible):
    with pytest.raises(Impossible) as said:
        impossible()
    assert said.value.fix
