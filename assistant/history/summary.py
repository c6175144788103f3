"""Lines that are the same wherever a session is told of: a sheet's true times, the prints, what was added afterwards."""

from collections.abc import Sequence

from assistant.history.course import course_of
from assistant.history.printed import Printed, Remark, Sheet
from assistant.recipe.model import Tray
from assistant.session.bench import Bench
from assistant.session.copy import Stay
from assistant.trade import quantities as q
from assistant.trade.wording import in_number, to_tenth

_MARKS = {"good": "", "void": "", "short": " short", "long": " long"}


def summary(bench: Bench) -> list[str]:
    """One line a copy: every stay's true time, and what was wrong with it."""
    return [true_times(sheet, bench.plan.recipe.called) for sheet in course_of(bench).sheets]


def true_times(sheet: Sheet, called: str) -> str:
    """One sheet's finished stays, with what was wrong with them, and where it was when nothing more was kept.

    `called` is what it is: a copy, or a sheet of film.
    """
    state = "" if sheet.state in ("done", "not begun") else " (void)" if sheet.state == "void" else " (not finished)"
    stays = [f"{stay.name.lower()} {to_tenth(stay.lasted)}{_MARKS[stay.verdict]}{_turns(stay)}" for stay in sheet.stays]
    return f"{called} {sheet.number}{state}: " + (", ".join(stays) or _begun(sheet))


def _turns(stay: Stay) -> str:
    return f" ({turns_left_out(stay)})" if stay.left_out else ""


def turns_left_out(stay: Stay) -> str:
    """How many turns of a stay nobody was called for, in words: "2 turns left out"."""
    return f"{stay.left_out} turn{'' if stay.left_out == 1 else 's'} left out"


def _begun(sheet: Sheet) -> str:
    return "not begun" if sheet.within is None else f"broken off in {sheet.within.name.lower()}"


def became(sheets: Sequence[Sheet]) -> str:
    """What became of sheets: "6 done, 1 void"."""
    states = [sheet.state for sheet in sheets]
    return ", ".join(f"{states.count(state)} {state}" for state in dict.fromkeys(states)) or "none begun"


def poured(bath: Tray) -> str:
    """What was in a tray by the recipe: "print developer 1+9, 3 l, 20 C"."""
    mix = f" {q.format_mix(bath.mix)}" if bath.mix else ""
    volume = q.format_volume(bath.volume) if bath.volume else ""
    warmth = q.format_temperature(bath.temperature) if bath.temperature is not None else ""
    return ", ".join(filter(None, [f"{bath.bath}{mix}", volume, warmth]))


def prints(record: Printed) -> list[str]:
    """Which copies are of which of several prints, a line for each."""
    return [
        f"{name}: {in_number(len(sheets), record.called)} {', '.join(str(sheet.number) for sheet in sheets)}"
        for name, sheets in record.course.prints.items()
    ]


def remark_line(remark: Remark, called: str) -> str:
    """What was added afterwards, with the day."""
    whose = f"{called} {remark.copy}: " if remark.copy is not None else ""
    holder = f"with {remark.holder}" if remark.holder else ""
    return f"{remark.entered:%Y-%m-%d}  {whose}" + ", ".join(filter(None, [remark.judged, remark.words, holder]))
