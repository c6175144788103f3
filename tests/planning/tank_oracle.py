"""The least period of a line of tanks by CP-SAT, in the usual model with a whole number of hoist rounds for every soak."""

import pytest

cp_model = pytest.importorskip("ortools.sat.python.cp_model", reason="CP-SAT (ortools) cannot be had here")


def least_period(line) -> int:
    loaded, moves = line["loaded_move"], len(line["loaded_move"])
    model = cp_model.CpModel()
    horizon = sum(loaded) + sum(line["min_soak"]) + 2000
    period = model.new_int_var(max(1, line["min_soak"][0]), horizon, "")
    at = [model.new_int_var(0, horizon, "") for _ in range(moves)]
    model.add(at[0] == 0)
    for start in at:
        model.add(start <= period - 1)
    for one in range(moves):
        for other in range(one + 1, moves):
            first = model.new_bool_var("")
            there, back = _way(line, one, other), _way(line, other, one)
            model.add(at[one] + loaded[one] + there <= at[other]).only_enforce_if(first)
            model.add(at[other] + loaded[other] + back <= at[one] + period).only_enforce_if(first)
            model.add(at[other] + loaded[other] + back <= at[one]).only_enforce_if(~first)
            model.add(at[one] + loaded[one] + there <= at[other] + period).only_enforce_if(~first)
            if other == one + 1:
                _soak(model, line, other, at, period, first)
    model.minimize(period)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return int(solver.objective_value)


def _way(line, one, other):
    last = one == len(line["loaded_move"]) - 1
    return (line["empty_move_from_unload"] if last else line["empty_move"][one + 1])[other]


def _soak(model, line, stage, at, period, same_round):
    """The part leaves in the same round, or in the next one, before the next part comes."""
    soak = at[stage] - at[stage - 1] - line["loaded_move"][stage - 1]
    for lasted, when in ((soak, same_round), (soak + period, ~same_round)):
        model.add(lasted >= line["min_soak"][stage]).only_enforce_if(when)
        if line["max_soak"][stage] is not None:
            model.add(lasted <= line["max_soak"][stage]).only_enforce_if(when)
