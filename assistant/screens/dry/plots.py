"""Curves in braille dots, with axes, units and marks. Pure: numbers in, lines of text out.

A cell of braille holds eight dots, so a curve is smooth where letters would make steps.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

from plotille import Canvas

from assistant.calculations.topic import Curve
from assistant.trade.quantities import Misread, format_span

HERE, KNOWN, PRINT = "●", "o", "●"
"""The signs of the printer's own point, of a known one, and of a print."""
NARROW, LOW = 16, 5
"""Fewer columns or rows than these show no curve that could be read."""
_NICE = (0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 3600, 7200, 14400, 28800, 86400)
"""What one step of an axis may be: whole numbers people count in, and seconds as a clock has them."""
_EMPTY = "\u2800"
"""Braille without a dot, which some fonts draw as empty circles."""
_ACROSS, _UP = 2, 4
"""Dots in a cell of braille."""
_ROWS_APART, _COLUMNS_APART = 2, 8
"""Marks of an axis stand at least so far apart, to be read one by one."""


Level: TypeAlias = tuple[float, str]
"""A value drawn all across, with a word for it."""
Sign: TypeAlias = tuple[float, float, str]
"""A sign at a place: across, up."""


@dataclass(frozen=True)
class Axis:
    """From where to where, what is measured and in which unit, and a value in words."""

    least: float
    most: float
    name: str
    said: Callable[[float], str]

    def marks(self, room: int) -> list[float]:
        """About `room` values that people count in."""
        step = next((one for one in _NICE if (self.most - self.least) / one < max(2, room)), self.most - self.least)
        first = -(-self.least // step)
        return [value for i in range(room + 2) if (value := (first + i) * step) <= self.most + step / 1e6]

    def beyond(self, dots: int) -> float:
        """Where so many dots end, so that the last one stands for `most`."""
        return self.least + (self.most - self.least) * dots / (dots - 1)

    def cell(self, value: float, cells: int, dots: int) -> int:
        """The cell, of so many dots each, in which the dot of a value lies."""
        share = (value - self.least) / (self.most - self.least)
        return round(min(max(share, 0.0), 1.0) * (cells * dots - 1)) // dots


def plot(
    across: Axis,
    up: Axis,
    line: Sequence[tuple[float, float]],
    marks: Sequence[Sign],
    levels: Sequence[Level],
    width: int,
    height: int,
) -> list[str]:
    """The plot in at most `height` lines; none where there is no room, or nothing to tell apart."""
    rows = height - 3
    values = dict.fromkeys(up.marks(max(2, rows // _ROWS_APART)), "") | dict(levels)
    labels = {value: " ".join(filter(None, [word, up.said(value)])) for value, word in values.items()}
    edge = max(map(len, labels.values()), default=0)
    columns = width - edge - 2
    if columns < NARROW or rows < LOW or across.least >= across.most or up.least >= up.most:
        return []
    canvas = Canvas(columns, rows, across.least, up.least, across.beyond(columns * _ACROSS), up.beyond(rows * _UP))
    for value, _ in levels:
        for dot in range(0, columns * _ACROSS, 6):  # every sixth dot: a dotted line, no curve
            canvas.point(across.least + dot * (across.most - across.least) / (columns * _ACROSS - 1), value)
    for (x0, y0), (x1, y1) in pairwise(line):
        canvas.line(x0, y0, x1, y1)
    drawn = [list(row.replace(_EMPTY, " ")) for row in canvas.plot().split("\n")]
    for x, y, sign in marks:
        drawn[rows - 1 - up.cell(y, rows, _UP)][across.cell(x, columns, _ACROSS)] = sign
    beside: dict[int, str] = {}
    for value, label in sorted(labels.items(), key=lambda one: not values[one[0]]):
        beside.setdefault(rows - 1 - up.cell(value, rows, _UP), label)
    body = [f"{beside.get(i, ''):>{edge}} {'┤' if i in beside else '│'}{''.join(row)}".rstrip() for i, row in enumerate(drawn)]
    return [f"{up.name}, by {across.name}", *body, *_foot(across, columns, edge)]


def _foot(across: Axis, columns: int, edge: int) -> Iterator[str]:
    """The axis below: its line and its values."""
    line, words = ["─"] * columns, [" "] * columns
    free = 0
    for value in across.marks(max(2, columns // _COLUMNS_APART)):
        said, at = across.said(value), across.cell(value, columns, _ACROSS)
        begin = max(0, min(at - len(said) // 2, columns - len(said)))
        if begin >= free and begin + len(said) <= columns:
            line[at] = "┴"
            words[begin : begin + len(said)] = said
            free = begin + len(said) + 1
    yield f"{'':>{edge}} └{''.join(line)}"
    yield f"{'':>{edge}}  {''.join(words).rstrip()}"


def curve(one: Curve, width: int, height: int) -> list[str]:
    """A law's curve with the printer's own point, and what its signs mean; dotted where the law is a guess."""
    known = [x for x in one.points if x != one.here]
    points = [(x, y) for i in range(201) if (y := _value(one, x := one.least + i * (one.most - one.least) / 200)) is not None]
    signed = [*((x, KNOWN) for x in known), (one.here, HERE)]
    marked = [(x, y, sign) for x, sign in signed if (y := _value(one, x)) is not None]
    values = [y for _, y in points] + [y for _, y, _ in marked]
    if not values:
        return []
    low, high = one.trusted or (one.least, one.most)
    inside = [(x, y) for x, y in points if low <= x <= high]
    guessed = [(x, y, "·") for x, y in points[::4] if not low <= x <= high]
    signs = [f"{HERE} yours"] + ([f"{KNOWN} known"] if known else [])
    if guessed:
        signs.append(f"· outside {one.at(low)} to {one.at(high)}: a guess")
    across = Axis(one.least, one.most, one.across, one.at)
    drawn = plot(across, Axis(min(values), max(values), one.up, one.reached), inside, [*guessed, *marked], (), width, height - 1)
    return [*drawn, "   ".join(signs)] if drawn else []


def _value(one: Curve, x: float) -> float | None:
    """The value at a place; None where there is none, as for a time longer than a day."""
    try:
        return one.value(x)
    except Misread:
        return None


def along(
    times: Sequence[tuple[int, int]], levels: Sequence[tuple[str, int]], width: int, height: int, called: str = "copy"
) -> list[str]:
    """Times (copy, ms) along an edition, in the order of their work, joined by a line; levels (word, ms) all across."""
    seconds = [ms / 1000 for _, ms in times]
    lined = [(ms / 1000, word) for word, ms in levels]
    all_of = [*seconds, *(value for value, _ in lined)]
    low, high = min(all_of), max(all_of)
    spare = max(1.0, (high - low) / 20)  # no point on the frame, and something to see where all are alike
    points = [(float(i), value) for i, value in enumerate(seconds)]
    across = Axis(
        -0.5, len(times) - 0.5, called, lambda i: str(times[round(i)][0]) if 0 <= round(i) < len(times) and i == round(i) else ""
    )
    up = Axis(low - spare, high + spare, "minutes and seconds", lambda value: format_span(round(value * 1000), 0))
    return plot(across, up, points, [(x, y, PRINT) for x, y in points], lined, width, height)
