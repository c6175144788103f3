"""Several recipes with the same baths, printed in one session: one card, in which each is a print of its own.

What has to be alike is everything that a sheet meets after the light, and the paper, lamp and height under it. What may
differ is the negative, how many, and the light's time, aperture, filter and parts.
"""

from collections.abc import Iterator, Mapping, Sequence

import yaml

from assistant.recipe import yaml_places
from assistant.recipe.loader import loads
from assistant.recipe.model import Expose, Recipe
from assistant.recipe.yaml_places import Plain

OWN = ("title", "notes", "copies", "spares", "negative", "prints", "steps")
"""What each recipe says for itself; its steps but for the light have to be alike."""
LIGHT = ("time", "aperture", "filter", "parts")
"""What a print's light has of its own."""


class CannotJoin(ValueError):
    """Recipes that can't be printed in one session; says which, and what differs."""


def joined(cards: Sequence[tuple[str, str]]) -> str:
    """The text of one recipe for several, each given as its name and its text; BadRecipe where one is no good.

    The new text is read as every other one is: what does not fit into trays or one session is a fault of it.
    """
    read = [(name, loads(text, name).recipe, yaml_places.read(text).data) for name, text in cards]
    _alike([(name, recipe) for name, recipe, _ in read])
    step, *rest = _steps(read[0][2])
    light = {word: value for word, value in _light(step).items() if word not in LIGHT or word == "time"}
    titles = [recipe.title for _, recipe, _ in read]
    made: dict[str, Plain] = {
        "title": f"{', '.join(titles[:-1])} and {titles[-1]}",
        "notes": _notes([recipe for _, recipe, _ in read]),
        **{word: value for word, value in read[0][2].items() if word not in OWN},
        "prints": [one for _, recipe, card in read for one in _prints(recipe, card)],
        "steps": [{"expose": light}, *rest],
    }
    text = yaml.safe_dump({word: value for word, value in made.items() if value}, sort_keys=False, allow_unicode=True, width=110)
    loads(text, " + ".join(name for name, _ in cards))
    return text


def _notes(recipes: Sequence[Recipe]) -> str:
    """Each recipe's notes under its title; what all of them say, once."""
    if len({recipe.notes.strip() for recipe in recipes}) == 1:
        return recipes[0].notes.strip()
    return "\n".join(f"{recipe.title}: {recipe.notes.strip()}" for recipe in recipes if recipe.notes.strip())


def _alike(read: Sequence[tuple[str, Recipe]]) -> None:
    """CannotJoin where one is printed alone, or is not like the first."""
    first, recipe = read[0]
    for name, other in read:
        lit = next((step for step in other.steps if isinstance(step, Expose)), None)
        if lit is None or lit.strip is not None:
            raise CannotJoin(f"{name}: {'a strip' if lit else 'film'} is printed alone")
        if differing := list(_differing(recipe, other)):
            said = "; ".join(differing[:4]) + ("; and more" if differing[4:] else "")
            raise CannotJoin(f"{name} can't be printed in one session with {first}: {said}.")


def _differing(one: Recipe, other: Recipe) -> Iterator[str]:
    """What the two have to have alike and have not, in words."""
    for word in Recipe.model_fields:
        if word == "trays":
            for tray in dict.fromkeys((*one.trays, *other.trays)):
                if one.trays.get(tray) != other.trays.get(tray):
                    yield f"tray {tray} is another"
        elif word not in OWN and getattr(one, word) != getattr(other, word):
            yield f"{word} is another"
    if list(one.trays) != list(other.trays) and set(one.trays) == set(other.trays):
        yield "the trays stand in another order"
    if len(one.steps) != len(other.steps):
        yield f"it has {len(other.steps)} steps, not {len(one.steps)}"
        return
    for step, twin in zip(one.steps, other.steps, strict=True):
        alike = _bare(step) == _bare(twin) if isinstance(step, Expose) and isinstance(twin, Expose) else step == twin
        if not alike:
            yield f"step {twin.name} is another"


def _bare(step: Expose) -> Expose:
    return step.model_copy(update={"time": None, "aperture": None, "filter": None, "parts": ()})


def _prints(recipe: Recipe, card: Mapping[str, Plain]) -> Iterator[dict[str, Plain]]:
    """What stands in `prints` for a recipe: its own prints, or itself as one, with the light that it has."""
    step = _light(_steps(card)[0])
    light = {word: step[word] for word in LIGHT if word in step}
    own = card.get("prints")
    for one in own if isinstance(own, list) else ():
        yield {**light, **one} if isinstance(one, dict) else light
    if not recipe.prints:
        said: dict[str, Plain] = {word: card[word] for word in ("negative", "copies", "spares") if word in card}
        yield {"name": recipe.title, **said, **light}


def _steps(card: Mapping[str, Plain]) -> list[Plain]:
    """The written steps, the light first: `_differing` has seen that all begin with it."""
    steps = card["steps"]
    assert isinstance(steps, list)
    return steps


def _light(step: Plain) -> dict[str, Plain]:
    assert isinstance(step, dict)
    light = step["expose"]
    assert isinstance(light, dict)
    return light
