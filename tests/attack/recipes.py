"""Mutated recipes: good, or refused with complaints that can be shown; a good one is printed to its end by any printer."""

import copy
import random
from contextlib import suppress
from functools import cache
from typing import Any

import yaml

from assistant.conductor.rehearsal import DoesNotEnd, Punctual, rehearse
from assistant.places import shipped
from assistant.planning.plan import CannotPlan, make_plan
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import Loaded, loads
from assistant.recipe.model import Fix, Recipe
from assistant.score.score import Score
from assistant.session.changes import WINDOW
from assistant.trade.quantities import Misread
from tests.attack import held

LATE = (0, 7_000, 40_000)
"""How late the printers are (ms): not at all, within the window after a pip, and far beyond it."""
MOST_COPIES = 3
"""Of copies that are rehearsed: what can go wrong between two sheets goes wrong between three."""
VALUES = [
    "0.001 s", "0.4 s", "1 s", "9.6 s", "30 s", "90 s", "2 min", "1:30", "40 min", "23 h", "24 h", "25 h", "0 s", "-1 s", "8",
    "1e9 s", "20 C", "4 C", "68 F", "3 l", "1 ml", "1+9", "1:9", "f/8", "f/11", "1/3", "2 1/2", "9", "0", "1", "2", "7", "60",
    "61", "true", "false", "by hand", "on cue", "none", "safe", "all the time", "developer", "stop", "fixer", "water",
    "toner", "washer", "one at a time", "overlap", "12x16 in", "20 per litre", "8 %", "", "\u202e", "\x1b[2J", "x" * 70,
    "a, b", "#", "~", "null",
]  # fmt: skip
STEPS: list[dict[str, Any]] = [
    {"expose": {"time": "9.6 s"}}, {"develop": {"for": "2 min"}}, {"develop": {"factor": "8"}}, {"stop": {"for": "30 s"}},
    {"develop": {"by_eye": {"from": "1 min", "to": "3 min"}}}, {"fix": {"for": "2 min", "begin": "by hand"}},
    {"fix": {"for": "1 min"}}, {"hold": {"tray": "water"}}, {"hold": {"tray": "water", "gather": "false"}},
    {"tone": {"by_eye": {"from": "45 s", "to": "2 min"}}}, {"wash": {"for": "5 min", "together": "true"}},
    {"wash": {"for": "20 min", "begin": "by hand"}}, {"stop": {"for": "20 s", "together": "true"}},
    {"expose": {"strip": {"first": "5 s", "step": "1/3", "strips": "4"}}},
    {"expose": {"time": "12 s", "parts": [{"burn": "sky", "stops": "1/2"}, {"dodge": "door", "stops": "1/3"}]}},
]  # fmt: skip
WAYS = (("begin", ("by hand", "on cue")), ("together", ("true", "false")), ("gather", ("true", "false")))
SLIPS = ["\n", "  ", "\t", ": ", "- ", "{", "}", "[", "]", '"', "'", "#", "&a ", "*a", "!!x ", "%", "\\", "\x00", "\ufeff", "|"]

FAST = yaml.CSafeDumper if yaml.__with_libyaml__ else yaml.SafeDumper


@cache
def sources() -> tuple[Any, ...]:
    """All shipped recipes as plain lists and mappings."""
    return tuple(yaml.load(file.read_bytes(), Loader=yaml.BaseLoader) for file in sorted(shipped("recipes").glob("*.yaml")))


def mutated(seed: int) -> str:
    """The text of one mutated recipe: values, keys and steps changed, and for every fifth some letters too."""
    chance = random.Random(seed)
    data = copy.deepcopy(chance.choice(sources()))
    for _ in range(chance.choice((1, 1, 2, 3, 5))):
        chance.choice((_value, _value, _gone, _key, _step, _swap, _begin))(chance, data)
    text = yaml.dump(data, Dumper=FAST, sort_keys=False, allow_unicode=True)
    for _ in range(chance.choice((0, 0, 0, 0, 1, 2))):
        at = chance.randrange(len(text))
        text = text[:at] + chance.choice(SLIPS) + text[at + chance.randrange(4) :]
    return text


def attack(seed: int) -> str:
    """What is wrong with what becomes of one mutated recipe, "" where nothing is."""
    text = mutated(seed)
    try:
        loaded = loads(text, "card.yaml")
    except BadRecipe as error:
        return _shown(error, text)
    return printed(loaded)


def printed(loaded: Loaded) -> str:
    """What is wrong with how a good recipe is printed."""
    recipe = loaded.recipe
    try:
        score = Score(make_plan(recipe))
        assert score.runs is not None
    except (CannotPlan, Misread) as error:
        return f"good, and not to be planned: {error}"
    score = fewer(recipe) or score
    if score.plan.copies > MOST_COPIES * 4:
        return ""
    return next(filter(None, (_rehearsed(recipe, score, late) for late in LATE)), "")


def fewer(recipe: Recipe) -> Score | None:
    """The same recipe for as few copies as are worth rehearsing; None where it can't be printed in so few."""
    if recipe.sheets <= MOST_COPIES:
        return None
    with suppress(CannotPlan):
        return Score(make_plan(recipe, MOST_COPIES))
    return None


def _rehearsed(recipe: Recipe, score: Score, late: int) -> str:
    try:
        played = rehearse(score, Punctual(late))
    except DoesNotEnd as error:
        return f"late by {late} ms: {error}"
    heard = list(played.heard)
    found = [held.words(heard), *(held.stays(one.stays) for one in played.bench.copies)]
    if not played.bench.finished:
        found.append(f"not finished: {[one.place for one in played.bench.living()]}")
    if any(one.void for one in played.bench.copies):
        found.append("a sheet was voided")
    found += held.over_trays(recipe, list(played.stays))
    safe = next((step.light_safe for step in recipe.steps if isinstance(step, Fix)), None)
    for cue in heard:
        if cue.kind == "safe" and late <= WINDOW:  # later than that a pip that nobody corrected is believed, as everywhere
            begun = {c.number: c.stays[0].from_ms for c in played.bench.copies if c.stays and c.stays[0].from_ms <= cue.at}
            fixed = {s.copy for s in played.stays if s.kind == "fix" and s.from_ms + (safe or 0) <= cue.at}
            if set(begun) - fixed:
                found.append(f"white light at {cue.at} with copies {set(begun) - fixed} out")
    wrong = next(filter(None, found), "")
    return f"late by {late} ms: {wrong}" if wrong else ""


def _shown(error: BadRecipe, text: str) -> str:
    lines = len(text.splitlines()) + 1
    for fault in error.faults:
        if not (0 <= fault.line <= lines and fault.what and fault.fix and fault.said("card.yaml").isprintable()):
            return f"a complaint that can't be shown: {fault}"
    return "" if error.faults else "refused without a complaint"


# --- mutations ----------------------------------------------------------------------------------------------------------


def _inner(chance: random.Random, data: Any) -> list[tuple[Any, Any]]:
    """Every place in the data: what holds it, and its key or position."""
    places: list[tuple[Any, Any]] = []
    todo = [data]
    while todo:
        one = todo.pop()
        keys = list(one) if isinstance(one, dict) else range(len(one)) if isinstance(one, list) else ()
        for key in keys:
            places.append((one, key))
            todo.append(one[key])
    return places


def _value(chance: random.Random, data: Any) -> None:
    places = [(holder, key) for holder, key in _inner(chance, data) if isinstance(holder[key], str)]
    if places:
        holder, key = chance.choice(places)
        holder[key] = chance.choice(VALUES)


def _gone(chance: random.Random, data: Any) -> None:
    places = _inner(chance, data)
    if places:
        holder, key = chance.choice(places)
        del holder[key]


def _key(chance: random.Random, data: Any) -> None:
    """A key of one mapping, with its value, in another."""
    places = _inner(chance, data)
    holders = [holder for holder, _ in places if isinstance(holder, dict)]
    pairs = [(key, holder[key]) for holder, key in places if isinstance(holder, dict)]
    if holders:
        key, value = chance.choice(pairs)
        chance.choice(holders)[key] = copy.deepcopy(value)


def _steps(data: Any) -> list[Any]:
    steps = data.get("steps") if isinstance(data, dict) else None
    return steps if isinstance(steps, list) else []


def _step(chance: random.Random, data: Any) -> None:
    steps = _steps(data)
    steps.insert(chance.randint(0, len(steps)), copy.deepcopy(chance.choice(STEPS)))


def _swap(chance: random.Random, data: Any) -> None:
    steps = _steps(data)
    if len(steps) > 1:
        a, b = chance.sample(range(len(steps)), 2)
        steps[a], steps[b] = steps[b], steps[a]


def _begin(chance: random.Random, data: Any) -> None:
    """Another way in which a step begins, gathers or is shared."""
    bodies = [body for step in _steps(data) if isinstance(step, dict) for body in step.values() if isinstance(body, dict)]
    if bodies:
        key, values = chance.choice(WAYS)
        chance.choice(bodies)[key] = chance.choice(values)
