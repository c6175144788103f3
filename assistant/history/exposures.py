"""Base exposures that were really given, where they were others than the recipe's: the card in the record's own light. Pure."""

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.history.printed import Printed, Sheet
from assistant.recipe.model import Expose, Recipe
from assistant.recipe.several_prints import light_of
from assistant.trade import exposure


@dataclass(frozen=True)
class Given:
    """A base that was settled on while it was printed: of which print ("" the only one) and light, both times in ms.

    `was` is the recipe's, `ms` the last good copy's; both are as they are set, before dry-down.
    """

    print: str
    step: str
    was: int
    ms: int


def given(record: Printed, recipe: Recipe) -> Iterator[Given]:
    """Of each print whose last good copy had another time than the recipe says."""
    place, step = next(((i, one) for i, one in enumerate(recipe.steps) if isinstance(one, Expose)), (0, None))
    if step is None or step.strip is not None:
        return
    for one in recipe.prints or (None,):
        name, light = one.name if one else "", light_of(step, one)
        lit = _last_light(record.course.sheets, name, place)
        base = _before_dry_down(lit, light.dry_down) if lit else None
        if base and light.time and exposure.dry_down(light.time, light.dry_down) != lit:
            yield Given(name, step.name, light.time, base)


def _last_light(sheets: tuple[Sheet, ...], name: str, step: int) -> int | None:
    """The base light that the last good copy of a print had, ms after dry-down."""
    good = [sheet for sheet in sheets if sheet.state == "done" and sheet.print == name]
    return next((stay.target_ms for sheet in good[-1:] for stay in sheet.stays if stay.step == step), None)


def _before_dry_down(lit: int, percent: float) -> int | None:
    """The time (ms) whose light was so long after dry-down, in tenths of a second where it can be."""
    near = lit / (1 - percent / 100)
    rounded = (round(near / tick) * tick for tick in (100, 10, 1))
    return next((ms for ms in rounded if exposure.dry_down(ms, percent) == lit), None)
