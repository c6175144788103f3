"""Red light and the eye: how readable a red is on black, and how little of the eye's night sight it costs.

From the luminous efficiencies of the CIE, 1924 for day sight and 1951 for night sight, and the contrast of WCAG 2.
Whether paper can bear a red light is not to be calculated: that is what a fog test is for.

    >>> round(contrast_on_black(0xFF), 3)
    5.252
    >>> f"#{darkest_red(4.5):02X}0000"
    '#EB0000'
    >>> round(night_share(625), 4)
    0.0385
"""

from assistant.trade import limits

CONTRAST_LAW = "contrast = (L + 0.05) / 0.05 on black, L the relative luminance (WCAG 2)"
NIGHT_LAW = "S/P = 1700 V'(nm) / 683 V(nm), by the CIE's 1951 and 1924 observers"
WARNINGS = ("A screen's black leaks and its red overlaps green: cover it, or make a fog test with this very screen.",)

_RED_IN_LUMINANCE = 0.2126
"""The share of pure red in relative luminance (WCAG 2, after sRGB)."""
_LUMENS_BY_NIGHT, _LUMENS_BY_DAY = 1700, 683
"""Lumens a watt at the eye's best, by the CIE's observers of 1951 and 1924."""

_EFFICIENCY = {
    580: (0.1212, 0.87),
    585: (0.0899, 0.8163),
    590: (0.0655, 0.757),
    595: (0.0469, 0.6949),
    600: (0.03315, 0.631),
    605: (0.02312, 0.5668),
    610: (0.01593, 0.503),
    615: (0.01088, 0.4412),
    620: (0.00737, 0.381),
    625: (0.00497, 0.321),
    630: (0.003335, 0.265),
    635: (0.002235, 0.217),
    640: (0.001497, 0.175),
    645: (0.001005, 0.1382),
    650: (0.000677, 0.107),
    655: (0.000459, 0.0816),
    660: (0.0003129, 0.061),
}
"""Wavelength in nm -> luminous efficiency by night and by day: the red and amber lamps that are made."""


def contrast_on_black(red: int) -> float:
    """How readable a pure red (0 to 255 in sRGB) is on black, from 1 to 5.252."""
    share = limits.between(red, 0, 255, "a red") / 255
    # relative luminance and contrast by the formulas of WCAG 2
    linear = share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)
    return (_RED_IN_LUMINANCE * linear + 0.05) / 0.05


def darkest_red(contrast: float) -> int:
    """The darkest pure red (0 to 255 in sRGB) that has at least this contrast on black."""
    for red in range(256):
        if contrast_on_black(red) >= contrast:
            return red
    raise limits.Impossible(f"no red on black has a contrast of {contrast:g}", "give at most 5.25, or use larger figures")


def night_share(nm: float) -> float:
    """How much a light works on night sight for the same light to day sight (S/P); from 580 to 660 nm."""
    limits.between(nm, min(_EFFICIENCY), max(_EFFICIENCY), "a red light", "nm")
    below = int(nm // 5 * 5)
    lower = _ratio(below)
    return lower if nm == below else float(lower * (_ratio(below + 5) / lower) ** ((nm - below) / 5))


def _ratio(nm: int) -> float:
    night, day = _EFFICIENCY[nm]
    return _LUMENS_BY_NIGHT * night / (_LUMENS_BY_DAY * day)
