"""Whatever is in a file, it is a recipe or it is complaints that can be shown: never another error."""

from contextlib import suppress

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from assistant.planning.plan import make_plan
from assistant.recipe import yaml_places
from assistant.recipe.faults import BadRecipe, Fault
from assistant.recipe.field_reading import LIKE, field_adapter, keys_of
from assistant.recipe.loader import loads
from assistant.recipe.model import STEPS, Call, Look, Paper, Part, Recipe, Strip, TemperatureLaw, Tray, Written
from assistant.score.score import Score
from assistant.trade.quantities import Misread
from tests.recipe.cards import GOOD

KEYS = sorted({key for model in (Recipe, Tray, *STEPS.values()) for key in keys_of(model)} | set(LIKE) | set(STEPS))
VALUES = ["9.6 s", "2 min", "1:30", "20 C", "3 l", "1+9", "1:9", "f/11", "1/3", "20 per litre", "8 %", "true", "0", "-1",
          "4", "60", "one at a time", "none", "by hand", "developer", "12x16 in", "", "24 h", "x" * 300]  # fmt: skip


def outcome(text: str) -> None:
    recipe, faults = attempt(text)
    assert (recipe is None) == any(fault.severity == "error" for fault in faults)
    for fault in faults:
        assert 0 <= fault.line <= len(text.splitlines()) + 1
        assert fault.what
        assert fault.fix
        assert fault.said("card.yaml").isprintable()
    if recipe is not None:
        assert Recipe.model_validate(recipe.model_dump()) == recipe
        assert Score(make_plan(recipe)).runs is not None  # whatever is good can be planned and has its sounds


def attempt(text: str) -> tuple[Recipe | None, tuple[Fault, ...]]:
    try:
        loaded = loads(text, "card.yaml")
    except BadRecipe as error:
        return None, error.faults
    return loaded.recipe, loaded.warnings


@given(st.text())
def test_any_text(text):
    outcome(text)


@given(st.text(alphabet=" \n\t-:{}[],#&*!|>'\"%@`\\?~ab1.+/x", max_size=80))
def test_the_signs_that_yaml_knows(text):
    outcome(text)


@given(st.binary(max_size=200))
def test_any_bytes(raw):
    with suppress(yaml_places.Unreadable):
        outcome(yaml_places.decoded(raw))


@given(st.integers(0, len(GOOD)), st.integers(0, 40), st.sampled_from([*KEYS, *VALUES, "\n", "  ", ": ", "- ", "{", "}", '"']))
def test_a_good_recipe_with_a_slip_of_the_hand(start, gone, put):
    outcome(GOOD[:start] + put + GOOD[start + gone :])


leaf = st.sampled_from(VALUES) | st.text(max_size=8)
anything = st.recursive(
    leaf,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from(KEYS), inner, max_size=6),
    max_leaves=30,
)
tray = st.dictionaries(st.sampled_from(sorted(keys_of(Tray))), leaf, max_size=6)
step = st.one_of(
    *(
        st.fixed_dictionaries({kind: st.dictionaries(st.sampled_from(sorted(keys_of(model))), anything, max_size=8)})
        for kind, model in STEPS.items()
    )
)
card = st.fixed_dictionaries(
    {"format": st.just("1"), "title": leaf},
    optional={
        "copies": leaf,
        "reference": leaf,
        "paper": anything,
        "trays": st.dictionaries(st.sampled_from(["developer", "stop", "fixer", "water", "toner", "washer"]), tray),
        "steps": st.lists(step, max_size=6),
    },
)


@settings(deadline=None)
@given(anything | card)
def test_the_right_words_in_any_order(data):
    outcome(yaml.safe_dump(data, sort_keys=False, allow_unicode=True))


STEP_VALUES = {
    "for": ["9.6 s", "30 s", "2 min", "40 min"], "factor": ["5", "10"], "at_least": ["5 s", "2 min"],
    "at_most": ["90 s", "1 h"], "drain": ["5 s", "15 s", "2 min"], "begin": ["on cue", "by hand"],
    "together": ["true", "false"], "gather": ["true", "false"], "light_safe": ["10 s", "60 s"],
    "apart": ["5 s", "15 s", "3 min"],
    "time": ["5 s", "9.6 s"], "aperture": ["f/11"], "dry_down": ["0 %", "8 %"], "tray": ["water", "developer", "bucket"],
    "by_eye": [{"from": "45 s", "to": "2 min"}, {"from": "2 min", "to": "1 min"}],
    "look": [[{"at": "30 s", "words": "shadows"}], [{"at": "5 min", "words": "late"}, "x"]],
    "say": [[{"at": "20 s", "words": "a"}, {"left": "10 s", "words": "b"}], [{"words": "c"}, {"at": "1", "words": "d"}]],
    "agitate": [{"every": "30 s"}, {"every": "30"}, {"every": "2 min", "say": "turn"}, "all the time"],
    "temperature_law": [{"coefficient": "2.1"}, {"points": [["20 C", "2 min"], ["24 C", "90 s"]]}, {"coefficient": "99"}],
    "strip": [{"first": "6 s", "step": "1/3", "strips": "5"}, {"first": "8 s", "add": "2 s", "strips": "5"}, {"add": "1"}],
    "parts": [[{"burn": "sky", "stops": "1/2"}, {"dodge": "door", "stops": "9"}], [{"burn": "sky"}, {"stops": "10"}],
              [{"light": "hard", "time": "7 s", "filter": "5"}]],
    "name": ["First bath"], "count_in": ["3 s"], "lift": ["pour out"], "pip": ["pour in"], "filter": ["2"],
}  # fmt: skip


def likely(kind: str) -> st.SearchStrategy:
    keys = {key: st.sampled_from(STEP_VALUES[key]) for key in keys_of(STEPS[kind])}
    return st.fixed_dictionaries({kind: st.fixed_dictionaries({}, optional=keys)})


@given(st.lists(st.sampled_from(sorted(STEPS)).flatmap(likely), min_size=1, max_size=8), st.sampled_from(["1", "4", "13", "99"]))
def test_likely_steps_in_any_order(steps, copies):
    head = GOOD[: GOOD.index("steps:")].replace("copies: 4", f"copies: {copies}\npaper: {{size: 12x16 in}}\nreference: 2")
    outcome(head + yaml.safe_dump({"steps": steps}, sort_keys=False))


MAPPINGS = (*STEPS.values(), Recipe, Tray, Paper, Part, Strip, Call, Look, TemperatureLaw)
FIELDS = [(model, name) for model in MAPPINGS for name in keys_of(model).values()]


@given(st.sampled_from(FIELDS), st.text(alphabet="0123456789.,:+-/x° \"'sminhlfCF%½", max_size=10))
def test_a_field_takes_what_it_offers(field, text):
    """What is said to be written instead is taken by the very field that refused the first writing."""
    for offer in offered(field, text):
        field_adapter(*field).validate_python(offer)


def offered(field: tuple[type[Written], str], text: str) -> list[str]:
    try:
        field_adapter(*field).validate_python(text)
    except ValidationError as error:
        causes = [one.get("ctx", {}).get("error") for one in error.errors()]
        return [offer for cause in causes if isinstance(cause, Misread) for offer in cause.offers]
    return []
