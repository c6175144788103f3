"""Whether a plan can be printed by one pair of hands: played second by second from the recipe, sharing no code with the planner.

A plan is its plain facts: for every copy the movements of the hands with their moments, and the moments at which it
touches each bath. What is wrong is said in words; [] is a good plan.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from assistant.recipe.model import Expose, Recipe

USUAL = {"slack": 15_000, "pace": 2_000, "place": 20_000, "carry": 10_000, "change": 5_000, "turn": 3_000}
"""What the hands need where the recipe does not say (ms)."""


@dataclass(frozen=True)
class Movement:
    """What the hands do for a copy (counted from one): "place", "carry", "turn", "move"; from and to in ms; in which step."""

    copy: int
    what: str
    step: int
    begins: int
    ends: int


@dataclass(frozen=True)
class InBath:
    """A copy's stay in a bath, ms."""

    copy: int
    step: int
    begins: int
    ends: int


def faults(recipe: Recipe, movements: Sequence[Movement], stays: Sequence[InBath]) -> list[str]:
    hands = {name: (usual if (own := getattr(recipe.hands, name)) is None else own) for name, usual in USUAL.items()}
    return [
        *_hands(movements, hands),
        *_exact(recipe, movements, stays, hands),
        *_soft(recipe, movements, stays, hands),
        *_trays(recipe, movements, stays),
        *_turns(recipe, movements, stays),
        *_put_off(recipe, movements, stays, hands),
        *_lengths(recipe, movements, hands),
        *_copy_one(recipe, movements, stays),
        *_in_order(movements),
        *_one_exposed(movements),
    ]


def _hands(movements, hands):
    """One thing at a time, with time to dry and cross over between dry and wet."""
    ordered = sorted(movements, key=lambda m: (m.begins, m.ends))
    for one, other in pairwise(ordered):
        wet_after, dry_before = one.what != "place", other.what in ("place", "carry")
        change = hands["change"] if wet_after == dry_before else 0
        if other.begins < one.ends + change:
            yield f"{_at(other)}: the hands are not free, or not yet {'dry' if dry_before else 'there'}: {one}"


def _exact(recipe, movements, stays, hands):
    for stay in stays:
        step = recipe.steps[stay.step]
        if step.kind != "develop":
            continue
        if stay.ends - stay.begins != step.target:
            yield f"copy {stay.copy}: developed {stay.ends - stay.begins} ms"
        lift = stay.ends - step.drain
        for other in movements:
            if other.copy != stay.copy and other.begins < lift and other.ends > lift - hands["slack"]:
                yield f"{_at(other)}: within the slack before copy {stay.copy} is lifted"


def _soft(recipe, movements, stays, hands):
    for stay in stays:
        step = recipe.steps[stay.step]
        if step.kind == "develop":
            continue
        least, most = step.at_least or step.target or 0, step.at_most
        lasted = stay.ends - stay.begins
        if lasted < least:
            yield f"copy {stay.copy}: {step.name} {lasted} ms, at least {least}"
        if most is None:
            continue
        moves = [m for m in movements if m.copy == stay.copy and m.what in ("move", "carry")]
        came = next(m.begins for m in moves if _touch(m, recipe) == stay.begins)
        goes = next(m.begins for m in moves if m.what == "move" and m.step == stay.step)
        within = sum(1 for m in movements if came < m.begins < goes and not _loose(m, recipe))
        kept = min(max(hands["slack"], 3000 * within), (most - least) // 2000 * 1000)
        if lasted > most - kept:
            yield f"copy {stay.copy}: {step.name} {lasted} ms, at most {most} less {kept} for {within} movements within"


def _loose(movement, recipe):
    """A turn that would be left out if the hands were late."""
    return movement.what == "turn" and recipe.steps[movement.step].kind != "develop"


def _touch(movement, recipe):
    return movement.ends if movement.what == "carry" else movement.begins + recipe.steps[movement.step].drain


def _trays(recipe, movements, stays):
    """Never more in a tray than it holds; a sheet is out of it before the next comes."""
    for step in {stay.step for stay in stays}:
        holds = recipe.trays[recipe.steps[step].tray].holds
        mine = [stay for stay in stays if stay.step == step]
        for stay in mine:
            inside = [other for other in mine if other.begins <= stay.begins <= other.ends]
            if len(inside) > holds:
                yield f"{recipe.steps[step].name}: {len(inside)} sheets at {stay.begins} ms, it holds {holds}"


def _turns(recipe, movements, stays):
    """One rhythm in the developer for the whole edition, none left out; no turn further from its mark than it gives.

    In the other baths the first may be sooner.
    """
    rhythm: dict[int, set[tuple[int, ...]]] = {}
    for stay in stays:
        agitate, step = recipe.steps[stay.step].agitate, recipe.steps[stay.step]
        if agitate == "all the time":
            yield from _moved_all_the_time(stay, step, movements)
            continue
        at = tuple(m.begins - stay.begins for m in movements if m.copy == stay.copy and m.what == "turn" and m.step == stay.step)
        rhythm.setdefault(stay.step, set()).add(at)
        marks = () if agitate is None else tuple(range(agitate.every, step.target - step.drain - 2000, agitate.every))
        gives = 0 if agitate is None else agitate.every // 3 if agitate.give is None else agitate.give
        if step.kind != "develop":
            others = [a for a in at if not (marks and a == min(at) and a <= marks[0] + gives)]
            yield from (f"copy {stay.copy}: {step.name} turned at {a}" for a in others if all(abs(a - b) > gives for b in marks))
        elif len(at) != len(marks) or any(abs(a - b) > gives for a, b in zip(at, marks, strict=False)):
            yield f"copy {stay.copy}: {step.name} turned at {at}, its marks are {marks}"
    developed = {step: kinds for step, kinds in rhythm.items() if recipe.steps[step].kind == "develop"}
    yield from (f"step {step + 1}: more than one rhythm: {kinds}" for step, kinds in developed.items() if len(kinds) > 1)


def _put_off(recipe, movements, stays, hands):
    """No turn later than its mark within the slack before its own sheet's exact lift."""
    for stay in (stay for stay in stays if recipe.steps[stay.step].kind == "develop"):
        step = recipe.steps[stay.step]
        turns = [m for m in movements if (m.copy, m.step, m.what) == (stay.copy, stay.step, "turn")]
        for count, turn in enumerate(turns, 1):
            late = turn.begins - stay.begins > count * step.agitate.every
            if late and turn.ends > stay.ends - step.drain - hands["slack"]:
                yield f"{_at(turn)}: put off into the slack before its lift"


def _moved_all_the_time(stay, step, movements):
    """The hands have the sheet from soon after its first touch to its lift."""
    held = [m for m in movements if (m.copy, m.step, m.what) == (stay.copy, stay.step, "watch")]
    lift = stay.begins + max(step.at_least or 0, step.target or 0) - step.drain
    if len(held) != 1 or held[0].begins > stay.begins + 5_000 or held[0].ends < lift - 5_000:
        yield f"copy {stay.copy}: {step.name} is not moved all the time: {held}"


def _lengths(recipe, movements, hands):
    """Every movement takes at least what the hands need for it."""
    for m in movements:
        step = recipe.steps[m.step]
        if m.what == "place":
            assert isinstance(step, Expose)
            needs = hands["place"] + hands["pace"] + step.count_in + (step.time or 0)
        elif m.what == "carry":
            needs = hands["carry"] + hands["pace"]
        elif m.what == "move":
            needs = step.drain + hands["pace"]
        else:
            needs = 0
        if m.ends - m.begins < needs:
            yield f"{_at(m)}: {m.ends - m.begins} ms, it needs {needs}"


def _copy_one(recipe, movements, stays):
    """No other sheet is out of the box before copy one was looked at in white light, twenty seconds long."""
    fixes = [stay for stay in stays if stay.copy == 1 and recipe.steps[stay.step].kind == "fix"]
    if recipe.first != "alone" or not fixes:
        return
    seen = fixes[0].begins + recipe.steps[fixes[0].step].light_safe + 20_000
    early = (m for m in movements if m.copy > 1 and m.what == "place" and m.begins < seen)
    yield from (f"{_at(m)}: copy one was not looked at yet" for m in early)


def _in_order(movements):
    for what, step in {(m.what, m.step) for m in movements if m.what != "turn"}:
        copies = [m.copy for m in sorted(movements, key=lambda m: m.begins) if (m.what, m.step) == (what, step)]
        if copies != sorted(copies):
            yield f"{what} in step {step + 1}: not first in, first out: {copies}"


def _one_exposed(movements):
    """No sheet is laid while another lies exposed: that would be one more to keep from the light."""
    laid = {m.copy: m.begins for m in movements if m.what == "place"}
    carried = {m.copy: m.ends for m in movements if m.what == "carry"}
    yield from (f"copy {c + 1} is laid while copy {c} lies exposed" for c in carried if laid.get(c + 1, carried[c]) < carried[c])


def _at(movement):
    return f"copy {movement.copy}, {movement.what} in step {movement.step + 1} at {movement.begins} ms"
