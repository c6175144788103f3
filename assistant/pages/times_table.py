"""Each copy's true times against the recipe's: the rows of the table, and the table as plain text."""

import textwrap
from collections.abc import Iterable

from assistant.history.printed import Printed, Sheet
from assistant.session.copy import Stay
from assistant.trade.wording import to_tenth

_NAME, _TIME, _ABREAST = 24, 10, 4
"""Characters of a step's name and of a time, and how many copies stand abreast: 78 characters a line."""
_MARKS = {"good": " ", "void": " ", "short": "-", "long": "+"}
"""Verdict -> the sign behind a time."""


def times_table(record: Printed) -> list[str]:
    """Tables of a few copies abreast: a line for each step and each target it had, a column for each copy."""
    lines = ["True times, minutes:seconds  (+ longer than it should be, - shorter)"]
    sheets = record.course.sheets
    if not any(sheet.stays for sheet in sheets):
        return []
    for first in range(0, len(sheets), _ABREAST):
        abreast = sheets[first : first + _ABREAST]
        heads = [f"{'void' if sheet.state == 'void' else record.called} {sheet.number} " for sheet in abreast]
        lines += ["", f"{'':{_NAME}}{'target ':>{_TIME}}" + "".join(f"{head:>{_TIME + 1}}" for head in heads).rstrip()]
        lines += _rows(abreast)
    return lines


def _rows(sheets: Iterable[Sheet]) -> list[str]:
    return [
        f"{_short(name):<{_NAME}}{wanted + ' ':>{_TIME}}" + "".join(f"{cell:>{_TIME + 1}}" for cell in cells).rstrip()
        for name, wanted, *cells in rows(sheets)
    ]


def rows(sheets: Iterable[Sheet]) -> list[list[str]]:
    """A row for each step and each target it had: its name, the target, each sheet's true time with its mark."""
    stays = [_numbered(sheet) for sheet in sheets]
    found = []
    for key in sorted({key for column in stays for key in column}):
        one = next(column[key] for column in stays if key in column)
        found.append([one.name, target(one), *(_cell(column.get(key)) for column in stays)])
    return found


def _numbered(sheet: Sheet) -> dict[tuple[int, int, int], Stay]:
    """A sheet's stays by step, number of the light within the step, and target (-1 for none)."""
    found: dict[tuple[int, int, int], Stay] = {}
    for stay in sheet.stays:
        light = sum(1 for step, _, _ in found if step == stay.step)
        found[stay.step, light, -1 if stay.target_ms is None else stay.target_ms] = stay
    return found


def target(stay: Stay) -> str:
    """How long a stay was to last, in words."""
    if stay.target_ms is not None:
        return to_tenth(stay.target_ms)
    return "by eye" if stay.kind == "tone" else "open"


def _cell(stay: Stay | None) -> str:
    return "" if stay is None else to_tenth(stay.lasted) + _MARKS[stay.verdict]


def _short(name: str) -> str:
    return textwrap.shorten(name, _NAME - 1, placeholder="..") if len(name) >= _NAME else name
