"""A plan as a picture: a row for the hands, one for the lamp, one for every place of every tray; a sheet is its number.

As text ten seconds are a column, and the rows are folded to the window; as SVG they run on unfolded.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from assistant.planning.edition import Edition

COLUMN = 10_000
"""Ten seconds a column: at more nothing could be told apart, at less no window would hold it (ms)."""
SCALE = 3
"""A second is so many pixels wide."""
ROW = 22
"""Pixels from row to row: letters of 13 with air."""
LEFT = 130
"""Pixels for the rows' names: sixteen letters of 13, as trays are called."""
INK, PAPER, RULE = "#e04030", "#180402", "#601810"
"""Red on black, as the program is; the picture is for the dry side all the same."""


@dataclass(frozen=True)
class PictureRow:
    """One row: its name, and from when to when (ms) which copy is there, by its number."""

    name: str
    spans: tuple[tuple[int, int, str], ...]


def rows(edition: Edition) -> list[PictureRow]:
    """The rows from top to bottom."""
    actions = edition.work.actions
    found = [PictureRow("hands", tuple((begin, end, str(copy + 1)) for begin, end, copy, _ in edition.hands))]
    lit = [(begin, end, str(copy + 1)) for begin, end, copy, k in edition.hands if actions[k].kind == "place"]
    placed = edition.work.hands.place + edition.work.hands.pace
    if lit:
        found.append(PictureRow("lamp", tuple((begin + placed, end, copy) for begin, end, copy in lit)))
    for visit in edition.work.visits:
        places = min(visit.holds, edition.copies)
        for place in range(places):  # first in, first out: a sheet takes the place of the one so many before
            here = tuple((*edition.stay(copy, visit), str(copy + 1)) for copy in range(place, edition.copies, places))
            found.append(PictureRow(visit.tray if places == 1 else f"{visit.tray} {place + 1}", here))
    return found


def as_text(drawn: Sequence[PictureRow], width: int) -> list[str]:
    """The picture in lines no wider than a window, minute marks above each fold."""
    wide = max(len(row.name) for row in drawn) + 1
    columns = max(6, (width - wide) // 6 * 6)
    last = -(-_finish(drawn) // COLUMN)
    lines: list[str] = []
    for first in range(0, last, columns):
        until = min(first + columns, last)
        marks = "".join(f"{column // 6}'".ljust(6) for column in range(first, until, 6))
        lines += ["", f"{'':{wide}}{marks}".rstrip()]
        lines += [f"{row.name:{wide}}{''.join(_sign(row, column) for column in range(first, until))}".rstrip() for row in drawn]
    return lines[1:]


def _finish(drawn: Sequence[PictureRow]) -> int:
    return max(end for row in drawn for _, end, _ in row.spans)


def _sign(row: PictureRow, column: int) -> str:
    """The copy that is there longest within a column, by the last digit of its number; a dot where nobody is."""
    low, high = column * COLUMN, (column + 1) * COLUMN
    here = [(min(end, high) - max(begin, low), copy) for begin, end, copy in row.spans if begin < high and end > low]
    return max(here)[1][-1] if here else "."


def as_svg(drawn: Sequence[PictureRow]) -> str:
    """The picture as SVG, three pixels a second."""
    finish = _finish(drawn)
    width = LEFT + finish * SCALE // 1000 + 10
    height = (len(drawn) + 1) * ROW
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" font-family="monospace" font-size="13">',
        f'<rect width="{width}" height="{height}" fill="{PAPER}"/>',
    ]
    for minute in range(finish // 60_000 + 1):
        x = LEFT + minute * 60 * SCALE
        parts.append(f'<path d="M{x} {ROW}V{height}" stroke="{RULE}"/><text x="{x}" y="15" fill="{INK}">{minute}\'</text>')
    for place, row in enumerate(drawn, 1):
        y = place * ROW
        parts.append(f'<text x="4" y="{y + 16}" fill="{INK}">{escape(row.name)}</text>')
        for begin, end, copy in row.spans:
            at, w = LEFT + begin * SCALE / 1000, (end - begin) * SCALE / 1000
            parts.append(f'<rect x="{at:.0f}" y="{y + 2}" width="{w:.0f}" height="{ROW - 4}" fill="{RULE}" stroke="{INK}"/>')
            parts.append(f'<text x="{at + 3:.0f}" y="{y + 16}" fill="{INK}">{escape(copy)}</text>')
    return "\n".join([*parts, "</svg>", ""])
