"""The bare cyclic solver: the literature's line, invented lines against CP-SAT, and its checker, which shares no code.

The line of twelve tanks is that of L. W. Phillips and P. S. Unger, Mathematical programming solution of a hoist
scheduling program, AIIE Transactions 8(2), 1976; 521 is the least period of its data in the model used since. The file
is read where it lies and never copied: TRAYCALL_LITERATURE names it.
"""

import json
import os
import random
import re
from pathlib import Path

import pytest

from assistant.planning.cyclic import NoCycle
from assistant.planning.tank_check import faults
from assistant.planning.tank_line import BadProblem, TankLine, read_lines, solve

LITERATURE = Path(os.environ.get("TRAYCALL_LITERATURE", Path(__file__).parents[2].parent / "shared" / "literature.json"))


def test_twelve_tanks_of_the_literature():
    if not LITERATURE.is_file():
        pytest.skip(f"the literature's line of tanks is not here: {LITERATURE} (TRAYCALL_LITERATURE names another place)")
    (line,) = read_lines(LITERATURE.read_text(encoding="utf-8"), LITERATURE.name)
    answer = line.answer(solve(line))
    assert (answer["period"], answer["bound"], answer["proved"]) == (521, 521, True)
    assert faults(line.data, answer["period"], answer["starts"]) == []


def invented_line(tanks: int, number: int) -> TankLine:
    """A line of tanks along a rail, the tanks in the order of the work or shuffled."""
    draw = random.Random(number * 100 + tanks)
    places = list(range(1, tanks + 1))
    if number % 2:
        draw.shuffle(places)
    at = [0, *places, 0]
    speed, lift = draw.choice([2, 3, 4]), draw.choice([15, 20, 25])
    least = [draw.choice([0, 60, 120]), *(draw.randint(20, 150) for _ in range(tanks))]
    room = [None if draw.random() < 0.15 else draw.choice([10, 20, 30, 40, 60, 100]) for _ in least]
    rail = [[abs(one - other) * speed for other in at[:-1]] for one in at]
    data = {
        "min_soak": least,
        "max_soak": [None, *(None if r is None else m + r for m, r in zip(least[1:], room[1:], strict=True))],
        "loaded_move": [lift + abs(at[k] - at[k + 1]) * speed for k in range(tanks + 1)],
        "empty_move": rail[:-1],
        "empty_move_from_unload": rail[-1],
    }
    return read_lines(json.dumps(data), "invented")[0]


@pytest.mark.parametrize("tanks", [8, 12, 16])
@pytest.mark.parametrize("number", [0, 1, 3])
def test_invented_lines_against_a_solver_that_shares_no_code(tanks, number):
    line = invented_line(tanks, number)
    cycle = solve(line)
    answer = line.answer(cycle)
    assert cycle.proved
    assert faults(line.data, answer["period"], answer["starts"]) == []
    oracle = pytest.importorskip("tests.planning.tank_oracle", reason="CP-SAT (ortools) cannot be had here")
    assert answer["period"] == oracle.least_period(line.data)


def test_a_tank_that_holds_two_makes_the_round_shorter():
    line = invented_line(8, 0)
    slow = max(range(1, 9), key=lambda k: line.data["min_soak"][k])
    holds, soaks = [2 if k == slow else 1 for k in range(9)], [400 if k == slow else 20 for k in range(9)]
    more = {**line.data, "capacity": holds, "min_soak": soaks, "max_soak": [None] * 9}
    wide, narrow = (read_lines(json.dumps(d), "x")[0] for d in (more, {**more, "capacity": [1] * 9}))
    two, one = solve(wide), solve(narrow)
    assert two.period < one.period
    assert faults(wide.data, two.period, wide.answer(two)["starts"]) == []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda period, starts: (period - 1, starts), "too late|soak|outside|at once"),
        (lambda period, starts: (period, [starts[0], starts[1] - 1, *starts[2:]]), "soak|too late|at once"),
        (lambda period, starts: (period, starts[:-1]), "starts for"),
        (lambda period, starts: (period, [s + period for s in starts]), "outside"),
    ],
)
def test_planted_the_checker_finds_a_wrong_answer(change, said):
    line = invented_line(12, 2)
    answer = line.answer(solve(line))
    found = faults(line.data, *change(answer["period"], answer["starts"]))
    assert found
    assert re.search(said, found[0])


def test_decimals_are_solved_in_tenths():
    line = invented_line(8, 2)
    tenth = {key: _tenth(value) for key, value in line.data.items()}
    (fine,) = read_lines(json.dumps(tenth), "tenths")
    assert fine.answer(solve(fine))["period"] == pytest.approx(solve(line).period / 10)


def _tenth(value):
    return [_tenth(one) for one in value] if isinstance(value, list) else None if value is None else value / 10


def test_what_cannot_hold_is_said():
    data = dict(invented_line(8, 0).data)
    data["min_soak"] = [0, 120, *data["min_soak"][2:]]
    data["max_soak"] = [None, 100, *data["max_soak"][2:]]
    with pytest.raises(NoCycle, match=r"stage 1: at most 100, stage 1: at least 120|stage 1: at least 120, stage 1: at most 100"):
        solve(read_lines(json.dumps(data), "x")[0])


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "this is no JSON"),
        ("[]", "no line of tanks"),
        ("{}", "`loaded_move` is missing"),
        ('{"loaded_move": [1, 2]}', "`min_soak` is missing"),
        ('{"loaded_move": [1, 2], "min_soak": [1], "max_soak": [2, 3]}', "`min_soak` has 1 numbers"),
        ('{"loaded_move": [1, "two"]}', "is not a number"),
        ('{"loaded_move": [1, 2], "min_soak": [1, 1], "max_soak": [null, 2], "empty_move": [[0, 1]]}', "needs 2 rows"),
    ],
)
def test_a_file_that_holds_none(text, said):
    with pytest.raises(BadProblem, match=said):
        read_lines(text, "problem.json")
