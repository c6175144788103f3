"""The recipes that travel with the program: good, without a warning, and what their titles promise."""

from pathlib import Path

import pytest

from assistant.places import shipped
from assistant.recipe.loader import load
from assistant.recipe.model import Develop, Expose, Fix, Hold, Recipe, Stop, Tone, Wash
from assistant.score.lamp import lamp_runs

SHIPPED = sorted(shipped("recipes").glob("*.yaml"))
MINUTE = 60_000


def recipe(name: str) -> Recipe:
    return load(shipped("recipes") / f"{name}.yaml").recipe


def steps(name: str, kind: type) -> list:
    return [step for step in recipe(name).steps if isinstance(step, kind)]


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_no_complaints_at_all(file):
    assert load(file).warnings == ()


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_readable_on_a_card(file):
    lines = file.read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("# ")
    assert max(map(len, lines)) <= 130
    assert len(lines) <= 60


def test_there_are_enough():
    assert len(SHIPPED) >= 11


def test_the_edition_keeps_one_print_untoned_and_tones_one_at_a_time():
    card = recipe("slipway-edition")
    assert (card.copies, card.reference, card.flow) == (8, 1, "one at a time")
    (tone,) = steps("slipway-edition", Tone)
    assert card.trays[tone.tray].holds == 1
    assert card.trays[tone.tray].care == ("gloves", "ventilation")
    before, after = (card.steps[card.steps.index(tone) + way] for way in (-1, 1))
    assert isinstance(before, Hold)
    assert isinstance(after, Hold)
    assert before.tray != after.tray


def test_the_darkness_is_total_and_nothing_is_exposed():
    assert recipe("film-in-trays").light == "none"
    assert steps("film-in-trays", Expose) == []


def test_two_baths_of_equal_time_then_the_aid():
    first, second = steps("two-bath-fixing", Fix)
    assert first.target == second.target  # Anchell, p. 107: equal times, drain between
    assert first.tray != second.tray
    assert [step.name for step in steps("two-bath-fixing", Wash)] == ["Washing aid", "Final wash"]


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_the_light_is_the_boatyards_own(file):
    """Times, apertures and strips are invented ones of the boatyard: none of these stock figures."""
    for step in load(file).recipe.steps:
        if isinstance(step, Expose):
            assert step.aperture != 8
            assert step.time not in (4_000, 8_000, 8_500, 12_000)
            totals = lamp_runs(step)[0].totals
            assert not {4_000, 8_000, 8_500, 12_000} & set(totals)


def test_two_lights_on_one_sheet_each_with_its_own_filter():
    light, burn = (part for part in steps("ferry-split-filter", Expose)[0].parts if not part.dodge)
    assert (light.time, light.filter, burn.filter) == (7000, "5", None)


def test_the_kinds_of_paper_and_what_an_eye_ends():
    assert KINDS["coated-proof"] == "coated"
    assert KINDS["film-in-trays"] == "film"
    assert steps("warm-developer", Develop)[0].ends == "eye"
    bleach, toner = steps("bleach-and-sepia", Tone)
    assert (bleach.together, toner.together) == (True, False)
    assert steps("bleach-and-sepia", Hold)[0].at_least == 10 * MINUTE


def test_strip_and_parts():
    assert steps("test-strip", Expose)[0].strip is not None
    assert {bool(part.burn) for part in steps("boat-shed-door", Expose)[0].parts} == {True, False}


KINDS = {file.stem: (card.paper.kind if (card := load(file).recipe).paper else "fibre") for file in SHIPPED}
FIBRE = [name for name, kind in KINDS.items() if kind == "fibre"]


@pytest.mark.parametrize("name", FIBRE)
def test_within_the_times_that_are_published(name):
    for step in steps(name, Develop):
        # U.S. Army SS0509, Laboratory Procedures: 1.5 to 2 min; the longest is common practice, no source
        assert step.target is None or 1.5 * MINUTE <= step.target <= 5 * MINUTE
    for step in steps(name, Wash):
        if step.name == "Final wash":
            # Clerc, Photography: Theory and Practice, section 607: 30 min thin, 90 min very thick paper
            assert 30 * MINUTE <= step.target <= 90 * MINUTE
            # the same: water renewed every five minutes
            assert recipe(name).trays[step.tray].refresh == 5 * MINUTE


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_nothing_holds_more_than_its_tray(file: Path):
    card = load(file).recipe
    for step in card.steps:
        if isinstance(step, Hold) or getattr(step, "together", False):
            assert card.trays[step.tray].holds >= card.copies


TIMES = {
    "develop": (90, 300),  # U.S. Army SS0509 *Laboratory Procedures* [pub]: 1.5 to 2 min; most: practice
    "stop": (5, 60),  # NAVEDTRA 14209 [pub]: about 5 s; SS0509 [pub]: 1 min
    "wash": (120, 90 * 60),  # washing aid from 2 min: practice; Clerc §607 [pub]: to 90 min
}
"""Least and most of a step on paper, seconds."""


PAPERS = [file for file in SHIPPED if recipe(file.stem).light == "safe"]


@pytest.mark.parametrize("file", PAPERS, ids=lambda file: file.stem)
def test_a_fixing_time_belongs_to_its_strength(file):
    card = load(file).recipe
    for step in card.steps:
        if isinstance(step, Fix):
            parts = card.trays[step.tray].mix
            least, most = FIXING[(parts.concentrate, parts.water)]
            assert least <= step.target / 1000 <= step.at_most / 1000 <= most
    first = next(step for step in card.steps if isinstance(step, Fix))
    assert first.light_safe >= first.target / 2  # common practice, no source


FIXING = {
    (1, 4): (45, 120),  # film strength: Anchell, *The Darkroom Cookbook*, 3rd ed. p. 107 [pub]
    (1, 9): (120, 300),  # paper strength: common practice, no source
}
"""How a rapid fixer is mixed -> the least and most of its time on paper, seconds."""


@pytest.mark.parametrize("file", PAPERS, ids=lambda file: file.stem)
def test_a_print_is_moved_in_every_bath_of_the_wet_side(file):
    for step in load(file).recipe.steps:
        if isinstance(step, Develop | Stop | Fix):
            assert step.agitate is not None


def test_each_corner_is_burned_by_a_light_of_its_own():
    burned = [part.burn for part in steps("boat-shed-door", Expose)[0].parts if part.burn]
    assert [area for area in burned if "corner" in area] == ["lower left corner", "lower right corner"]
    assert not any(area.endswith("corners") for area in burned)


@pytest.mark.parametrize("file", PAPERS, ids=lambda file: file.stem)
def test_the_times_of_paper_lie_where_handbooks_have_them(file):
    for step in load(file).recipe.steps:
        if step.kind in TIMES and step.target is not None:
            least, most = TIMES[step.kind]
            assert least <= step.target / 1000 <= most
        if isinstance(step, Develop | Fix):
            assert 5_000 <= step.drain <= 20_000  # SS0509 [pub]: about 15 s by one corner
        if isinstance(step, Tone):
            assert 45_000 <= step.by_eye.earliest < step.by_eye.latest <= 360_000  # common practice, no source
        if isinstance(step, Wash) and step.name == "Final wash" and file.stem in FIBRE:
            assert step.target >= 20 * MINUTE  # with a washing aid; common practice, no source
