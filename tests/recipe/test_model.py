"""The model: typed from text or taken typed, frozen, unknown keys refused, the same after a round trip."""

import pytest
from pydantic import ValidationError

from assistant.recipe.loader import loads
from assistant.recipe.model import STEPS, Develop, Expose, Fix, Recipe, Stop, Tone, Tray
from assistant.trade.quantities import Mix
from tests.recipe.cards import GOOD
from tests.recipe.test_shipped import SHIPPED


@pytest.mark.parametrize("text", [GOOD, *(file.read_text(encoding="utf-8") for file in SHIPPED)], ids=lambda t: t[:20])
def test_there_and_back(text):
    recipe = loads(text).recipe
    assert Recipe.model_validate(recipe.model_dump()) == recipe
    assert Recipe.model_validate(recipe.model_dump(by_alias=True)) == recipe
    assert Recipe.model_validate_json(recipe.model_dump_json()) == recipe


def test_written_and_typed_values_are_the_same():
    assert Develop.model_validate({"tray": "developer", "for": "2 min"}) == Develop(tray="developer", target=120_000)
    assert Tray(bath="print developer", mix="1+9") == Tray(bath="print developer", mix=Mix(1, 9))


def test_a_recipe_is_frozen():
    recipe = loads(GOOD).recipe
    with pytest.raises(ValidationError, match="frozen"):
        recipe.copies = 5
    with pytest.raises(ValidationError, match="frozen"):
        recipe.steps[0].time = 1


def test_an_unknown_key_is_refused():
    with pytest.raises(ValidationError, match="Extra inputs"):
        Stop.model_validate({"tray": "stop", "for": "30 s", "shake": "often"})


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        ("expose", "Exposure"),
        ("develop", "Developer"),
        ("stop", "Stop"),
        ("fix", "Fixer"),
        ("hold", "Holding water"),
        ("tone", "Toner"),
        ("wash", "Wash"),
    ],
)
def test_a_step_is_spoken_of_by_its_kind_unless_named(kind, name):
    assert STEPS[kind].model_fields["name"].default == name
    assert STEPS[kind].model_fields["kind"].default == kind


def test_defaults_of_the_steps():
    assert Expose(time=9600).count_in == 3000
    assert Fix(tray="fixer", target=120_000).light_safe == 60_000
    assert Stop(tray="stop", target=30_000).at_least == 30_000
    assert Stop(tray="stop", target=30_000, at_least=5000).at_least == 5000
    assert Develop(tray="developer", target=120_000).at_least is None


def test_a_toner_has_no_time_of_its_own():
    by_eye = {"from": "45 s", "to": "2 min"}
    assert Tone.model_validate({"tray": "toner", "by_eye": by_eye}).target is None
    with pytest.raises(ValidationError):
        Tone.model_validate({"tray": "toner", "by_eye": by_eye, "for": "2 min"})
