"""A strip's card made from a print's card: the wet side as it is, one sheet, and a strip in place of the time."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.recipe.loader import load, loads
from assistant.recipe.model import Expose, Strip, Tone
from assistant.recipe.strip_card import NoStrip, part_of, strip_card
from tests.recipe.test_shipped import SHIPPED
from tests.recipe.test_time_rewriting import SPLIT

PRINTS = [file for file in SHIPPED if any(isinstance(step, Expose) for step in load(file).recipe.steps)]
STRIP = Strip(first=5000, step=0.5, strips=6)


@pytest.mark.parametrize("file", PRINTS, ids=lambda file: file.stem)
def test_a_strip_goes_through_the_baths_of_its_print(file):
    text = file.read_text(encoding="utf-8")
    of_print = loads(text).recipe
    made = strip_card(text, STRIP, part=of_print.prints[0].name if of_print.prints else None)
    of_strip = loads(made).recipe
    light, *baths = of_strip.steps
    assert light.strip == STRIP
    assert light.aperture == of_print.steps[0].aperture
    assert tuple(baths) == of_print.steps[1 : len(baths) + 1]
    assert not any(isinstance(step, Tone) for step in baths)
    assert (of_strip.copies, of_strip.reference, of_strip.paper) == (1, 0, of_print.paper)
    assert {step.tray for step in baths} == set(of_strip.trays)
    assert loads(made).warnings == ()


@given(st.integers(100, 100_000), st.sampled_from([1 / 6, 1 / 4, 1 / 3, 1 / 2, 1]), st.integers(2, 8))
def test_any_strip_is_written_as_it_is_read(first, step, strips):
    text = PRINTS[0].read_text(encoding="utf-8")
    wanted = Strip(first=first, step=step, strips=strips, way="uncover")
    written = loads(strip_card(text, wanted)).recipe.steps[0].strip
    assert (written.first, written.strips, written.way) == (first, strips, "uncover")
    assert written.step == pytest.approx(step, abs=1e-6)


def test_a_strip_for_a_second_light_is_given_by_that_light_alone():
    text = SPLIT.replace("filter: 0,", "filter: 0, aperture: f/11,")
    of_strip = loads(strip_card(text, STRIP, part="hard")).recipe
    light = of_strip.steps[0]
    assert (light.name, light.filter, light.aperture, light.parts) == ("Test strip, hard", "5", 11, ())
    assert part_of(of_strip) == "hard"
    assert part_of(loads(strip_card(text, STRIP)).recipe) is None
    with pytest.raises(NoStrip, match="its lights are `hard`"):
        strip_card(text, STRIP, part="soft")


def test_film_has_no_strip():
    film = next(file for file in SHIPPED if file not in PRINTS)
    with pytest.raises(NoStrip, match="no exposure"):
        strip_card(film.read_text(encoding="utf-8"), STRIP)


def test_a_strip_counts_with_its_own_size():
    text = PRINTS[0].read_text(encoding="utf-8")
    cut = loads(strip_card(text, Strip(first=5000, step=0.5, strips=6, size="4x10 in"))).recipe
    assert cut.sheet_size.equivalents == pytest.approx(0.5)
    assert loads(strip_card(text, STRIP)).recipe.sheet_size == loads(text).recipe.paper.size


@pytest.mark.parametrize(
    ("first", "count", "step", "said"),
    [(3_000, 6, 1 / 6, "Under 1.5 s"), (100, 20, 1.0, "The light is on for"), (5_000, 4, 1.0, "")],
)
def test_what_the_calculation_warns_of_is_read_before_the_light(first, count, step, said):
    from assistant.cli.strip import StripCall, _card

    notes = _card(Path("contact-proof"), StripCall(first, None, count, step, None, "cover")).notes
    assert any(said in note for note in notes) if said else notes == ()
