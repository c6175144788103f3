"""The records read back: a session as it was printed, and what has gone through each bath since it was mixed."""

import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timezone

from assistant.history.baths import InUse
from assistant.history.chemistry import before_copy_one, in_use, mixed_before
from assistant.history.printed import Printed, Session
from assistant.recipe.model import Recipe
from assistant.records.journal import Journal
from assistant.records.printed import printed


def record_of(journal: Journal, session: Session) -> Printed:
    """One session as it was printed, with what was known of its baths before."""
    record = printed(journal, session)
    trays = list(record.recipe.trays) if record.recipe else []
    return replace(record, baths=tuple(standing(journal, trays, session.started).values()))


def baths_before(journal: Journal, recipe: Recipe, copies: int) -> list[str]:
    """What a printer should know of the baths before copy one, a line each; none where all are fresh and will last."""
    now = wall_now()
    return before_copy_one(recipe, copies, standing(journal, list(recipe.trays), now), now)


def standing(journal: Journal, trays: list[str], until: datetime) -> dict[str, InUse]:
    """Each tray's bath as it stood at a moment, where its mixing was written down."""
    mixings = journal.mixings()
    mixed = {tray: at for tray in trays if (at := mixed_before(mixings, tray, until)) is not None}
    history = list(_history(journal, min(mixed.values()))) if mixed else []
    return {tray: in_use(tray, at, history, until) for tray, at in mixed.items()}


def last_recipes(journal: Journal) -> dict[str, Recipe]:
    """Tray -> the recipe of the last session that had one of that name."""
    found: dict[str, Recipe] = {}
    for session in journal.sessions():
        recipe = printed(journal, session).recipe
        if recipe is not None:
            found.update(dict.fromkeys(recipe.trays, recipe))
    return found


def _history(journal: Journal, since: datetime) -> Iterator[Printed]:
    """Every session that was still printed after a moment; one of which nothing is known is said."""
    for session in journal.sessions():
        if session.ended_by < since:
            continue
        record = printed(journal, session)
        if not record.course.sheets and record.trouble:
            print(f"{record.trouble.splitlines()[0]} Its sheets are not counted.", file=sys.stderr)
        yield record


def wall_now() -> datetime:
    """The wall clock, in the local zone."""
    return datetime.now(timezone.utc).astimezone()
