"""Recipes for the tests of the session, of an invented boatyard, small enough to reason about."""

from functools import cache
from typing import Any

from assistant.planning.plan import make_plan
from assistant.recipe.model import Recipe
from assistant.score.score import Score

TRAYS: dict[str, Any] = {
    "developer": {"bath": "print developer", "mix": "1+9", "volume": "3 l", "temperature": "20 C"},
    "stop": {"bath": "citric stop", "volume": "3 l"},
    "fixer": {"bath": "rapid fixer", "mix": "1+4", "volume": "3 l", "holds": 3},
    "water": {"bath": "holding water", "volume": "6 l", "holds": 60, "refresh": "20 min"},
    "toner": {"bath": "selenium toner", "mix": "1+9", "volume": "3 l", "care": ["gloves", "ventilation"]},
    "rinse": {"bath": "toned prints' water", "holds": 60},
    "washer": {"bath": "wash water", "holds": 60, "refresh": "5 min"},
}
EXPOSE: dict[str, Any] = {"kind": "expose", "time": "9.6 s"}
DEVELOP: dict[str, Any] = {
    "kind": "develop", "tray": "developer", "for": "2 min", "drain": "15 s",
    "agitate": {"every": "30 s", "say": "turn"},
}  # fmt: skip
STOP: dict[str, Any] = {"kind": "stop", "tray": "stop", "for": "30 s", "at_most": "90 s"}
FIX: dict[str, Any] = {"kind": "fix", "tray": "fixer", "for": "2 min", "at_most": "5 min", "light_safe": "60 s"}
HOLD: dict[str, Any] = {"kind": "hold", "tray": "water", "at_most": "1 h"}
TONE: dict[str, Any] = {
    "kind": "tone", "tray": "toner", "by_eye": {"from": "45 s", "to": "2 min"},
    "look": [{"at": "15 s", "words": "deepest blacks"}, {"at": "30 s", "words": "green leaving the shadows"}],
}  # fmt: skip
RINSE: dict[str, Any] = {"kind": "hold", "name": "Toned prints' water", "tray": "rinse"}
WASH: dict[str, Any] = {"kind": "wash", "name": "Final wash", "tray": "washer", "for": "40 min", "together": True}


def recipe(*steps: dict[str, Any], **card: Any) -> Recipe:
    """A recipe of these steps in the boatyard's trays."""
    return Recipe.model_validate({"title": "Slipway panel", "trays": TRAYS, "steps": list(steps), **card})


@cache
def edition(copies: int = 3, reference: int = 1) -> Score:
    """An edition with toning: the longest way that a copy can go."""
    card = recipe(EXPOSE, DEVELOP, STOP, FIX, HOLD, TONE, RINSE, WASH, copies=copies, reference=reference)
    return Score(make_plan(card))


@cache
def proof(copies: int = 1) -> Score:
    """A plain proof, washed at once."""
    return Score(make_plan(recipe(EXPOSE, DEVELOP, STOP, FIX, WASH, copies=copies)))


@cache
def strip() -> Score:
    """A test strip of three."""
    expose = {"kind": "expose", "strip": {"first": "5 s", "step": "1", "strips": 3}}
    return Score(make_plan(recipe(expose, DEVELOP, STOP, FIX, WASH, copies=1)))


@cache
def by_hand(copies: int = 2) -> Score:
    """A development by factor, a fixing bath begun by hand, a hold that copies only pass through."""
    develop = {"kind": "develop", "tray": "developer", "factor": "5", "drain": "15 s"}
    card = recipe(EXPOSE, develop, STOP, {**FIX, "begin": "by hand"}, {**HOLD, "gather": "false"}, WASH, copies=copies)
    return Score(make_plan(card))


@cache
def in_the_dark(copies: int = 2) -> Score:
    """Sheet film in trays: no exposure, total darkness."""
    return Score(make_plan(recipe(DEVELOP, STOP, FIX, WASH, copies=copies, light="none")))


@cache
def on_cue(copies: int = 2) -> Score:
    """The developer begins by itself ten seconds after the light."""
    return Score(make_plan(recipe(EXPOSE, {**DEVELOP, "begin": "on cue"}, STOP, FIX, WASH, copies=copies)))


@cache
def short_stop(copies: int = 1) -> Score:
    """A stop bath shorter than the window of a late tap."""
    return Score(make_plan(recipe(EXPOSE, DEVELOP, {**STOP, "for": "12 s", "drain": "5 s"}, FIX, WASH, copies=copies)))


@cache
def with_a_law(copies: int = 2) -> Score:
    """Developing time follows the temperature."""
    law = {"temperature_law": {"coefficient": "2"}}
    return Score(make_plan(recipe(EXPOSE, {**DEVELOP, **law}, STOP, FIX, WASH, copies=copies)))


@cache
def stack(copies: int = 3) -> Score:
    """Sheet film that lies in the developer together, a sheet put in every twenty seconds."""
    trays = {**TRAYS, **{name: {"bath": name, "holds": 60} for name in ("developer", "stop", "fixer", "rinse")}}
    soak = {"kind": "wash", "name": "Soak", "tray": "rinse", "for": "1 min", "begin": "by hand", "together": True}
    stop, fix = ({**step, "together": True} for step in (STOP, FIX))
    steps = (soak, {**DEVELOP, "apart": "20 s"}, stop, fix, WASH)
    return Score(make_plan(recipe(*steps, copies=copies, light="none", trays=trays)))


@cache
def overlapped(copies: int = 3, **card: Any) -> Score:
    """Several copies in the baths at once, up to the holding water."""
    steps = (EXPOSE, DEVELOP, {**STOP, "at_most": "60 s"}, FIX, HOLD, WASH)
    return Score(make_plan(recipe(*steps, copies=copies, flow="overlap", **card)))


@cache
def overlapped_in_the_dark(copies: int = 3) -> Score:
    """Sheet film, several in the baths at once, without a light."""
    return Score(make_plan(recipe(DEVELOP, STOP, FIX, HOLD, WASH, copies=copies, flow="overlap", light="none")))


@cache
def overlapped_with_burns(copies: int = 3) -> Score:
    """Two lights for every sheet."""
    expose = {**EXPOSE, "parts": [{"burn": "sky", "stops": "1/2"}]}
    return Score(make_plan(recipe(expose, DEVELOP, STOP, FIX, HOLD, WASH, copies=copies, flow="overlap")))


OVERLAPPED = (overlapped, overlapped_in_the_dark, overlapped_with_burns)
ALL = (edition, proof, by_hand, in_the_dark, on_cue, short_stop, stack)
