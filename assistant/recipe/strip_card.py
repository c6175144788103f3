"""The card of a test strip made from a print's card: the same paper and baths for the same times, one sheet, a strip of light.

A strip tells the time of the print only if it was treated as the print will be; so nothing of the wet side is written
anew here. It ends where the print would wait for the others, or before it would be toned.
"""

from collections.abc import Mapping

import yaml

from assistant.recipe import yaml_places
from assistant.recipe.loader import loads
from assistant.recipe.model import STRIP_FOR, Expose, Recipe, Strip, Tone
from assistant.recipe.time_rewriting import CannotRewrite, light_named, print_named
from assistant.recipe.yaml_places import Plain
from assistant.trade.quantities import format_size, format_span, format_stops


class NoStrip(ValueError):
    """No strip can be made from this card; says why."""


FOG_TEST = "Fog test"
"""What an exposure to the screen's own light is called."""


FOR = "Test strip, "
"""How the exposure of a strip is called that finds the time of one light or print among several; its name follows."""


def strip_card(text: str, strip: Strip, title: str = "", name: str = "Test strip", part: str | None = None) -> str:
    """The text of the strip's recipe, for the base or for the print or light that `part` names, which is then given alone.

    BadRecipe where `text` is no good one, NoStrip where it has nothing to expose, no such light, or several prints and
    none of them is named.
    """
    recipe = loads(text).recipe
    lights = [i for i, step in enumerate(recipe.steps) if isinstance(step, Expose)]
    if not lights:
        raise NoStrip("there is no exposure in this recipe; a strip finds the time of one")
    light, last = lights[0], _last(recipe, lights[0])
    card = yaml_places.read(text).data
    one = _print(recipe, card, part, strip)
    for word in ("copies", "reference", "flow", "spares", "blank", "prints"):
        card.pop(word, None)
    steps = card["steps"]
    trays = card["trays"]
    assert isinstance(steps, list)
    assert isinstance(trays, dict)
    needed = {step.tray for step in recipe.steps[light + 1 : last + 1] if not isinstance(step, Expose)}
    exposure = recipe.steps[light]
    assert isinstance(exposure, Expose)
    place = print_named(recipe, part)
    part = part if place is None else recipe.prints[place].name
    of = recipe.title if place is None else part
    card["title"] = title or (recipe.title if exposure.strip else f"{STRIP_FOR}{of}")
    if "negative" in one:
        card["negative"] = one["negative"]
    card["trays"] = {name: tray for name, tray in trays.items() if " ".join(name.split()) in needed}
    if one:
        lit: dict[str, Plain] = {"name": f"{FOR}{part}", **_exposure(steps[light], strip, None)}
        lit |= {word: one[word] for word in ("aperture", "filter") if word in one}
    else:
        lit = _of_a_light(exposure, steps[light], strip, part, name)
    card["steps"] = [{"expose": lit}, *steps[light + 1 : last + 1]]
    written = yaml.safe_dump(card, sort_keys=False, allow_unicode=True, width=110)
    loads(written)
    return written


def _of_a_light(exposure: Expose, written: Plain, strip: Strip, part: str | None, name: str) -> dict[str, Plain]:
    try:
        place = light_named(exposure, part)
    except CannotRewrite as error:
        raise NoStrip(str(error)) from None
    called = name if place is None else f"{FOR}{exposure.parts[place].light}"
    return {"name": called, **_exposure(written, strip, place)}


def _print(recipe: Recipe, card: Mapping[str, Plain], part: str | None, strip: Strip) -> dict[str, Plain]:
    """What is written of the print that a strip is for; empty where there is one negative, or paper alone is tested."""
    place, written = print_named(recipe, part), card.get("prints")
    if place is None and recipe.prints and strip.light == "lamp":
        names = ", ".join(one.name for one in recipe.prints)
        raise NoStrip(f"a strip is made of one negative: say which, like --part {recipe.prints[0].name!r}; there are {names}")
    found = written[place] if place is not None and isinstance(written, list) else {}
    return found if isinstance(found, dict) else {}


def written_strip(strip: Strip) -> dict[str, Plain]:
    """A strip as it stands in a recipe."""
    grows: dict[str, Plain] = (
        {"add": format_span(strip.add)} if strip.add is not None else {"step": format_stops(strip.step or 0)}
    )
    size: dict[str, Plain] = {"size": format_size(strip.size)} if strip.size is not None else {}
    shown: dict[str, Plain] = {"light": strip.light} if strip.light != "lamp" else {}
    return {"first": format_span(strip.first), **grows, "strips": str(strip.strips), "way": strip.way, **size, **shown}


def part_of(recipe: Recipe) -> str | None:
    """The light, or the one of several prints, that a strip's card is for; None is the base."""
    called = next((step.name for step in recipe.steps if isinstance(step, Expose)), "")
    return called.removeprefix(FOR) if called.startswith(FOR) else None


def _exposure(step: Plain, strip: Strip, place: int | None) -> dict[str, Plain]:
    """Aperture, filter and count-in as they are; what is only of the print (time, parts, dry-down) is left out."""
    assert isinstance(step, dict)
    old = step["expose"]
    assert isinstance(old, dict)
    kept: dict[str, Plain] = {word: old[word] for word in ("aperture", "filter", "count_in") if word in old}
    parts = old.get("parts")
    if place is not None and isinstance(parts, list) and isinstance(part := parts[place], dict):
        kept |= {word: part[word] for word in ("aperture", "filter") if word in part}
    return {**kept, "strip": written_strip(strip)}


def _last(recipe: Recipe, light: int) -> int:
    """The strip's last step: the first that gathers copies, or the one before the toner, or the last of all."""
    for i, step in enumerate(recipe.steps[light + 1 :], light + 1):
        if getattr(step, "gather", False):
            return i
        if isinstance(step, Tone):
            return i - 1
    return len(recipe.steps) - 1
