"""The records read back: a session as it was printed, and the baths as they stand."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime, timezone

from assistant.history import baths as chemistry_values
from assistant.history.baths import Bath, InUse, Placement
from assistant.history.chemistry import pulled, rank_of, uses, with_card
from assistant.history.printed import Printed, Session
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import complain
from assistant.recipe.model import Recipe
from assistant.records.baths import Baths, NoBath, tray_of
from assistant.records.journal import Journal
from assistant.records.printed import printed


def record_of(journal: Journal, session: Session) -> Printed:
    """One session as it was printed, with its baths as they stood before."""
    record = printed(journal, session)
    first = {one.tray: one.bath for one in sorted(record.placements, key=lambda one: -one.from_ms)}
    baths = {bath.number: bath for bath in Baths(journal).all()}
    stood = {tray: baths[number] for tray, number in first.items() if baths[number].made <= session.started}
    return replace(record, baths=tuple(in_use(journal, stood, record.recipe, session.started).values()))


def baths_for(journal: Journal, recipe: Recipe, asked: Mapping[str, str]) -> dict[str, Bath]:
    """Tray -> the bath that stands in it: as asked for, else put there last, else of the tray's or the bath's name.

    Refusal where what is asked for is no bath in use, or no tray of the recipe.
    """
    store = Baths(journal)
    using = [bath for bath in store.in_use() if bath.form == "bath"]
    found: dict[str, Bath] = {}
    try:
        found = {tray: store.named(name) for tray, name in asked.items()}
    except NoBath as error:
        raise Refusal(str(error)) from None
    for tray, bath in found.items():
        if bath.form != "bath":
            raise Refusal(f"{bath.name} is a bottle: what is mixed from it stands in the {tray}, under a name of its own.")
    for tray in asked.keys() - recipe.trays.keys():
        raise Refusal(f"{recipe.title} has no tray {tray}; it has {', '.join(recipe.trays)}.")
    taken = {bath.number for bath in found.values()}
    for tray, written in recipe.trays.items():
        free = [bath for bath in using if bath.number not in taken]
        put = [bath for bath in free if tray_of(bath) == tray]
        put.sort(key=lambda bath: bath.told("stood")[-1].at)
        named = [b for b in free if not tray_of(b) and b.name.casefold() in (tray.casefold(), written.bath.casefold())]
        if tray not in found and (put or named):
            found[tray] = (put or named)[-1]
            taken.add(found[tray].number)
    return found


def placements(recipe: Recipe, baths: Mapping[str, Bath]) -> tuple[Placement, ...]:
    """The same, as a session keeps it."""
    return tuple(Placement(tray, 0, bath.number, rank_of(recipe, tray)) for tray, bath in baths.items())


def standing_in(journal: Journal, session: int, recipe: Recipe) -> dict[str, InUse]:
    """Tray -> the bath that stands in it now in a session, as it stands."""
    by_number = {bath.number: bath for bath in Baths(journal).all()}
    last = {one.tray: by_number[one.bath] for one in sorted(Baths(journal).placements(session), key=lambda one: one.from_ms)}
    return in_use(journal, {tray: bath for tray, bath in last.items() if tray in recipe.trays}, recipe, wall_now())


def in_use(journal: Journal, baths: Mapping[str, Bath], recipe: Recipe | None, until: datetime) -> dict[str, InUse]:
    """Each tray's bath as it stood at a moment."""
    history = _history(journal, (bath.made for bath in baths.values()))
    found = {}
    for tray, bath in baths.items():
        passed = [use for past in history for use in uses(past, bath.number)]
        standing = chemistry_values.standing(with_card(bath, recipe, tray), passed, until, tray)
        before = [ms for past in history if past.session.started < until for ms in pulled(past, bath.number)]
        found[tray] = replace(standing, pulled=tuple(before))
    return found


def last_recipes(journal: Journal) -> dict[str, Recipe]:
    """Tray -> the recipe of the last session that had one of that name."""
    found: dict[str, Recipe] = {}
    for session in journal.sessions():
        recipe = printed(journal, session).recipe
        if recipe is not None:
            found.update(dict.fromkeys(recipe.trays, recipe))
    return found


def _history(journal: Journal, made: Iterable[datetime]) -> list[Printed]:
    """Every session that was still printed after the oldest of these moments; one of which nothing is known is said."""
    since = min(made, default=None)
    found = []
    for session in journal.sessions(trials=True) if since is not None else ():
        if since is not None and session.ended_by < since:
            continue
        record = printed(journal, session)
        if not record.course.sheets and record.trouble:
            complain(f"{record.trouble.splitlines()[0]} Its sheets are not counted.")
        found.append(record)
    return found


def wall_now() -> datetime:
    """The wall clock, in the local zone."""
    return datetime.now(timezone.utc).astimezone()
