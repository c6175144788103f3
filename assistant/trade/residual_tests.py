"""Tests of what fixing and washing left behind, told by what they show. Pure.

All three are common practice and quoted from memory; the label of the test's own solution goes before them. None of them
proves that a print will keep: limits for paper could not be confirmed in any standard that could be read.
"""

from dataclasses import dataclass
from typing import Literal

TestKind = Literal["fixer", "silver", "washing"]


@dataclass(frozen=True)
class ResidualTest:
    """A test: when it is made, what is done, what a good and a bad one look like, what follows from a bad one, cautions."""

    kind: TestKind
    when: str
    how: str
    good: str
    bad: str
    then: str
    care: str


TESTS: dict[TestKind, ResidualTest] = {
    "fixer": ResidualTest(
        "fixer",
        "before an edition, and before toning",
        "a little of the working fixer in a glass, a few drops of fixer test solution (potassium iodide, about 5 %) into it",
        "clear, or a cloud that goes when it is shaken",
        "a yellowish cloud that stays",
        "mix fresh fixer; with two baths the second takes the first one's place",
        "keep the test apart from food and skin, and throw what was tested to the spent fixer",
    ),
    "silver": ResidualTest(
        "silver",
        "on the white margin of a fixed and rinsed spare sheet, before toning",
        "one drop of residual silver test (dilute sodium sulphide) for three minutes, then blotted",
        "no tint, or a tint that can hardly be seen",
        "any tint that is plainly yellow or brown",
        "fix again in fresh fixer, and test again",
        "sulphide gives a poisonous gas with acid: fan on, no stop bath or acid near it, gloves",
    ),
    "washing": ResidualTest(
        "washing",
        "on the white margin of a blank sheet that went through all baths, after the last wash",
        "one drop of residual fixer test (acidified silver nitrate) for two minutes in weak light, then rinsed",
        "no stain, or the palest cream",
        "a stain that is plainly yellow or brown",
        "wash again in fresh water, renewed every five minutes, and test again",
        "silver nitrate burns eyes and stains skin: gloves and glasses",
    ),
}
"""Test -> what it shows; common practice, no source."""

GOVERNS = "The test solution's label and safety sheet go before this. A good test is no promise of how long a print keeps."
