"""Red light and the eye: how readable a red is on black, and how little of the dark adaptation it costs.

The CIE's 1924 photopic and 1951 scotopic luminous efficiencies from 580 to 680 nm; contrast by the formula of WCAG 2.

    >>> round(contrast_on_black(0xFF), 3)
    5.252
    >>> round(scotopic_ratio(625), 4)
    0.0385
"""



CONTRAST_LAW = "contrast = (L + 0.05) / 0.05 on black, L the relative luminance of the red (WCAG 2)"
RATIO_LAW = "S/P = (1700 * V'(nm)) / (683 * V(nm)), CIE 1951 and 1924"

SHORTEST, LONGEST = 580, 680

_RED_SHARE = 0.2126
