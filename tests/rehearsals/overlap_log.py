"""Whether a session that was played could be printed by one pair of hands, read from its log alone.

A log is what was heard, the hands that moved, and the stays that were kept. Nothing of the planner or of the session's
rules is used: only the recipe's own figures. What is wrong is said in words; [] is a good log.
"""

from collections.abc import Sequence
from itertools import pairwise

from assistant.recipe.model import Recipe
from assistant.score.cues import Cue
from assistant.session.copy import Stay

CHANGE = 5_000
LOOK = 20_000
NUMBERS = ["", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
FOR_HANDS = ("lift", "pip", "agitate", "ask")


def faults(recipe: Recipe, heard: Sequence[Cue], stays: Sequence[Stay], exact: int = 0) -> list[str]:
    """`exact`: so far off its time may a development be (ms)."""
    first = next(i for i, step in enumerate(recipe.steps) if step.gathers or step.together)
    leg = [stay for stay in stays if stay.step < first]
    over = max((stay.to_ms for stay in leg), default=0)
    calls = [cue for cue in heard if cue.at <= over]
    return [
        *_stays(recipe, leg, exact),
        *_trays(recipe, leg),
        *_lights(recipe, calls, leg),
        *_drains(recipe, calls, leg),
        *_crossing(calls, leg),
        *_white(recipe, heard, stays),
        *_copy_one(recipe, calls, leg),
        *_numbers(calls, leg),
    ]


def _stays(recipe, leg, exact):
    for stay in leg:
        step = recipe.steps[stay.step]
        if step.kind == "develop" and abs(stay.lasted - step.target) > exact:
            yield f"copy {stay.copy}: developed {stay.lasted} ms"
        elif step.kind not in ("develop", "expose"):
            least, most = step.at_least or step.target, step.at_most
            if stay.lasted < least or (most is not None and stay.lasted > most):
                yield f"copy {stay.copy}: {step.name} {stay.lasted} ms, {least} to {most}"


def _trays(recipe, leg):
    """A sheet is out of a full tray before the next comes; at one moment is too late."""
    for index in {stay.step for stay in leg if stay.tray}:
        mine = [stay for stay in leg if stay.step == index]
        holds = recipe.trays[recipe.steps[index].tray].holds
        for stay in mine:
            inside = sum(1 for other in mine if other.from_ms <= stay.from_ms <= other.to_ms)
            if inside > holds:
                yield f"{recipe.steps[index].name}: {inside} sheets at {stay.from_ms}, it holds {holds}"


def _lit(recipe, leg):
    count_in = recipe.steps[0].count_in if recipe.steps[0].kind == "expose" else 0
    return [(stay.copy, stay.from_ms - count_in, stay.to_ms) for stay in leg if stay.kind == "expose"]


def _lights(recipe, calls, leg):
    """No hand is called for while a sheet is under the lamp."""
    for copy, begun, over in _lit(recipe, leg):
        for cue in calls:
            if cue.kind in FOR_HANDS and begun < cue.at < over:
                yield f"{cue.kind} of copy {cue.copy} at {cue.at}, in the light of copy {copy}"


def _drains(recipe, calls, leg):
    """From a lift to its pip the hands hold that sheet."""
    for lift in (cue for cue in calls if cue.kind == "lift"):
        pip = next((cue.at for cue in calls if cue.kind == "pip" and cue.copy == lift.copy and cue.at >= lift.at), None)
        for cue in calls:
            if pip is not None and cue.copy != lift.copy and cue.kind in FOR_HANDS and lift.at <= cue.at <= pip:
                yield f"{cue.kind} of copy {cue.copy} at {cue.at}, while copy {lift.copy} drains"


def _crossing(calls, leg):
    """Hands are dried before paper is asked for, and cross back after its light."""
    hands = sorted((cue for cue in calls if cue.kind in ("lift", "pip", "agitate", "end", "ask")), key=lambda cue: cue.at)
    for one, other in pairwise(hands):
        paper = other.kind == "ask" and "place" in other.words
        if one.copy != other.copy and one.kind != "ask" and (paper or one.kind == "end") and other.at - one.at < CHANGE:
            yield f"{other.kind} of copy {other.copy} {other.at - one.at} ms after {one.kind} of copy {one.copy}"


def _white(recipe, heard, stays):
    """White light is safe where every sheet that had its light is in the fixer, and no paper is asked for at once."""
    for cue in (cue for cue in heard if cue.kind == "safe"):
        for copy in {stay.copy for stay in stays if stay.from_ms <= cue.at}:
            fixed = [stay for stay in stays if stay.copy == copy and stay.kind == "fix"]
            if not fixed or fixed[0].from_ms + recipe.steps[fixed[0].step].light_safe > cue.at:
                yield f"white light at {cue.at}, copy {copy} is not safe"
        soon = [ask.at for ask in heard if ask.kind == "ask" and "place" in ask.words and cue.at <= ask.at < cue.at + LOOK]
        yield from (f"white light at {cue.at}, paper is asked for at {at}" for at in soon)


def _copy_one(recipe, calls, leg):
    fixed = [stay.from_ms + recipe.steps[stay.step].light_safe for stay in leg if stay.copy == 1 and stay.kind == "fix"]
    if recipe.first == "alone" and recipe.steps[0].kind == "expose" and fixed:
        early = (cue for cue in calls if cue.kind == "ask" and cue.copy != 1 and cue.at < fixed[0] + LOOK)
        yield from (f"copy {cue.copy} is asked for at {cue.at}, copy one was not looked at" for cue in early)


def _numbers(calls, leg):
    """With several sheets on their way every act-now call begins with its number."""
    spans: dict[int, list[int]] = {}
    for stay in leg:
        spans.setdefault(stay.copy, []).extend((stay.from_ms, stay.to_ms))
    for cue in calls:
        out = sum(1 for moments in spans.values() if min(moments) <= cue.at <= max(moments))
        if out > 1 and cue.kind in ("lift", "pip", "agitate") and cue.words.split()[:1] != [NUMBERS[cue.copy]]:
            yield f"{cue.kind} at {cue.at} does not name copy {cue.copy}: {cue.words!r}"
