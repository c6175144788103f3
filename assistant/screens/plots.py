"""A small plot in text, along an edition: copies across in the order of their work, time up. Pure; knows no session.

A point stands on the row nearest to it, so what it is exactly is written under it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from assistant.screens.drawing import Row, minutes, tenths

CELL = 8
"""Columns for each copy: wide enough for its true time to stand under its point."""
POINT, LINE, EDGE = "●", "- ", "|"
_NICE = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 3600)
"""Seconds that a row may stand for; beyond an hour doubled."""


@dataclass(frozen=True)
class Point:
    """A copy by its number, and its time in ms."""

    copy: int
    ms: int


@dataclass(frozen=True)
class Level:
    """A time (ms) drawn across the whole plot, with a word for what it is."""

    word: str
    ms: int


def along(points: Sequence[Point], levels: Sequence[Level], width: int, height: int) -> list[list[Row]]:
    """The plot in at most `height` rows and two of labels; as many plots of one scale as all points need.

    There is at least one point. Not even a narrow window leaves one out.
    """
    values = [*(point.ms for point in points), *(level.ms for level in levels)]
    step = next(step for step in _steps() if _row(max(values), step) - _row(min(values), step) < max(2, height))
    high, low = _row(max(values), step), _row(min(values), step)
    labels = {row: _label(row, step, levels) for row in range(high, low - 1, -1)}
    edge = max(len("copy"), *map(len, labels.values()))
    each = max(1, (width - edge - 3) // CELL)
    lined = {_row(level.ms, step) for level in levels}
    return [
        [
            *(Row(f"{label:>{edge}} {EDGE} {_dots(few, row, step, row in lined)}".rstrip()) for row, label in labels.items()),
            Row(f"{'copy':>{edge}}   {_cells(str(point.copy) for point in few)}".rstrip(), "dim"),
            Row(f"{'':>{edge}}   {_cells(tenths(point.ms) for point in few)}".rstrip()),
        ]
        for few in (points[i : i + each] for i in range(0, len(points), each))
    ]


def _steps() -> Iterator[int]:
    """What a row may stand for, ms, the finest first."""
    for seconds in _NICE:
        yield seconds * 1000
    step = _NICE[-1] * 1000
    while True:
        step *= 2
        yield step


def _row(ms: int, step: int) -> int:
    return (2 * ms + step) // (2 * step)


def _label(row: int, step: int, levels: Sequence[Level]) -> str:
    here = [f"{level.word} {minutes(level.ms)}" for level in levels if _row(level.ms, step) == row]
    return ", ".join(here) or minutes(row * step)


def _dots(points: Sequence[Point], row: int, step: int, lined: bool) -> str:
    across = list((LINE if lined else " " * len(LINE)) * (len(points) * CELL // len(LINE)))
    for place, point in enumerate(points):
        if _row(point.ms, step) == row:
            across[place * CELL + CELL // 2 - 1] = POINT
    return "".join(across)


def _cells(words: Iterator[str]) -> str:
    return "".join(f"{word:^{CELL - 1}} " for word in words)
