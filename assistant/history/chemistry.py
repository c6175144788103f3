"""Chemistry in use: what went through each bath, and whether it lasts the edition that is to be printed.

Sheets are counted from the sessions' records, by their first touch of the bath and by area; strips by their own paper's
size, spoiled sheets like good ones. What a litre takes and how long a bath keeps are defaults of the trade or the
printer's own words: the product's label goes before them.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from assistant.history.baths import Bath, BathUse, InUse, Placement, age
from assistant.history.printed import Printed
from assistant.recipe.model import Fix, Recipe, Tone
from assistant.score.words import number, of_time
from assistant.trade import capacity, toning_drift
from assistant.trade.quantities import Size, format_size
from assistant.trade.wording import counted, to_tenth

KEEPS = {
    "develop": (timedelta(days=1), "developer"),
    "stop": (timedelta(days=1), "stop"),
    "fix": (timedelta(days=61), "acid fixer"),
}
"""Kind of step -> the age from which `capacity.KEEPS` has something to say, and under which name."""

_SHOWN = 0.05
"""Sheets are shown to a tenth: what differs by less is the same to read."""
MOST_ROTATIONS = 3
"""Rotations of two fixing baths after which both are made new: Anchell, The Darkroom Cookbook, 3rd ed. p. 107."""


@dataclass(frozen=True)
class Lasting:
    """Whether a bath lasts an edition: sheets of 8x10 in that it takes, that wore it, and that the edition adds.

    `copies` are those that go through it, blank sheets too; `spent_at` is the first of them that it no longer covers, None
    where it covers all; `more` how many of this `size` it takes besides.
    """

    tray: str
    size: Size
    copies: int
    used: float
    takes: float
    needs: float
    spent_at: int | None
    more: int


def uses(past: Printed, bath: int) -> Iterable[BathUse]:
    """What a session put through a bath."""
    size = past.recipe.sheet_size if past.recipe else None
    for sheet in past.course.sheets:
        for tray, at in sheet.touched.items():
            stood = _stood(past, tray, at)
            if stood is not None and stood.bath == bath:
                yield BathUse(past.session.wall(at), size.equivalents if size else None, stood.rank == 1)
    for when, rank in _blanks(past, bath):
        yield BathUse(when, size.equivalents if size else None, rank == 1)


def _blanks(past: Printed, bath: int) -> Iterable[tuple[datetime, int]]:
    """A blank sheet goes through every bath that any copy went through, taken to touch it with the first of them."""
    for placed in past.placements:
        touched = [at for sheet in past.course.sheets for tray, at in sheet.touched.items() if tray == placed.tray]
        if placed.bath == bath and past.recipe and touched and min(touched) >= placed.from_ms:
            for _ in range(past.recipe.blank):
                yield past.session.wall(min(touched)), placed.rank


def pulled(past: Printed, bath: int) -> Iterable[int]:
    """How long each print was in a toner (ms) that a session put through it, in their order."""
    for stay in past.course.toned:
        stood = _stood(past, stay.tray, stay.from_ms)
        if stood is not None and stood.bath == bath:
            yield stay.lasted


def _stood(past: Printed, tray: str | None, at: int) -> Placement | None:
    """What stood in a tray at a moment (ms); None where nobody has said."""
    before = [one for one in past.placements if one.tray == tray and one.from_ms <= at]
    return max(before, key=lambda one: one.from_ms, default=None)


def with_card(bath: Bath, recipe: Recipe | None, tray: str) -> Bath:
    """A bath, and from the recipe's tray what was not said of it."""
    written = recipe.trays.get(tray) if recipe else None
    if written is None:
        return bath
    return replace(
        bath,
        volume=bath.volume if bath.volume is not None else written.volume,
        lasts=bath.lasts if bath.lasts is not None else written.lasts,
        mix=bath.mix if bath.mix is not None else written.mix,
    )


def rank_of(recipe: Recipe, tray: str) -> int:
    """Which of the recipe's fixing baths stands in a tray, counted from one; 1 for every other bath."""
    fixers = list(dict.fromkeys(step.tray for step in recipe.steps if isinstance(step, Fix)))
    return fixers.index(tray) + 1 if tray in fixers else 1


def lasting(recipe: Recipe, copies: int, tray: str, bath: InUse | None) -> Lasting | None:
    """Whether a tray's bath lasts an edition; None where sheet, volume or what a litre takes are not known."""
    size, written = recipe.sheet_size, recipe.trays[tray]
    volume = bath.volume if bath else written.volume
    lasts = bath.bath.lasts if bath else written.lasts
    if size is None or not volume or not lasts or rank_of(recipe, tray) > 1:
        return None
    toned = any(isinstance(step, Tone) and step.tray == tray for step in recipe.steps)
    through = (copies - recipe.reference if toned else copies) + recipe.blank
    used = capacity.edition(size, through, volume, lasts, bath.wear if bath else 0.0)
    return Lasting(tray, size, through, used.used_before, used.takes, used.used, used.spent_at, used.more)


def before_copy_one(recipe: Recipe, copies: int, baths: Mapping[str, InUse], now: datetime) -> list[str]:
    """What a printer should know of the baths before copy one; nothing of a bath that is fresh and will last."""
    lines = []
    for tray in recipe.trays:
        bath = baths.get(tray)
        lasts = _lasting(recipe, lasting(recipe, copies, tray, bath), bath)
        said = [lasts, _age(recipe, tray, bath, now), _rotated(bath), _drifted(bath)]
        lines += [f"{tray}: {line}" for line in said if line]
    return [*lines, *before_toning(recipe, baths, now)]


def sentence(recipe: Recipe, copies: int, baths: Mapping[str, InUse]) -> str:
    """Of the baths that were used, or will not last, the worst in one spoken sentence, "" for none.

    Of those that will not last, how many more there are; all of them stand on the screen.
    """
    found = [one for tray in recipe.trays if (one := lasting(recipe, copies, tray, baths.get(tray))) is not None]
    short = sorted((one for one in found if one.spent_at is not None), key=lambda one: one.spent_at or 0)
    used = sorted((one for one in found if one.spent_at is None and round(one.used)), key=lambda one: one.used / one.takes)
    if not short and not used:
        return ""
    worst = short[0] if short else used[-1]
    verdict = "enough" if worst.spent_at is None else f"not enough for {recipe.called} {number(worst.spent_at)}"
    takes = of_time(int(worst.takes))
    before = f"used {of_time(round(worst.used))} of {takes}" if worst.tray in baths else f"takes {takes}"
    said = f"{worst.tray}: {before}, this session takes {of_time(round(worst.needs))}: {verdict}"
    return f"{said}. and {number(len(short) - 1)} more" if len(short) > 1 else said


def too_short(recipe: Recipe, copies: int, baths: Mapping[str, InUse]) -> list[str]:
    """The trays whose bath will not last the edition."""
    found = [lasting(recipe, copies, tray, baths.get(tray)) for tray in recipe.trays]
    return [one.tray for one in found if one is not None and one.spent_at is not None]


def before_toning(recipe: Recipe, baths: Mapping[str, InUse], now: datetime) -> list[str]:
    """What selenium would show of a poor fixer: silver left in the paper stains in the toner. Common practice, no source."""
    return [
        f"{tray}: before toning mind that {', '.join(why)}. A test: traycall baths test"
        for tray, why in _poor_fixers(recipe, baths, now, days)
    ]


def mind_before_toning(recipe: Recipe, baths: Mapping[str, InUse], now: datetime) -> str:
    """The same as it is spoken, "" for nothing."""
    found = _poor_fixers(recipe, baths, now, lambda age: f"{of_time(age.days)} days")
    return ". ".join(f"before toning mind the {tray}. {', '.join(why)}" for tray, why in found)


def _poor_fixers(
    recipe: Recipe, baths: Mapping[str, InUse], now: datetime, worded: Callable[[timedelta], str]
) -> Iterator[tuple[str, list[str]]]:
    """Fixing baths before a toner that are exhausted, over their age, or not tested well, and why."""
    if not any(isinstance(step, Tone) for step in recipe.steps):
        return
    for tray in dict.fromkeys(step.tray for step in recipe.steps if isinstance(step, Fix)):
        bath = baths.get(tray)
        if bath is None:
            continue
        silver = [event for event in bath.bath.told("tested") if event.details.get("test") in ("silver", "fixer")]
        limit = KEEPS["fix"][0] if bath.bath.keeps is None else timedelta(days=bath.bath.keeps)
        why = []
        if bath.takes is not None and bath.wear > bath.takes and rank_of(recipe, tray) == 1:
            why.append("it is past what it takes")
        if age(bath.bath, now) > limit:
            why.append(f"it is {worded(age(bath.bath, now))} old")
        if silver and not silver[-1].details.get("good", False):
            why.append("its last test was bad")
        if not silver and bath.wear > 0:
            why.append("it was not tested since it was mixed")
        if why:
            yield tray, why


def _lasting(recipe: Recipe, found: Lasting | None, bath: InUse | None) -> str:
    if found is None:
        return ""
    so_far = f"{through(bath)}, of {found.takes:.1f} that it takes" if bath else f"takes {found.takes:.1f} sheets of 8x10"
    if found.spent_at is not None:
        spent = f"spent at {recipe.called} {found.spent_at} of {found.copies} ({format_size(found.size)})"
        return f"{so_far}: {spent}. Top it up or mix it fresh."
    if bath is None or not (bath.through or bath.unsized):
        return ""
    return f"{so_far}: enough for {counted(found.copies, recipe.called)} of {format_size(found.size)} and {found.more} more."


def _age(recipe: Recipe, tray: str, bath: InUse | None, now: datetime) -> str:
    if bath is None:
        return ""
    old = age(bath.bath, now)
    if bath.bath.keeps is not None:
        return f"mixed {days(old)} ago, and keeps for {bath.bath.keeps} days." if old.days > bath.bath.keeps else ""
    kinds = [step.kind for step in recipe.steps if getattr(step, "tray", None) == tray]
    limit, name = min((KEEPS[kind] for kind in kinds if kind in KEEPS), default=(None, ""))
    if limit is None or old <= limit:
        return ""
    return f"mixed {days(old)} ago. {capacity.KEEPS[name]} Follow its label."


def _rotated(bath: InUse | None) -> str:
    if bath is None or bath.bath.rotations < MOST_ROTATIONS:
        return ""
    return f"the fixing baths have changed places {bath.bath.rotations} times: after the third mix both fresh."


def _drifted(bath: InUse | None) -> str:
    hint = toning_drift.hint(bath.pulled) if bath else None
    if hint is None:
        return ""
    before = ", ".join(map(to_tenth, hint.before))
    return f"the last prints in this toner took {before}: look from {to_tenth(hint.look_from)}."


def through(bath: InUse) -> str:
    """What went through a bath, in words."""
    if not (bath.through or bath.unsized):
        return "nothing went through"
    sized = [f"{bath.through:.1f} sheets of 8x10"] if bath.through else []
    unsized = [f"{bath.unsized} of a size that was not written"] if bath.unsized else []
    worn = f" (worn like {bath.wear:.1f})" if abs(bath.wear - bath.through) > _SHOWN else ""
    return f"{' and '.join(sized + unsized)} went through{worn}"


def is_spent(bath: InUse) -> bool:
    """Whether it has taken all that it takes, to the tenth that is shown."""
    return bath.left is not None and bath.left < _SHOWN


def days(age: timedelta) -> str:
    """An age in whole days, in words."""
    return "less than a day" if age.days < 1 else "a day" if age.days == 1 else f"{age.days} days"
