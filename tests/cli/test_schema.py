"""The JSON Schema: fresh beside the recipes, sound itself, taking what is good and refusing what is misspelt."""

import json
import re

import jsonschema
import pytest
import yaml

from assistant.cli.main import main
from assistant.places import shipped
from assistant.recipe.schema import recipe_schema
from tests.recipe.cards import GOOD, changed

VALIDATOR = jsonschema.Draft202012Validator(recipe_schema())


class CoreLoader(yaml.SafeLoader):
    """YAML as editors read it (version 1.2, core schema): 1:30 and yes are text, 0.25 and 8 are numbers."""


CoreLoader.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("tag:yaml.org,2002:bool", r"true|false", "tf"),
    ("tag:yaml.org,2002:null", r"~|null|", ["~", "n", ""]),
    ("tag:yaml.org,2002:int", r"[-+]?[0-9]+", "-+0123456789"),
    ("tag:yaml.org,2002:float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)", "-+.0123456789"),
):
    CoreLoader.add_implicit_resolver(tag, re.compile(rf"^(?:{pattern})$"), list(first))


def errors(text: str) -> list[str]:
    data = yaml.load(text, CoreLoader)
    return [error.message for error in VALIDATOR.iter_errors(data)]


def test_it_is_a_schema():
    jsonschema.Draft202012Validator.check_schema(recipe_schema())


def test_the_one_beside_the_recipes_is_fresh(capsys):
    assert main(["schema"]) == 0
    kept = (shipped("recipes") / "recipe.schema.json").read_text(encoding="utf-8")
    assert capsys.readouterr().out == kept, "write it anew: traycall schema > recipes/recipe.schema.json"
    assert json.loads(kept) == recipe_schema()


@pytest.mark.parametrize("file", sorted(shipped("recipes").glob("*.yaml")), ids=lambda file: file.stem)
def test_the_recipes_that_travel_with_the_program(file):
    assert errors(file.read_text(encoding="utf-8")) == []


def test_everything_that_can_be_written():
    text = changed(
        (
            "copies: 4",
            "copies: 4\nreference: 1\nnotes: |\n  Two\n  lines\nflow: overlap\nfirst: in company\n"
            "hands: {slack: 0 s, pace: 1.5 s, place: 30 s}\nlight: safe\npaper: {size: 8x10 in}",
        ),
        (
            "  - expose: {time: 9.6 s}",
            "  - expose: {time: 0:09.6, count_in: 5 s, dry_down: 8 %, parts: [{burn: sky, stops: 0.25}]}",
        ),
        (
            "- develop: {for: 2 min}",
            "- develop: {factor: 7.5, begin: on cue, agitate: {every: 30s, give: 12 s}, say: [{left: 10 s, words: soon}],"
            " temperature_law: {points: [[20 C, 2 min], [75.2 F, 1:30]]}}",
        ),
        ("{tray: water}", "{tray: water, gather: false}"),
    )
    assert errors(text) == []


def test_a_hold_may_stand_alone():
    assert errors(changed(("  - hold: {tray: water}", "  - hold:"))) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("title: Slipway panel", "titel: Slipway panel"),
        ("format: 1", "format: 2"),
        ("copies: 4", "copies: 61"),
        ("mix: 1+9", "mix: '1:9'"),
        ("volume: 3 l", "volume: 3"),
        ("temperature: 20 C", "temperature: 20"),
        ("{bath: citric stop}", "{volume: 3 l}"),
        ("time: 9.6 s", "time: 9.6"),
        ("time: 9.6 s", "tme: 9.6 s"),
        ("- develop: {for: 2 min}", "- develop: {for: 2 min, factor: 10}"),
        ("- develop: {for: 2 min}", "- develope: {for: 2 min}"),
        ("- stop: {for: 30 s}", "- stop: {at_most: 60 s}"),
        ("{tray: water}", "{tray: water, for: 5 min}"),
        ("{tray: water}", "{tray: water, gather: sometimes}"),
        ("{from: 45 s, to: 2 min}", "{earliest: 45 s, to: 2 min}"),
        ("holds: 2", "holds: 0"),
        ("copies: 4", "copies: 4\nfirst: last"),
        ("copies: 4", "copies: 4\nhands: {pace: 2}"),
    ],
)
def test_what_it_refuses(old, new):
    assert errors(GOOD) == []
    assert errors(changed((old, new))) != []
