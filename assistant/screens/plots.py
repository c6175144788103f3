"""A small plot in text, along an edition: copies across in the order of their work, time up. Pure; knows no session.

A point stands on the row nearest to it, so what it is exactly is written under it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from assistant.screens.drawing import Row, minutes
from assistant.trade.wording import to_tenth

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
    cell = 1 + max(7, *(len(to_tenth(point.ms)) for point in points))  # its true time stands under every point
    each = max(1, (width - edge - 3) // cell)
    lined = {_row(level.ms, step) for level in levels}

    def band(few: Sequence[Point]) -> list[Row]:
        found = []
        for row, label in labels.items():
            dots = _dots([_row(point.ms, step) == row for point in few], cell, row in lined)
            found.append(Row(f"{label:>{edge}} {EDGE} {dots}".rstrip()))
        copies, times = (_cells(words, cell) for words in ([str(p.copy) for p in few], [to_tenth(p.ms) for p in few]))
        return [*found, Row(f"{'copy':>{edge}}   {copies}".rstrip(), "dim"), Row(f"{'':>{edge}}   {times}".rstrip())]

    return [band(points[i : i + each]) for i in range(0, len(points), each)]


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


def _dots(here: Sequence[bool], cell: int, lined: bool) -> str:
    across = list((LINE if lined else "  ") * (len(here) * cell))[: len(here) * cell]
    for place, seen in enumerate(here):
        if seen:
            across[place * cell + cell // 2 - 1] = POINT
    return "".join(across)


def _cells(words: Sequence[str], cell: int) -> str:
    return "".join(f"{word:^{cell - 1}} " for word in words)
