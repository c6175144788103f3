"""Every field does something: change it, and what is heard, what is read before, a verdict or a complaint changes too.

A field that could be written and did nothing would be a promise to the printer that nobody keeps. Each change below is
made in a recipe in which that field is at home; a field without a change of its own here fails by its name.
"""

from copy import deepcopy
from functools import cache
from typing import Any

import pytest
import yaml

from assistant.conductor.rehearsal import Punctual, Scripted, rehearse
from assistant.places import shipped
from assistant.planning.briefing import needed
from assistant.planning.plan import make_plan
from assistant.printing.fog_test import is_fog_test
from assistant.recipe.faults import BadRecipe
from assistant.recipe.field_reading import keys_of
from assistant.recipe.loader import loads
from assistant.recipe.model import (
    STEPS,
    Agitate,
    ByEye,
    Call,
    HandTimes,
    Look,
    Negative,
    Paper,
    Part,
    Print,
    Recipe,
    Strip,
    TemperatureLaw,
    Tray,
)  # fmt: skip
from assistant.score.score import Score
from assistant.session import happenings as h
from tests.planning.plans import facts, planned

CARD: dict[str, Any] = {
    "format": 1, "title": "Slipway panel", "notes": "Glass cleaned.", "copies": 2, "reference": 1, "flow": "one at a time",
    "light": "safe", "negative": {"name": "Bow", "orientation": "emulsion down"}, "lamp": "bare bulb", "height": "74 cm",
    "paper": {"name": "glossy", "kind": "fibre", "size": "8x10 in", "grade": "2", "batch": "A", "finish": "to the rack"},
    "spares": 1, "blank": 1,
    "trays": {
        "developer": {"bath": "print developer", "mix": "1+9", "volume": "2 l", "temperature": "20 C", "lasts": "20 per litre",
                      "care": ["gloves"]},
        "stop": {"bath": "citric stop", "holds": 2}, "fixer": {"bath": "rapid fixer", "holds": 2},
        "water": {"bath": "holding water", "holds": 4, "refresh": "5 min"},
        "toner": {"bath": "selenium toner", "care": ["ventilation"]}, "rinse": {"bath": "rinse", "holds": 4},
        "washer": {"bath": "wash water", "holds": 4},
    },
    "steps": [
        {"expose": {"name": "Exposure", "time": "20 s", "count_in": "3 s", "aperture": "f/11", "filter": "2", "dry_down": "8 %",
                    "parts": [{"dodge": "door", "stops": "1/3", "say": "small card"},
                              {"burn": "sky", "stops": "1/2", "filter": "3", "aperture": "f/16", "say": "large card"},
                              {"light": "hard", "time": "7 s", "filter": "5", "aperture": "f/16", "say": "head down"}]}},
        {"develop": {"name": "Developer", "tray": "developer", "for": "2 min", "at_most": "3 min", "drain": "15 s",
                     "begin": "by hand", "lift": "out", "pip": "quickly on", "say": [{"at": "50 s", "words": "half"}],
                     "agitate": {"every": "30 s", "say": "turn"}, "together": False,
                     "temperature_law": {"coefficient": "2"}}},
        {"stop": {"name": "Stop", "tray": "stop", "for": "30 s", "at_least": "20 s", "at_most": "60 s", "drain": "5 s",
                  "begin": "on cue", "lift": "out", "pip": "on", "say": [{"left": "12 s", "words": "soon"}],
                  "agitate": {"every": "10 s"}, "together": False}},
        {"fix": {"name": "Fixer", "tray": "fixer", "for": "2 min", "at_least": "100 s", "at_most": "5 min", "drain": "10 s",
                 "begin": "on cue", "lift": "out", "pip": "on", "say": [{"at": "40 s", "words": "rock it"}],
                 "agitate": {"every": "30 s"}, "together": False, "light_safe": "70 s"}},
        {"hold": {"name": "Holding water", "tray": "water", "at_least": "4 min", "at_most": "8 min", "begin": "on cue",
                  "say": [{"at": "2 min", "words": "rest"}], "gather": True}},
        {"tone": {"name": "Toner", "tray": "toner", "at_most": "70 s", "begin": "by hand",
                  "by_eye": {"from": "45 s", "to": "2 min"},
                  "look": [{"at": "20 s", "words": "blacks"}], "say": [{"at": "35 s", "words": "rock"}],
                  "agitate": {"every": "15 s"}, "together": False}},
        {"hold": {"name": "Rinse", "tray": "rinse"}},
        {"wash": {"name": "Final wash", "tray": "washer", "for": "40 min", "at_least": "30 min", "at_most": "60 min",
                  "drain": "10 s", "begin": "on cue", "lift": "out", "pip": "done", "say": [{"at": "20 min", "words": "half"}],
                  "agitate": {"every": "5 min"}, "together": True}},
    ],
}  # fmt: skip


def card(**changes: Any) -> dict[str, Any]:
    made = deepcopy(CARD)
    for path, value in changes.items():
        put(made, path.split("__"), value)
    return made


def put(made: Any, path: list[str], value: Any) -> None:
    *above, last = path
    for key in above:
        made = step_of(made, key)
    made[int(last) if last.isdigit() else last] = value


def step_of(made: Any, key: str) -> Any:
    if isinstance(made, list):
        return made[int(key)] if key.isdigit() else next(step[key] for step in made if key in step)
    return made[key]


DEVELOP = {"name": "Developer", "tray": "developer"}
LOOK = {"at": "60 s", "words": "first"}
BY_EYE = card(steps__1__develop={**DEVELOP, "by_eye": {"from": "90 s", "to": "3 min"}, "look": [LOOK]})
FACTOR = card(steps__1__develop={**DEVELOP, "factor": "5", "at_least": "50 s", "at_most": "4 min"})
POINTS = card(steps__develop__temperature_law={"points": [["20 C", "2 min"], ["24 C", "90 s"]]})
STRIP = card(
    steps__0__expose={"strip": {"first": "6 s", "step": "1/2", "strips": 5, "way": "cover", "size": "4x10 in", "light": "lamp"}}
)
STACK = card(steps__develop__apart="20 s", steps__stop__together=True, copies=2, trays__developer__holds=2)
STACK["steps"].insert(1, {"wash": {"name": "Soak", "tray": "rinse", "for": "1 min", "together": True, "begin": "by hand"}})
ONE = {"name": "Bow", "negative": {"name": "Bow", "orientation": "emulsion down"}, "copies": 1, "time": "14 s",
       "aperture": "f/16", "filter": "3", "spares": 1, "parts": [{"burn": "sky", "stops": "1/2"}]}  # fmt: skip
PRINTS = {key: value for key, value in card(prints=[ONE, {"name": "Stern"}]).items() if key not in ("copies", "negative")}
WASHED = card(reference=0)
WASHED["steps"] = [step for step in WASHED["steps"] if not {"hold", "tone"} & set(step)]
del WASHED["steps"][-1]["wash"]["pip"]  # so that the words at its end are the paper's
WASHED["steps"][-1]["wash"]["together"] = False
STRIP_ADD = card(steps__0__expose={"strip": {"first": "6 s", "add": "2 s", "strips": 5}})

OTHER: dict[str, list[Any]] = {
    "name": ["Other"], "time": ["21 s"], "count_in": ["5 s"], "aperture": ["f/5.6"], "filter": ["4"], "dry_down": ["9 %"],
    "for": ["100 s", "29 s", "35 min"], "at_least": ["15 s", "95 s", "5 min", "29 min", "2 min", "50 min"],
    "at_most": ["170 s", "55 s", "4 min", "60 s", "45 min", "7 min"],
    "drain": ["8 s", "12 s"], "begin": ["on cue", "by hand"], "lift": ["up"], "pip": ["next"], "together": [True, False],
    "light_safe": ["80 s"], "gather": [False], "factor": ["6"], "tray": ["rinse", "water", "developer"],
    "words": ["other"], "at": ["42 s"],
    "left": ["14 s"], "every": ["16 s", "25 s", "4 min"], "say": ["other", [{"at": "15 s", "words": "other"}]], "from": ["50 s"],
    "to": ["100 s"], "burn": ["sea"], "dodge": ["gate"], "light": ["soft", "none", "screen"], "stops": ["2/3"], "first": ["7 s"],
    "step": ["1/3"], "add": ["3 s"], "strips": [6], "way": ["uncover"], "size": ["5x7 in"], "coefficient": ["2.5"],
    "points": [[["20 C", "2 min"], ["23 C", "90 s"]]], "bath": ["other bath"], "mix": ["1+4"], "volume": ["3 l"],
    "temperature": ["21 C", "22 C"], "holds": [3, 5], "lasts": ["15 per litre"], "refresh": ["4 min"], "care": [["goggles"]],
    "title": ["Other panel"], "notes": ["Other notes."], "copies": [3], "reference": [0], "flow": ["overlap"], "format": [2],
    "lamp": ["cold light"], "height": ["70 cm"], "spares": [2], "blank": [2], "orientation": ["emulsion up"], "grade": ["3"],
    "batch": ["B"], "apart": ["25 s"], "negative": [{"name": "Stern"}],
    "parts": [[{"burn": "sea", "stops": "1/3"}]], "kind": ["film"], "finish": ["onto the line"],
}  # fmt: skip


@cache
def what_it_does(text: str) -> tuple[object, ...]:
    """What is complained of, or else read before, heard from a punctual, an early and a very late printer, and judged."""
    try:
        loaded = loads(text)
    except BadRecipe as error:
        return tuple((fault.what, fault.fix) for fault in error.faults)
    plan = make_plan(loaded.recipe)
    score = Score(plan)
    evenings = [rehearse(score, Punctual()), rehearse(score, Punctual(40_000)), rehearse(score, Scripted(EARLY))]
    read = rehearse(score, Scripted([(5_000, h.Reading("developer", 22.0)), *rehearse(score, Punctual()).hands]))
    heard = tuple((cue.at, cue.kind, cue.words) for one in (*evenings, read) for cue in one.heard)
    verdicts = tuple((stay.name, stay.lasted, stay.verdict) for one in (*evenings, read) for stay in one.stays)
    afterwards = is_fog_test(loaded.recipe)  # then it is asked how long the screen may shine, not which strip is good
    return (*needed(plan), *(fault.said("") for fault in loaded.warnings), *heard, *verdicts, afterwards)


EARLY = [(20_000, h.Tap()), (60_000, h.Tap()), (80_000, h.Tap()), *((at, h.Tap()) for at in range(100_000, 700_000, 9_000))]
"""A hand that taps every nine seconds, whatever is asked for."""


def written(made: dict[str, Any]) -> str:
    return yaml.safe_dump(made, sort_keys=False)


def places() -> list[tuple[str, dict[str, Any], list[str]]]:
    """Every field of every mapping of the model: its name, a card in which it stands, and the way to it."""
    found: list[tuple[str, dict[str, Any], list[str]]] = []

    def add(model: type, made: dict[str, Any], *path: str, only: tuple[str, ...] = ()) -> None:
        for key in only or keys_of(model):
            found.append((f"{model.__name__}.{key}", made, [*path, key]))

    simple = tuple(key for key in keys_of(Recipe) if key in CARD and key not in ("trays", "steps", "paper", "negative"))
    add(Recipe, CARD, only=simple)
    add(Paper, CARD, "paper", only=tuple(key for key in keys_of(Paper) if key != "finish"))
    add(Paper, WASHED, "paper", only=("finish",))
    add(Negative, CARD, "negative")
    add(Tray, CARD, "trays", "developer", only=("bath", "mix", "volume", "temperature", "lasts", "care"))
    add(Tray, CARD, "trays", "water", only=("refresh", "holds"))
    for kind, model in STEPS.items():
        keys = tuple(key for key in keys_of(model) if written_in(kind, key) and (kind, key) != ("wash", "begin"))
        add(model, CARD, "steps", kind, only=keys)
    add(STEPS["wash"], WASHED, "steps", "wash", only=("begin",))
    add(STEPS["develop"], FACTOR, "steps", "develop", only=("factor", "at_least", "at_most"))
    add(STEPS["develop"], STACK, "steps", "develop", only=("apart",))
    add(ByEye, BY_EYE, "steps", "develop", "by_eye")
    add(ByEye, CARD, "steps", "tone", "by_eye")
    add(Look, BY_EYE, "steps", "develop", "look", "0")
    add(Look, CARD, "steps", "tone", "look", "0")
    add(Call, CARD, "steps", "develop", "say", "0", only=("at", "words"))
    add(Call, CARD, "steps", "stop", "say", "0", only=("left", "words"))
    add(Agitate, CARD, "steps", "develop", "agitate", only=("every", "say"))
    add(TemperatureLaw, CARD, "steps", "develop", "temperature_law", only=("coefficient",))
    add(TemperatureLaw, POINTS, "steps", "develop", "temperature_law", only=("points",))
    add(Part, CARD, "steps", "expose", "parts", "0", only=("dodge", "stops", "say"))
    add(Part, CARD, "steps", "expose", "parts", "1", only=("burn", "stops", "filter", "aperture", "say"))
    add(Part, CARD, "steps", "expose", "parts", "2", only=("light", "time", "filter", "aperture", "say"))
    add(Print, PRINTS, "prints", "0")
    add(Strip, STRIP, "steps", "expose", "strip", only=("first", "step", "strips", "way", "size", "light"))
    add(Strip, STRIP_ADD, "steps", "expose", "strip", only=("add",))
    return found


def written_in(kind: str, key: str) -> bool:
    nested = ("parts", "strip", "by_eye", "look", "temperature_law", "agitate")
    return key not in nested and key in next(step[kind] for step in CARD["steps"] if kind in step)


PLACES = places()


@pytest.mark.parametrize(("name", "made", "path"), PLACES, ids=[f"{'-'.join(path)}" for _, _, path in PLACES])
def test_a_field_that_is_changed_changes_something(name, made, path):
    before = what_it_does(written(made))
    others = [other for other in OTHER[path[-1]] if other != value_at(made, path)]
    assert others, name
    changed = deepcopy(made)
    for other in others:
        put(changed, path, other)
        if what_it_does(written(changed)) != before:
            return
    pytest.fail(f"{name} was changed to {others} and nothing else changed")


def value_at(made: Any, path: list[str]) -> Any:
    for key in path:
        made = step_of(made, key)
    return made


def test_the_same_card_written_in_another_way_does_the_same():
    """So that it is the field which makes a difference."""
    assert what_it_does(written(deepcopy(CARD))) == what_it_does(yaml.safe_dump(CARD, sort_keys=False, width=300))


def test_the_cards_are_good():
    for made in (CARD, BY_EYE, FACTOR, POINTS, STACK, PRINTS, STRIP, STRIP_ADD, WASHED):
        loads(written(made))


def test_no_field_of_the_model_is_left_out():
    tried = {(name.split(".")[0], path[-1]) for name, _, path in PLACES}
    refused_everywhere = {("Hold", key) for key in ("for", "drain", "lift", "pip", "agitate", "together", "temperature_law")}
    refused_everywhere |= {("Tone", key) for key in ("for", "at_least", "drain", "lift", "pip", "temperature_law")}
    refused_everywhere |= {(name, "temperature_law") for name in ("Stop", "Fix", "Wash")}
    held = {"trays", "steps", "paper", "negative", "parts", "strip", "by_eye", "look", "temperature_law", "agitate", "say"}
    held |= {"prints", "hands", "first", "give"}  # the last three say how copies follow each other: tried below
    models = (Recipe, Paper, Negative, Tray, *STEPS.values(), Part, Strip, Call, Look, Agitate, ByEye, TemperatureLaw, Print)
    every = {(model.__name__, key) for model in models for key in keys_of(model) if key not in held}
    assert every - tried - refused_everywhere == set()


HANDS = {"slack": "40 s", "pace": "4 s", "place": "40 s", "carry": "15 s", "change": "9 s", "turn": "8 s"}


@pytest.mark.parametrize("line", [*(f"hands: {{{key}: {ms}}}" for key, ms in HANDS.items()), "first: in company", "give: 0 s"])
def test_what_says_how_copies_follow_each_other_changes_their_plan(line):
    assert set(HANDS) == set(keys_of(HandTimes))
    text = (shipped("recipes") / "slipway-edition.yaml").read_text()
    turn = "{every: 30 s, say: turn}"
    assert turn in text
    other = text.replace(turn, f"{{every: 30 s, say: turn, {line}}}") if line.startswith("give") else f"{text}\n{line}\n"
    assert facts(planned(loads(text).recipe, 4)) != facts(planned(loads(other).recipe, 4))
