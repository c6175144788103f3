"""A sheet's true times in one line, as they stand under a rehearsal, after a session, and where one was left."""

from assistant.history.printed import Sheet
from assistant.trade.wording import to_tenth

_MARKS = {"good": "", "void": "", "short": " short", "long": " long"}


def true_times(sheet: Sheet) -> str:
    """One copy's finished stays, with what was wrong with them, and where it was when nothing more was kept."""
    state = "" if sheet.state == "done" else " (void)" if sheet.state == "void" else " (not finished)"
    stays = [f"{stay.name.lower()} {to_tenth(stay.lasted)}{_MARKS[stay.verdict]}" for stay in sheet.stays]
    return f"copy {sheet.number}{state}: " + (", ".join(stays) or _begun(sheet))


def _begun(sheet: Sheet) -> str:
    return "not begun" if sheet.within is None else f"broken off in {sheet.within.name.lower()}"
