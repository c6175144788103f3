"""The cyclic problem of the literature, one hoist over a line of tanks, read from its file and answered.

The hoist is the pair of hands, a tank a bath, a part a sheet: what solves an edition has to solve this, and here the
answers are known. A file holds one line of tanks, or several under `instances`; its numbers are of any unit.
"""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, TypeAlias

from assistant.planning.constraints import Constraint
from assistant.planning.cyclic import CHOICES, Cycle, Round, least_period

Number: TypeAlias = int | float
MOST = 10_000_000
"""The largest number of a file, in its own unit: a thousandfold of any published line, and every sum stays exact."""


class BadProblem(ValueError):
    """A file that holds no line of tanks; the message says where and what is wrong."""


@dataclass(frozen=True)
class TankLine:
    """A line of tanks: `stages` besides the load station, soaks, moves and empty travel, all in whole parts of a unit.

    `scale` such parts make one of the file's units; `data` is the line as it stands in the file.
    """

    name: str
    soaks: tuple[tuple[int, int | None], ...]
    loaded: tuple[int, ...]
    empty: tuple[tuple[int, ...], ...]
    holds: tuple[int, ...]
    scale: int
    data: dict[str, Any]

    def round(self) -> Round:
        """The line as a round of work: move k takes a part from stage k to stage k + 1."""
        moves = range(len(self.loaded))
        inside = [line for k in moves[1:] for line in self._soak(k)]
        # a new part lies at the load station for its least soak between two first moves
        apart = [list(row) for row in self.empty]
        apart[0][0] = max(apart[0][0], self.soaks[0][0] - self.loaded[0])
        places = tuple((k - 1, k, self.holds[k]) for k in moves[1:])
        return Round(self.loaded, tuple(inside), tuple(map(tuple, apart)), places)

    def _soak(self, k: int) -> Iterator[Constraint]:
        least, most = self.soaks[k]
        where, arrives = f"stage {k}", self.loaded[k - 1]
        yield Constraint(k - 1, k, arrives + least, 0, f"{where}: at least {self._said(least)}", f"lower min_soak[{k}]")
        if most is not None:
            yield Constraint(k, k - 1, -arrives - most, 0, f"{where}: at most {self._said(most)}", f"raise max_soak[{k}]")

    def _said(self, value: int) -> str:
        return f"{value / self.scale:g}"

    def answer(self, cycle: Cycle) -> dict[str, Any]:
        """Period, starts within one period, bound, and whether they are proved equal, in the file's unit."""
        starts = [self._unit(start % cycle.period) for start in cycle.starts]
        return {
            "period": self._unit(cycle.period),
            "starts": starts,
            "bound": self._unit(cycle.bound),
            "proved": cycle.proved,
        }

    def _unit(self, value: int) -> Number:
        return value // self.scale if value % self.scale == 0 else value / self.scale


def solve(line: TankLine, choices: int = CHOICES, stop: Callable[[], bool] = lambda: False) -> Cycle:
    """The least period of a line of tanks."""
    return least_period(line.round(), choices, stop)


def read_lines(text: str, name: str) -> list[TankLine]:
    """The lines of tanks of a problem file; BadProblem names the file and the key that is wrong."""
    try:
        data = json.loads(text)
    except ValueError as error:
        raise BadProblem(f"{name}: this is no JSON: {error}") from None
    found = data.get("instances", [data]) if isinstance(data, dict) else data
    if not isinstance(found, list) or not found or not all(isinstance(one, dict) for one in found):
        raise BadProblem(f"{name}: there is no line of tanks in it: write one object, or a list under `instances`")
    lines = []
    for number, one in enumerate(found, 1):
        try:
            lines.append(_line(one, str(one.get("name", f"line {number}"))))
        except BadProblem as error:
            raise BadProblem(f"{name}: line of tanks {number}: {error}") from None
    return lines


def _line(data: dict[str, Any], name: str) -> TankLine:
    loaded = _row(data, "loaded_move")
    moves = len(loaded)
    least, most = _row(data, "min_soak", moves), _row(data, "max_soak", moves, open_end=True)
    table = data.get("empty_move")
    if not isinstance(table, list) or len(table) != moves:
        raise BadProblem(f"`empty_move` needs {moves} rows, one for every stage and the load station")
    empty = [_row({f"empty_move[{i}]": row}, f"empty_move[{i}]", moves) for i, row in enumerate(table)]
    away = _row(data, "empty_move_from_unload", moves)
    holds = [int(one or 0) for one in _row(data, "capacity", moves)] if "capacity" in data else [1] * moves
    if min(holds) < 1:
        raise BadProblem("`capacity` is at least 1")
    values = [one for row in (loaded, least, most, away, *empty) for one in row if one is not None]
    scale = next((scale for scale in (1, 10, 100, 1000) if all(float(one * scale).is_integer() for one in values)), 0)
    if not scale:
        raise BadProblem("its numbers have more than three decimals: write them in a smaller unit")
    whole = [tuple(round((one or 0) * scale) for one in row) for row in (*empty[1:], away)]
    ends = [None if one is None else round(one * scale) for one in most]
    soaks = tuple(zip((round((one or 0) * scale) for one in least), ends, strict=True))
    return TankLine(name, soaks, tuple(round((one or 0) * scale) for one in loaded), tuple(whole), tuple(holds), scale, data)


def _row(data: dict[str, Any], key: str, length: int | None = None, open_end: bool = False) -> list[Number | None]:
    row = data.get(key)
    if not isinstance(row, list) or not row:
        raise BadProblem(f"`{key}` is missing, or no list of numbers")
    if length is not None and len(row) != length:
        raise BadProblem(f"`{key}` has {len(row)} numbers, and `loaded_move` {length}")
    for one in row:
        fits = isinstance(one, int | float) and not isinstance(one, bool) and 0 <= one <= MOST
        if not fits and not (open_end and one is None):
            raise BadProblem(f"`{key}`: {json.dumps(one)} is not a number from 0 up")
    return row
