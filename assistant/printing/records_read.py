"""The records read back: a session as it was printed, and what has gone through each bath since it was mixed."""

import sys
from collections.abc import Iterator
from contextlib import suppress
from datetime import datetime, timezone
from functools import lru_cache

from assistant.printing.recipe_file import frozen_score
from assistant.printing.refusal import Refusal
from assistant.recipe.model import Recipe
from assistant.records.chemistry import InUse, before_copy_one, in_use, mixed_before
from assistant.records.file import JournalFault
from assistant.records.journal import Journal
from assistant.records.kept import Session
from assistant.records.printed import Printed, printed

_score = lru_cache(frozen_score)  # the same edition on many evenings is read once


def record_of(journal: Journal, session: Session) -> Printed:
    """One session as it was printed; Refusal where this version can't read its recipe."""
    entries = journal.entries(session.number)
    try:
        return printed(session, _score(session.recipe, session.file or "recipe", session.copies), entries)
    except Refusal as error:
        raise Refusal(
            f"Session {session.number} was printed with traycall {session.program}, and this version can't read its "
            f"recipe any more. Text and happenings are in {journal.path}, tables sessions and entries.\n{error}"
        ) from None


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
        with suppress(Refusal):
            recipe = _score(session.recipe, session.file or "recipe", session.copies).plan.recipe
            found.update(dict.fromkeys(recipe.trays, recipe))
    return found


def _history(journal: Journal, since: datetime) -> Iterator[Printed]:
    """Every session that was still printed after a moment; one that can't be read is said, and left out."""
    for session in journal.sessions():
        if session.ended_by < since:
            continue
        try:
            yield record_of(journal, session)
        except (Refusal, JournalFault) as error:
            print(f"{str(error).splitlines()[0]} Its sheets are not counted.", file=sys.stderr)


def wall_now() -> datetime:
    """The wall clock, in the local zone."""
    return datetime.now(timezone.utc).astimezone()
