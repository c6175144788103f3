"""Several negatives in one session: what `prints` must keep to, and the light of one of them.

A rule passes over what could not be read, which is None, whatever the model says.
"""

from collections.abc import Iterator, Sequence

from assistant.recipe.faults import Finding
from assistant.recipe.fields import MOST_COPIES
from assistant.recipe.light_rules import of_light
from assistant.recipe.model import Expose, Print, Recipe, Step


def sheets(recipe: Recipe) -> int | None:
    """How many sheets a recipe prints; None where that could not be read."""
    if not recipe.prints:
        return recipe.copies
    counts = [one.copies if one is not None else None for one in recipe.prints]
    known = [count for count in counts if count is not None]
    return sum(known) if len(known) == len(counts) else None


def light_of(step: Expose, one: Print | None) -> Expose:
    """The exposure of a print: the recipe's own, with what the print says for itself; None is the recipe's one negative."""
    if one is None:
        return step
    own = {name: getattr(one, name) for name in ("time", "aperture", "filter", "parts") if getattr(one, name) is not None}
    return step.model_copy(update=own)


def of_prints(recipe: Recipe, steps: Sequence[Step | None]) -> Iterator[Finding]:
    """All findings about `prints`."""
    if not recipe.prints:
        return
    if "copies" in recipe.model_fields_set:
        yield Finding(("copies",), "each print says how many there are of it", "leave copies out here")
    total = sheets(recipe)
    if total is not None and total > MOST_COPIES:
        yield Finding(("prints",), f"{total} sheets: a session prints from 1 to {MOST_COPIES}", "print fewer, or in two sessions")
    yield from _names(recipe)
    lights = [step for step in steps if isinstance(step, Expose)]
    if len(lights) != 1 and None not in steps:
        yield Finding(("prints",), "several prints need one exposure in the steps, which is theirs", "write one expose")
    for step in lights[:1]:
        if step.strip is not None:
            yield Finding(("prints",), "a strip is made of one negative", "leave prints out, or the strip")
        else:
            yield from _lights(recipe, step)
            yield from _enlarger(recipe, step)


def _names(recipe: Recipe) -> Iterator[Finding]:
    seen: set[str] = set()
    for i, one in enumerate(recipe.prints):
        if one is None or one.name is None:
            continue
        if one.name.casefold() in seen:
            yield Finding(("prints", i, "name"), f"a second print is called {one.name}", "give each a name of its own")
        seen.add(one.name.casefold())


def _enlarger(recipe: Recipe, step: Expose) -> Iterator[Finding]:
    """What one print has set and another says nothing of: nobody would be asked to set it back."""
    for key in ("filter", "aperture"):
        if key in step.model_fields_set or not any(one is not None and key in one.model_fields_set for one in recipe.prints):
            continue
        for i, one in enumerate(recipe.prints):
            if one is not None and key not in one.model_fields_set:
                fix = f"write {key} here or in the exposure: it stays as the other print left it"
                yield Finding(("prints", i), f"this print has no {key}, and another has one", fix, "warning")


def _lights(recipe: Recipe, step: Expose) -> Iterator[Finding]:
    for i, one in enumerate(recipe.prints):
        if one is None:
            continue
        own = one.model_fields_set & {"time", "parts"}
        if step.time is None and one.time is None and "time" not in step.model_fields_set and "time" not in own:
            yield Finding(("prints", i), "this print has no time, and the exposure has none", "write time: 9.6 s")
        elif own:
            found = of_light(light_of(step, one), ("prints", i))
            yield from (finding for finding in found if len(finding.path) > 2 and finding.path[2] in own)
