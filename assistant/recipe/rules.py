"""What steps, trays and times of a recipe mean to each other: rules it must keep, and what to think over."""

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.recipe.faults import Path
from assistant.recipe.model import Develop, Expose, Fix, Hold, Recipe, Stop, Tone, Wash, WetStep
from assistant.trade.quantities import format_span, format_temperature

SECOND = 1000
MINUTE = 60 * SECOND
SHORT_FIX = 30 * SECOND
SHORT_WASH = 20 * MINUTE
COOLEST, WARMEST = 18.0, 24.0
QUICK = 1500
"""Limits of the warnings; spans in ms, temperatures in Celsius: common practice, no source."""


@dataclass(frozen=True)
class Complaint:
    """Something wrong at a place in the recipe; a warning leaves it printable."""

    path: Path
    what: str
    fix: str
    warning: bool = False


def complaints(recipe: Recipe) -> Iterator[Complaint]:
    """All complaints about a recipe whose single values are in order."""
    yield from _card(recipe)
    yield from _order(recipe)
    for i, step in enumerate(recipe.steps):
        if isinstance(step, Expose):
            yield from _exposure(i, step)
        else:
            yield from _bath(recipe, i, step)
    yield from _thoughts(recipe)


def _card(recipe: Recipe) -> Iterator[Complaint]:
    if recipe.reference > recipe.copies:
        what = f"{recipe.reference} untoned references of {recipe.copies} copies"
        yield Complaint(("reference",), what, f"write at most {recipe.copies}")
    if recipe.light == "none" and any(isinstance(step, Expose) for step in recipe.steps):
        yield Complaint(("light",), "an exposure in total darkness", "leave `light` out, or the exposure")


def _order(recipe: Recipe) -> Iterator[Complaint]:
    kinds = [step.kind for step in recipe.steps]
    for i, kind in enumerate(kinds):
        before, after = kinds[:i], kinds[i + 1 :]
        if kind == "expose" and "develop" in before:
            yield Complaint(("steps", i), "exposing after developing", "put it before the developer")
        if kind == "develop" and "develop" in before:
            yield Complaint(("steps", i), "developing twice", "keep one of them")
        if kind == "fix" and "develop" in after and "develop" not in before:
            yield Complaint(("steps", i), "fixing before developing", "put it after the developer")
        if kind == "tone" and "fix" not in before:
            yield Complaint(("steps", i), "toning before fixing", "fix and rinse first")


def _exposure(i: int, step: Expose) -> Iterator[Complaint]:
    if step.time is None and step.strip is None:
        yield Complaint(("steps", i), "`time` is missing", "write time: 8.5 s, or a strip")
    if step.strip is not None:
        if (step.strip.step is None) == (step.strip.add is None):
            yield Complaint(
                ("steps", i, "strip"), "a strip grows by stops or by seconds", "write step: 1/3 or add: 2 s"
            )
        if step.parts:
            yield Complaint(("steps", i, "parts"), "burns and dodges on a test strip", "leave them for the print")
    for number, part in enumerate(step.parts):
        if (part.burn is None) == (part.dodge is None):
            path = ("steps", i, "parts", number)
            yield Complaint(path, "a part is a burn or a dodge", "write burn: sky or dodge: door")


def _bath(recipe: Recipe, i: int, step: WetStep) -> Iterator[Complaint]:
    here: Path = ("steps", i)
    if step.tray not in recipe.trays:
        known = ", ".join(recipe.trays)
        yield Complaint((*here, "tray"), f"no tray `{step.tray}` on the bench", f"the bench has {known}")
    yield from _times(here, step)
    end = step.target
    for number, call in enumerate(step.say):
        if (call.at is None) == (call.left is None):
            yield Complaint((*here, "say", number), "a call has one moment", "write at: 60 s, or left: 10 s")
        elif end is not None and max(call.at or 0, call.left or 0) >= end:
            yield Complaint((*here, "say", number), "a call outside its step", f"the step is {format_span(end)} long")
        elif end is None and call.left is not None:
            yield Complaint((*here, "say", number), "time left in a step without an end", "write at: 60 s")
    if step.agitate and end is not None and step.agitate.every >= end:
        yield Complaint(
            (*here, "agitate", "every"), "an agitation longer than its step", f"less than {format_span(end)}"
        )
    if step.temperature_law and (step.temperature_law.coefficient is None) == (step.temperature_law.points is None):
        path = (*here, "temperature_law")
        yield Complaint(path, "a law is a coefficient or two points", "write coefficient: 2.1")
    if isinstance(step, Tone):
        yield from _by_eye(here, step)


def _times(here: Path, step: WetStep) -> Iterator[Complaint]:
    if isinstance(step, Develop):
        if (step.target is None) == (step.factor is None):
            yield Complaint(here, "a development has a time or a factor", "write for: 2 min, or factor: 6")
    elif isinstance(step, Stop | Fix | Wash) and step.target is None:
        yield Complaint(here, "`for` is missing", "write for: 30 s")
    target = step.target
    if target is not None and step.drain >= target:
        yield Complaint(
            (*here, "drain"), f"a drain as long as the step, {format_span(target)}", "write a shorter drain"
        )
    if target is not None and step.at_least is not None and step.at_least > target:
        yield Complaint((*here, "at_least"), f"the least is above the time, {format_span(target)}", "lower it")
    if target is not None and step.at_most is not None and step.at_most < target:
        yield Complaint((*here, "at_most"), f"the most is below the time, {format_span(target)}", "raise it")
    if step.at_least is not None and step.at_most is not None and step.at_least > step.at_most:
        yield Complaint((*here, "at_least"), "the least is above the most", "change them over")


def _by_eye(here: Path, step: Tone) -> Iterator[Complaint]:
    if step.by_eye.earliest > step.by_eye.latest:
        yield Complaint((*here, "by_eye"), "`from` is later than `to`", "change them over")
    if step.together:
        yield Complaint((*here, "together"), "prints are toned one at a time", "leave `together` out")
    if step.begin != "by hand":
        yield Complaint((*here, "begin"), "toning is begun by hand", "leave `begin` out")
    for number, look in enumerate(step.look):
        if look.at > step.by_eye.latest:
            path = (*here, "look", number)
            yield Complaint(path, "a look outside its step", f"`to` is {format_span(step.by_eye.latest)}")


def _thoughts(recipe: Recipe) -> Iterator[Complaint]:
    steps = list(enumerate(recipe.steps))
    developed = any(isinstance(step, Develop) for _, step in steps)
    if developed and not any(isinstance(step, Stop) for _, step in steps):
        yield Complaint(("steps",), "no stop bath", "developer is carried into the fixer: add a stop or a rinse", True)
    for i, step in steps:
        if isinstance(step, Fix) and step.target is not None and step.target < SHORT_FIX:
            yield Complaint(("steps", i, "for"), "a fix under 30 s", "see the fixer's label", True)
        if isinstance(step, Tone) and isinstance(recipe.steps[i - 1], Fix):
            yield Complaint(
                ("steps", i), "no rinse between fix and tone", "rinse first: fixer stains in the toner", True
            )
        if isinstance(step, Develop) and step.tray in recipe.trays:
            warm = recipe.trays[step.tray].temperature
            if warm is not None and not COOLEST <= warm <= WARMEST:
                path = ("trays", step.tray, "temperature")
                yield Complaint(path, f"developing at {format_temperature(warm)}", "18 to 24 C is usual", True)
    yield from _last_wash(recipe)
    yield from _spent(recipe)
    yield from _quick_strips(recipe)


def _last_wash(recipe: Recipe) -> Iterator[Complaint]:
    washes = [(i, s) for i, s in enumerate(recipe.steps) if isinstance(s, Wash)]
    if washes and washes[-1][1].target is not None and washes[-1][1].target < SHORT_WASH:
        yield Complaint(("steps", washes[-1][0], "for"), "a final wash under 20 min", "fibre paper takes longer", True)


def _spent(recipe: Recipe) -> Iterator[Complaint]:
    """A bath that is used up before the last copy; a sheet of unknown size counts as 8x10 in."""
    size = recipe.paper.size if recipe.paper else None
    sheets = size.equivalents if size else 1.0
    used = {step.tray for step in recipe.steps if not isinstance(step, Expose | Hold)}
    for name, tray in recipe.trays.items():
        if name in used and tray.lasts is not None and tray.volume is not None:
            takes = int(tray.lasts * tray.volume / 1000 / sheets + 1e-9)
            if takes < recipe.copies:
                fix = "mix more, or renew it on the way; tests and spoiled sheets count too"
                yield Complaint(("trays", name, "lasts"), f"used up after {takes} of {recipe.copies} copies", fix, True)


def _quick_strips(recipe: Recipe) -> Iterator[Complaint]:
    for i, step in enumerate(recipe.steps):
        if isinstance(step, Expose) and step.strip is not None:
            strip = step.strip
            gain = strip.add if strip.add is not None else strip.first * (2 ** (strip.step or 1) - 1)
            if min(strip.first, gain) < QUICK:
                fix = "dim the lamp or begin with a longer time"
                yield Complaint(("steps", i, "strip"), "increments under 1.5 s can't be moved by hand", fix, True)
