"""Lines that are the same wherever a session is told of: a sheet's true times, the prints, what was added afterwards."""

from assistant.history.printed import Course, Remark, Sheet
from assistant.trade.wording import to_tenth

_MARKS = {"good": "", "void": "", "short": " short", "long": " long"}


def true_times(sheet: Sheet) -> str:
    """One copy's finished stays, with what was wrong with them, and where it was when nothing more was kept."""
    state = "" if sheet.state == "done" else " (void)" if sheet.state == "void" else " (not finished)"
    stays = [f"{stay.name.lower()} {to_tenth(stay.lasted)}{_MARKS[stay.verdict]}" for stay in sheet.stays]
    return f"copy {sheet.number}{state}: " + (", ".join(stays) or _begun(sheet))


def _begun(sheet: Sheet) -> str:
    return "not begun" if sheet.within is None else f"broken off in {sheet.within.name.lower()}"


def prints(course: Course) -> list[str]:
    """Which copies are of which of several prints, a line for each."""
    return [
        f"{name}: {'copy' if len(sheets) == 1 else 'copies'} {', '.join(str(sheet.number) for sheet in sheets)}"
        for name, sheets in course.prints.items()
    ]


def remark_line(remark: Remark) -> str:
    """What was added afterwards, with the day."""
    whose = f"copy {remark.copy}: " if remark.copy is not None else ""
    holder = f"with {remark.holder}" if remark.holder else ""
    return f"{remark.entered:%Y-%m-%d}  {whose}" + ", ".join(filter(None, [remark.judged, remark.words, holder]))
