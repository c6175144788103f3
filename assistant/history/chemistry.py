"""Chemistry in use: what has gone through each bath since the printer said it was mixed, and what is left of it.

Sheets are counted from the sessions' records, by their first touch of the bath and by area (TRADE: capacity); spoiled
sheets count like good ones. What a litre takes is the recipe's word; the product's own label goes before both.
"""

from collections.abc import Iterable
from datetime import datetime, timedelta

from assistant.history.baths import InUse, Mixing
from assistant.history.printed import Printed
from assistant.recipe.model import Recipe
from assistant.trade import capacity
from assistant.trade.quantities import Size, format_size

KEEPS = {
    "develop": (timedelta(days=1), "developer"),
    "stop": (timedelta(days=1), "stop"),
    "fix": (timedelta(days=61), "acid fixer"),
}
"""Kind of step -> the age from which `capacity.KEEPS` has something to say, and under which name."""


def mixed_before(mixings: Iterable[Mixing], tray: str, at: datetime) -> datetime | None:
    """When the bath that stood in a tray at a moment was mixed, as last said; None where nobody said."""
    said = [mixing.mixed for mixing in mixings if mixing.tray == tray and mixing.mixed <= at]
    return said[-1] if said else None


def in_use(tray: str, mixed: datetime, history: Iterable[Printed], until: datetime) -> InUse:
    """What went through a tray's bath from when it was mixed up to a moment."""
    sheets, unsized = 0.0, 0
    for past in history:
        size = _size(past.recipe) if past.recipe else None
        for sheet in past.course.sheets:
            touched = sheet.touched.get(tray)
            if touched is None or not mixed <= past.session.wall(touched) < until:
                continue
            sheets += size.equivalents if size else 0
            unsized += size is None
    return InUse(tray, mixed, sheets, unsized)


def before_copy_one(recipe: Recipe, copies: int, baths: dict[str, InUse], now: datetime) -> list[str]:
    """What a printer should know of the baths before copy one; nothing of a bath that is fresh and will last."""
    lines = []
    for tray in recipe.trays:
        said = [_lasting(recipe, copies, tray, baths.get(tray)), _age(recipe, tray, baths.get(tray), now)]
        lines += [f"{tray}: {line}" for line in said if line]
    return lines


def takes(recipe: Recipe, tray: str) -> float | None:
    """How many sheets of 8x10 in a recipe's bath takes; None where the recipe does not say."""
    bath = recipe.trays[tray]
    return bath.lasts * bath.volume / 1000 if bath.lasts and bath.volume else None


def _lasting(recipe: Recipe, copies: int, tray: str, bath: InUse | None) -> str:
    size, written, whole = _size(recipe), recipe.trays[tray], takes(recipe, tray)
    if size is None or whole is None or not written.volume or not written.lasts:
        return ""
    used = capacity.edition(size, copies, written.volume, written.lasts, bath.sheets if bath else 0.0)
    so_far = f"{through(bath)}, of {whole:.1f} that it takes" if bath else f"takes {whole:.1f} sheets of 8x10"
    if used.spent_at is not None:
        return f"{so_far}: spent at copy {used.spent_at} of {copies} ({format_size(size)}). Mix it anew."
    if bath is None or not (bath.sheets or bath.unsized):
        return ""
    return f"{so_far}: enough for {copies} copies of {format_size(size)} and {used.more} more."


def _age(recipe: Recipe, tray: str, bath: InUse | None, now: datetime) -> str:
    kinds = [step.kind for step in recipe.steps if getattr(step, "tray", None) == tray]
    limit, name = min((KEEPS[kind] for kind in kinds if kind in KEEPS), default=(None, ""))
    if bath is None or limit is None or now - bath.mixed <= limit:
        return ""
    return f"mixed {days(now - bath.mixed)} ago. {capacity.KEEPS[name]} Its label knows better."


def through(bath: InUse) -> str:
    """What went through a bath, in words."""
    if not (bath.sheets or bath.unsized):
        return "nothing went through"
    unsized = f" and {bath.unsized} of a size that was not written" if bath.unsized else ""
    return f"{bath.sheets:.1f} sheets of 8x10{unsized} went through"


def days(age: timedelta) -> str:
    """An age in whole days, in words."""
    return "less than a day" if age.days < 1 else "a day" if age.days == 1 else f"{age.days} days"


def _size(recipe: Recipe) -> Size | None:
    return recipe.sheet_size
