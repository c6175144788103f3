"""Small pictures in text for the dry side: a curve with the place where we are, and a test strip as its strips lie. Pure."""

from assistant.reckoning.topic import Course
from assistant.trade.quantities import Misread, format_span
from assistant.trade.strips import StripPlan

LINE, POINT, HERE = "·", "o", "●"
NARROW, LOW = 12, 3
"""Fewer columns or rows than these show no curve."""


def curve(course: Course, width: int, height: int) -> list[str]:
    """The curve in at most `height` rows, with its ends in words; nothing where there is no room, or nowhere to go.

    Above stands what is largest, to the left what is least; `here` is marked, and known points.
    """
    marks = {course.here: HERE, **{at: POINT for at in course.points if at != course.here}}
    values = [value for at in (course.least, course.most, *marks) if (value := _value(course, at)) is not None]
    low, high = min(values), max(values)
    edge = max(len(course.reached(low)), len(course.reached(high)))
    across, rows = width - edge - 2, height - 1
    if across < NARROW or rows < LOW or low == high or course.least == course.most:
        return []
    grid = [[" "] * across for _ in range(rows)]

    def place(at: float, sign: str) -> None:
        value = _value(course, at)
        if value is None or not low <= value <= high:
            return
        column = round((at - course.least) / (course.most - course.least) * (across - 1))
        row = round((high - value) / (high - low) * (rows - 1))
        grid[min(max(row, 0), rows - 1)][min(max(column, 0), across - 1)] = sign

    for column in range(across):
        at = course.least + column * (course.most - course.least) / (across - 1)
        place(at, LINE)
    for at, sign in sorted(marks.items(), key=lambda mark: mark[1] == HERE):
        place(at, sign)
    labels = {0: course.reached(high), rows - 1: course.reached(low)}
    drawn = [f"{labels.get(i, ''):>{edge}} |{''.join(row)}".rstrip() for i, row in enumerate(grid)]
    return [*drawn, " " * (edge + 2) + _ends(course, across)]


def _value(course: Course, at: float) -> float | None:
    """The value at a place; None where there is none, as for a time longer than a day."""
    try:
        return course.value(at)
    except Misread:
        return None


def _ends(course: Course, across: int) -> str:
    first, last = course.at(course.least), course.at(course.most)
    return f"{first}{last:>{max(len(last) + 1, across - len(first))}}"[:across]


def strip(plan: StripPlan, width: int) -> list[str]:
    """The strips side by side, lightest left, each with its number and its total; nothing else."""
    totals = [format_span(total) for total in plan.totals]
    cell = max(map(len, totals)) + 2
    each = max(1, (width - 1) // (cell + 1))
    found: list[str] = []
    for first in range(0, len(totals), each):
        some = totals[first : first + each]
        edge = "+" + ("-" * cell + "+") * len(some)
        numbers = "|" + "|".join(f"{first + i + 1:^{cell}}" for i in range(len(some))) + "|"
        found += [edge, numbers, "|" + "|".join(f"{one:^{cell}}" for one in some) + "|", edge]
    return found
