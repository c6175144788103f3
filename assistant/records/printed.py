"""A session read back as it was printed: its course as written, beside what this version can read of its recipe."""

from functools import lru_cache

from assistant.history.printed import Printed, Session
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import loads
from assistant.recipe.model import Recipe
from assistant.records.baths import Baths
from assistant.records.journal import Journal


def printed(journal: Journal, session: Session) -> Printed:
    """A session as it is kept; where its recipe can't be read any more, all the rest is there and `trouble` says why."""
    recipe, trouble = _read(session.recipe, session.file or "recipe")
    if trouble:
        trouble = (
            f"Session {session.number} was printed with traycall {session.program}, and this version can't read its recipe "
            f"any more; its text is below as it was. {trouble}"
        )
    unattended = tuple(
        (told.details["since"], told.at)
        for told in journal.told(session.number)
        if told.name == "woke" and isinstance(told.details.get("since"), int)
    )
    troubles = " ".join(filter(None, [journal.trouble(session.number), trouble]))
    return Printed(
        session,
        journal.course(session.number),
        recipe,
        unattended,
        placements=Baths(journal).placements(session.number),
        remarks=tuple(journal.remarks(session.number)),
        trouble=troubles,
    )


@lru_cache(64)  # the same edition on many evenings is read once
def _read(text: str, file: str) -> tuple[Recipe | None, str]:
    try:
        return loads(text, file).recipe, ""
    except BadRecipe as error:
        return None, str(error)
