"""Puts a new exposure time into a recipe's own text, and leaves every comment, space and line as it was.

Only the characters of the one value are exchanged. The new text is read again before it is given back: the recipe in
it must be the old one but for that time, or nothing is written.
"""

import errno
import os
from contextlib import suppress
from pathlib import Path as File

from assistant.plain_files import read_bytes, write_whole
from assistant.recipe import yaml_places
from assistant.recipe.faults import BadRecipe, Path, one_of
from assistant.recipe.loader import loads
from assistant.recipe.model import Develop, Expose, Recipe
from assistant.recipe.several_prints import light_of
from assistant.trade.quantities import format_span


class CannotRewrite(ValueError):
    """The time can't be put into this recipe; says why, and what to do by hand."""


def _put_print_time(text: str, recipe: Recipe, place: int, ms: int) -> str:
    changed = recipe.prints[place].model_copy(update={"time": ms})
    wanted = recipe.model_copy(update={"prints": (*recipe.prints[:place], changed, *recipe.prints[place + 1 :])})
    written = _seconds(ms)
    for candidate in _candidates(text, ("prints", place), written):
        with suppress(BadRecipe):
            if loads(candidate).recipe == wanted:
                return candidate
    raise CannotRewrite(f"write time: {written} in print {place + 1} yourself")


def put_time(text: str, ms: int, part: str | None = None) -> str:
    """The text with the exposure time `ms` in whole ms: the base's, or the one of the print or the light that `part` names.

    BadRecipe where the text is no good recipe, CannotRewrite where it has no such light or its time is written in a way
    that can't be exchanged alone.
    """
    recipe = loads(text).recipe
    step = next((i for i, one in enumerate(recipe.steps) if isinstance(one, Expose)), None)
    if step is None:
        raise CannotRewrite("there is no exposure in this recipe to write a time for")
    exposure = recipe.steps[step]
    assert isinstance(exposure, Expose)
    if (of := print_named(recipe, part)) is not None:
        return _put_print_time(text, recipe, of, ms)
    place = light_named(exposure, part)
    wanted = _with_time(recipe, step, place, ms)
    written = _seconds(ms)
    path: Path = ("steps", step, "expose") if place is None else ("steps", step, "expose", "parts", place)
    for candidate in _candidates(text, path, written):
        with suppress(BadRecipe):
            if loads(candidate).recipe == wanted:
                return candidate
    raise CannotRewrite(f"the time can't be exchanged alone; write time: {written} in step {step + 1} yourself")


def put_developing(text: str, step: int, ms: int) -> str:
    """The text with another developing time (whole ms) in the step at an index.

    BadRecipe where the text is no good recipe, CannotRewrite where it has none, or it can't be exchanged alone.
    """
    recipe = loads(text).recipe
    old = recipe.steps[step]
    if not isinstance(old, Develop) or old.target is None:
        raise CannotRewrite(f"step {step + 1} develops for no time of its own")
    changed = old.model_copy(update={"target": ms})
    wanted = recipe.model_copy(update={"steps": (*recipe.steps[:step], changed, *recipe.steps[step + 1 :])})
    span = yaml_places.read(text).spans.get(("steps", step, "develop", "for"))
    if span is not None:
        candidate = text[: span[0]] + format_span(ms) + text[span[1] :]
        with suppress(BadRecipe):
            if loads(candidate).recipe == wanted:
                return candidate
    raise CannotRewrite(f"write for: {format_span(ms)} in step {step + 1} yourself")


def print_named(recipe: Recipe, name: str | None) -> int | None:
    """The position of the print of this name among several; None where there is none."""
    names = [one.name.casefold() for one in recipe.prints]
    return names.index(name.casefold()) if name is not None and name.casefold() in names else None


def light_named(step: Expose, name: str | None) -> int | None:
    """The position among the parts of the light of this name; None is the base. CannotRewrite says which there are."""
    if name is None:
        return None
    lights = {part.light.lower(): i for i, part in enumerate(step.parts) if part.light}
    if name.lower() not in lights:
        there = f"its lights are {one_of(f'`{light}`' for light in lights)}" if lights else "it has no light but the base"
        raise CannotRewrite(f"there is no light `{name}` in this recipe: {there}")
    return lights[name.lower()]


def time_of(recipe: Recipe, name: str | None) -> int | None:
    """The time of a recipe's base, or of the print or light of this name, ms; None where none is written.

    CannotRewrite as above.
    """
    of = print_named(recipe, name)
    for step in recipe.steps:
        if isinstance(step, Expose):
            if of is not None:
                return light_of(step, recipe.prints[of]).time
            place = light_named(step, name)
            return step.time if place is None else step.parts[place].time
    return None


def put_time_in_file(file: File, ms: int, part: str | None = None) -> None:
    """Put an exposure time (whole ms) into a recipe file; the file is whole at every moment, the old one or the new.

    BadRecipe and CannotRewrite as `put_time`, OSError where the file can't be written.
    """
    whole = file.resolve()
    if not whole.stat().st_mode & 0o222 or not os.access(whole, os.W_OK):
        raise PermissionError(errno.EACCES, "it is read-only", str(file))
    raw = read_bytes(whole, yaml_places.MOST_BYTES)
    head = yaml_places.BOM if raw.startswith(yaml_places.BOM) else b""
    try:
        text = yaml_places.decoded(raw)
    except yaml_places.Unreadable as error:
        raise BadRecipe(str(file), (error.fault,)) from None
    write_whole(whole, head + put_time(text, ms, part).encode("utf-8"))


def _with_time(recipe: Recipe, step: int, part: int | None, ms: int) -> Recipe:
    old = recipe.steps[step]
    assert isinstance(old, Expose)
    if part is None:
        changed = old.model_copy(update={"time": ms})
    else:
        light = old.parts[part].model_copy(update={"time": ms})
        changed = old.model_copy(update={"parts": (*old.parts[:part], light, *old.parts[part + 1 :])})
    return recipe.model_copy(update={"steps": (*recipe.steps[:step], changed, *recipe.steps[step + 1 :])})


def _seconds(ms: int) -> str:
    """A time as an exposure is written: in seconds, however long."""
    return format_span(ms) if ms < 60_000 else f"{ms / 1000:.3f}".rstrip("0").rstrip(".") + " s"


def _candidates(text: str, exposure: Path, written: str) -> list[str]:
    """Texts that may hold the new time: in place of the old one, or as a new first key, by lines or between braces."""
    page = yaml_places.read(text)
    span = page.spans.get((*exposure, "time"))
    if span is not None:
        rest = _comment_in_its_column(text[span[1] :], len(written) - (span[1] - span[0]))
        return [text[: span[0]] + written + rest]
    first = next(path for path in page.keys if path[:-1] == exposure)
    line, column = page.keys[first]
    lines = text.splitlines(keepends=True)
    before, rest = "".join(lines[: line - 1]), "".join(lines[line - 1 :])
    indent, rest = rest[: column - 1], rest[column - 1 :]
    end = "\r\n" if "\r\n" in text else "\n"
    return [f"{before}{indent}time: {written}{joint}{rest}" for joint in (f"{end}{indent}", ", ")]


def _comment_in_its_column(rest: str, longer: int) -> str:
    """The text after a value that grew by so many characters (or shrank, below zero), its own comment where it was."""
    gap = len(rest) - len(rest.lstrip(" "))
    if gap == 0 or not rest[gap:].startswith("#"):
        return rest
    return " " * max(1, gap - longer) + rest[gap:]
