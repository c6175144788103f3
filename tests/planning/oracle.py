"""The same question asked of a solver that knows nothing of the planner: CP-SAT, from a recipe alone.

It shares no code with `assistant.planning`: the model is written here a second time, from the recipe's own words, with
the rhythm of the turns left open. Everything is in whole seconds.
"""

from dataclasses import dataclass

import pytest

from assistant.recipe.model import Expose, Recipe, Wet

cp_model = pytest.importorskip("ortools.sat.python.cp_model", reason="CP-SAT (ortools) cannot be had here")

HANDS = {"slack": 15, "pace": 2, "place": 20, "carry": 10, "change": 5, "turn": 3}
LOOKED_AT = 20
PER_ACTION = 3


@dataclass
class Job:
    """One movement of the hands of one copy: its beginning, its length, dry before and after, whether it is an exact lift."""

    start: object
    takes: int
    dry: tuple[bool, bool]
    exact: bool
    copy: int
    kind: int


def hands_of(recipe: Recipe) -> dict[str, int]:
    return {name: (usual if (own := getattr(recipe.hands, name)) is None else own // 1000) for name, usual in HANDS.items()}


def solve(recipe: Recipe, copies: int, seconds: float = 20.0) -> tuple[int, bool, int]:
    """The least finish found, whether it is proved, and the bound below it (s)."""
    return _Model(recipe, copies).solve(seconds)


class _Model:
    def __init__(self, recipe: Recipe, copies: int) -> None:
        self.recipe, self.copies, self.hands = recipe, copies, hands_of(recipe)
        self.model = cp_model.CpModel()
        self.horizon = 4000 * copies
        self.jobs: list[Job] = []
        self.carried: list[object] = []
        self.before: dict[tuple[int, int], object] = {}
        self.stays: list[list[tuple[int, int, object, Wet]]] = []
        self.rhythm: dict[tuple[int, int], object] = {}
        for copy in range(copies):
            self._copy(copy)
        self._order()
        self._trays()
        self._company()
        self._soft()

    def solve(self, seconds: float) -> tuple[int, bool, int]:
        self.model.minimize(self.touch[-1][-1])
        solver = cp_model.CpSolver()
        solver.parameters.max_deterministic_time = seconds
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        status = solver.solve(self.model)
        assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE), solver.status_name(status)
        return int(solver.objective_value), status == cp_model.OPTIMAL, int(solver.best_objective_bound)

    def _time(self):
        return self.model.new_int_var(0, self.horizon, "")

    def _job(self, copy, takes, dry=(False, False), exact=False):
        start = self._time()
        kind = sum(1 for job in self.jobs if job.copy == copy)
        self.jobs.append(Job(start, takes, dry, exact, copy, kind))
        return start

    touch: list[list[object]]

    def _copy(self, copy):
        hands, add = self.hands, self.model.add
        if not copy:
            self.touch = []
        lit = self.recipe.steps[0]
        assert isinstance(lit, Expose)
        assert lit.time is not None
        laid = hands["place"] + hands["pace"] + -(-(lit.count_in + lit.time) // 1000)
        place = self._job(copy, laid, (True, True))
        carried = hands["carry"] + hands["pace"]
        carry = self._job(copy, carried, (True, False))
        if copy:  # the one before is in its bath, and the hands are dry: only one lies exposed
            add(place >= self.carried[-1] + carried + hands["change"])
        self.carried.append(carry)
        add(carry >= place + laid)
        entered = carry + carried
        touches, stays = [entered], []
        for index, step in enumerate(self.recipe.steps[1:], 1):
            if step.kind == "hold":
                break
            turned = self._turns(copy, index, step, entered)
            drain = step.drain // 1000
            lift = self._job(copy, drain + hands["pace"], (False, False), step.kind == "develop")
            left = lift + drain
            if turned is not None:
                add(lift >= turned)
            add(lift >= entered + (hands["pace"] if index > 1 else 0))
            least = (step.at_least or step.target) // 1000
            if step.kind == "develop":
                add(left == entered + least)
            else:
                add(left >= entered + least)
            stays.append((len(touches) - 1, index, lift, step))
            touches.append(left)
            entered = left
        self.touch.append(touches)
        self.stays.append(stays)

    def _turns(self, copy, index, step, entered):
        if step.agitate is None or step.kind != "develop":  # elsewhere turns fill what the hands have left
            return None
        every, give = step.agitate.every // 1000, step.agitate.room // 1000
        length, drain = step.target // 1000, step.drain // 1000
        free = self.hands["pace"] if index > 1 else 0
        last = entered + free
        for count, mark in enumerate(range(every, length - drain - 2, every)):
            takes = min(self.hands["turn"] + self.hands["pace"], every, length - drain - mark + give)
            key = index, count
            if key not in self.rhythm:
                clear = length - drain - self.hands["slack"] - takes  # not put off into the slack before its lift
                later = max(0, min(give, clear - mark))
                self.rhythm[key] = self.model.new_int_var(mark - give, mark + later, "")
            start = self._job(copy, takes)
            self.model.add(start == entered + self.rhythm[key])
            self.model.add(start >= last)
            last = start + takes
        return last

    def _apart(self, one: Job, other: Job) -> int:
        """From the end of one to the beginning of the other, of another copy."""
        change = self.hands["change"] if one.dry[1] != other.dry[0] else 0
        return max(change, self.hands["slack"] if other.exact else 0)

    def _order(self):
        for i, one in enumerate(self.jobs):
            for j, other in enumerate(self.jobs):
                if one.copy >= other.copy:
                    continue
                if one.kind == other.kind:  # first in, first out
                    self.model.add(other.start >= one.start + one.takes + self._apart(one, other))
                    self.before[i, j], self.before[j, i] = 1, 0
                    continue
                first = self.model.new_bool_var("")
                self.before[i, j], self.before[j, i] = first, 1 - first
                self.model.add(other.start >= one.start + one.takes + self._apart(one, other)).only_enforce_if(first)
                self.model.add(one.start >= other.start + other.takes + self._apart(other, one)).only_enforce_if(~first)

    def _trays(self):
        for copy in range(self.copies):
            for place, index, _, _ in self.stays[copy]:
                holds = self.recipe.trays[self.recipe.steps[index].tray].holds
                if copy + holds < self.copies:
                    leaves = self.touch[copy][place + 1]
                    self.model.add(self.touch[copy + holds][place] >= leaves + 1)

    def _company(self):
        """Copy one goes alone until it was looked at."""
        place, _, _, step = next(stay for stay in self.stays[0] if stay[3].kind == "fix")
        if self.recipe.first == "alone":
            seen = self.touch[0][place] + step.light_safe // 1000 + LOOKED_AT
            for copy in range(1, self.copies):
                self.model.add(next(job.start for job in self.jobs if job.copy == copy) >= seen)

    def _soft(self):
        """In hand before the most: the slack, or so much for every movement within, and never more than half the window."""
        for copy in range(self.copies):
            mine = [i for i, job in enumerate(self.jobs) if job.copy == copy]
            for place, _, lift, step in self.stays[copy]:
                if step.kind == "develop" or step.at_most is None:
                    continue
                least, most = (step.at_least or step.target) // 1000, step.at_most // 1000
                half = (most - least) // 2
                ends = next(i for i in mine if self.jobs[i].start is lift)
                lifts = [i for i in mine if self.jobs[i].dry == (False, False) and i < ends]
                begins = self._begins(copy, place, mine)
                own = ends - begins - 1
                assert all(begins <= i for i in lifts[-own:]) or not own
                inside = [
                    self.before[begins, j] + self.before[j, ends] - 1 for j, job in enumerate(self.jobs) if job.copy != copy
                ]
                count = self.model.new_int_var(0, len(self.jobs), "")
                self.model.add(count == own + sum(inside))
                wanted = self.model.new_int_var(0, 3 * len(self.jobs) + 100, "")
                self.model.add_max_equality(wanted, [self.hands["slack"], PER_ACTION * count])
                kept = self.model.new_int_var(0, 3 * len(self.jobs) + 100, "")
                self.model.add_min_equality(kept, [wanted, half])
                self.model.add(self.touch[copy][place + 1] <= self.touch[copy][place] + most - kept)

    def _begins(self, copy, place, mine):
        """The movement by which a copy came into a bath: the one whose touch it is."""
        if place == 0:
            return mine[1]
        lift = self.stays[copy][place - 1][2]
        return next(i for i in mine if self.jobs[i].start is lift)
