"""Plans for a session under way: what the bench knows becomes the plain facts that the plan follows, and what comes of
them becomes a happening. Nothing here changes a bench; where copies go one at a time there is no planner.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from assistant.conductor.beforehand import planned_first, why_alone, work_with
from assistant.conductor.next_question import next_ask
from assistant.conductor.offering import with_offer
from assistant.planning.following import Followed, Following, RealSheet
from assistant.planning.hand_times import Hands
from assistant.planning.hand_work import SECOND, Visit, Work
from assistant.planning.insertion import loose_turns
from assistant.recipe.model import Agitate, Develop, Expose
from assistant.score.score import Score
from assistant.session.advance import open_bench
from assistant.session.bench import Bench, drain_of, ends, target_of, turns_of
from assistant.session.copy import Copy
from assistant.session.happenings import Planned
from assistant.session.in_the_way import BEING_SAID
from assistant.session.next_hand import ASK_AFTER
from assistant.session.place import AskedFor, Called, InLight, Waiting


@dataclass(frozen=True)
class _Times:
    """What the work depends on that a session may change: how long the developments, and the longest base exposure (ms)."""

    developments: tuple[tuple[int, int], ...]
    base: int | None


def planner_for(score: Score, hands: Hands) -> "EditionPlanner | None":
    """The planner of a session; None where its copies go one at a time."""
    return EditionPlanner(score, hands) if score.plan.recipe.flow == "overlap" and not why_alone(score, hands) else None


class EditionPlanner:
    """The plan of one session, kept to as long as it holds."""

    follows: type[Following] = Following
    """What the plan becomes with everything as it really happens."""

    def __init__(self, score: Score, hands: Hands) -> None:
        self._score, self._hands = score, hands
        self._times: _Times | None = None
        self._following: Following | None = None
        self._plan_for(open_bench(score))  # before the first hand: afterwards it is only followed

    def __call__(self, bench: Bench) -> Planned | None:
        """What to tell the session now; None where nothing is left to plan."""
        first = bench.plan.station_after(0)
        if bench.finished or not any(copy.step < first for copy in bench.living()) or all(copy.boxed for copy in bench.living()):
            return None
        if not bench.overlaps and (bench.one_by_one or not _worth_planning(bench)):
            return None
        following = self._plan_for(bench)
        copies = [copy for copy in _in_turn(bench) if not (bench.one_by_one and copy.boxed)]
        found = following.follow([_Facts(bench, following, copy).sheet() for copy in copies], bench.now)
        return with_offer(bench, following.work, copies, found, _as_happening(bench, following, copies, found))

    def _plan_for(self, bench: Bench) -> Following:
        times = _times(bench)
        if self._following is None or times != self._times:
            steps = tuple(
                step.model_copy(update={"target": dict(times.developments)[i]}) if isinstance(step, Develop) else step
                for i, step in enumerate(bench.plan.recipe.steps)
            )
            plan = replace(bench.plan, recipe=bench.plan.recipe.model_copy(update={"steps": steps}))
            work = work_with(self._score, self._hands, plan, times.base)
            self._following = self.follows(planned_first(work, max(2, bench.plan.copies)))
            self._times = times
        return self._following


def _worth_planning(bench: Bench) -> bool:
    """Whether there are several copies: one alone is turned when the recipe says. What began without a plan ends without one."""
    first, several = bench.plan.station_after(0), sum(not copy.void for copy in bench.copies) > 1
    return several and all(one.bath is None or one.step >= first or one.bath.since == bench.now for one in bench.living())


def _times(bench: Bench) -> _Times:
    steps = bench.plan.recipe.steps
    developments = tuple((i, target_of(bench, i) or 0) for i, step in enumerate(steps) if isinstance(step, Develop))
    return _Times(developments, max((copy.base for copy in bench.living() if copy.base is not None), default=None))


def _in_turn(bench: Bench) -> list[Copy]:
    """Copies that count, as they go: by their first light or bath, then those that have had none."""
    counting = [copy for copy in bench.copies if not copy.void]
    return sorted(counting, key=lambda copy: (copy.boxed, _began(copy), copy.number))


def _began(copy: Copy) -> int:
    return copy.stays[0].from_ms if copy.stays else copy.since if copy.since is not None else 0


class _Facts:
    """One copy: which of its actions are past, or can't be moved."""

    def __init__(self, bench: Bench, following: Following, copy: Copy) -> None:
        self.bench, self.work, self.marks, self.copy = bench, following.work, following.marks, copy

    def sheet(self) -> RealSheet:
        """The copy as the plan is to see it."""
        copy, place = self.copy, self.copy.place
        fixed = dict(self._fixed())
        if copy.boxed:
            if isinstance(place, AskedFor) and place.laid:
                return RealSheet(copy.number, fixed, left=self._lights(0))
            asked = next((ask.at for ask in self.bench.asks if ask.copies == (copy.number,)), None)
            if asked is not None and asked <= self.bench.now:
                return RealSheet(copy.number, fixed, max(asked, self.bench.now - self.work.hands.place))
        if isinstance(place, Waiting) and place.run:
            return RealSheet(copy.number, fixed, left=self._lights(place.run))
        if isinstance(place, InLight) and place.run + 1 < len(self.bench.lights(copy)):
            over = ends(self.bench, copy) or 0
            return RealSheet(copy.number, fixed, over, left=self._lights(place.run + 1))
        return RealSheet(copy.number, fixed, self._next_asked())

    def _next_asked(self) -> int | None:
        asked = next((ask.at for ask in self.bench.asks if ask.copies == (self.copy.number,)), None)
        if isinstance(self.copy.place, Waiting) and asked is not None and asked <= self.bench.now:
            return max(asked, self.bench.now - self.work.hands.carry)
        over = ends(self.bench, self.copy) if isinstance(self.copy.place, InLight) else None
        return max(over or 0, self.bench.now) + ASK_AFTER

    def _lights(self, run: int) -> int:
        """What is left of its laying and light, from a run on (ms)."""
        runs = self.bench.score.lights(0, self.copy.print, self.copy.base)[run:]
        each = self.work.hands.pace + (self.work.hands.change if run else 0)
        return sum(each + one.lasts for one in runs)

    def _fixed(self) -> Iterator[tuple[int, int]]:
        copy, actions = self.copy, self.work.actions
        lit = self._lit()
        if lit is not None and actions[0].kind == "place":
            yield 0, lit - actions[0].takes
        past = {stay.step: stay for stay in copy.stays if stay.kind != "expose"}
        for visit in self.work.visits:
            if visit.step in past:
                stay = past[visit.step]
                yield from self._rigid(visit, stay.from_ms, stay.to_ms, self.marks)
            elif copy.bath is not None and copy.step == visit.step:
                yield from self._rigid(visit, copy.bath.since, self._sure_end(visit.exact), self._told(visit))

    def _told(self, visit: Visit) -> Mapping[int, int]:
        """The turns of the bath it is in, as they are called: one that was put off has not been called at its mark."""
        turns, told = self.work.turns(visit), turns_of(self.bench, self.copy) or ()
        return dict(zip(turns, told, strict=True)) if visit.exact and len(told) == len(turns) else self.marks

    def _lit(self) -> int | None:
        """When its last light is over; None while one is still to begin."""
        copy, place = self.copy, self.copy.place
        if isinstance(place, InLight):
            return ends(self.bench, copy) if place.run + 1 == len(self.bench.lights(copy)) else None
        if copy.boxed or (isinstance(place, Waiting) and self.bench.step_of(copy).kind == "expose"):
            return None
        return max((stay.to_ms for stay in copy.stays if stay.kind == "expose"), default=None)

    def _rigid(self, visit: Visit, since: int, until: int | None, told: Mapping[int, int]) -> Iterator[tuple[int, int]]:
        """A stay's beginning, its turns once their mark is past, and its end where that is known."""
        actions, now = self.work.actions, self.bench.now
        yield visit.entry, since - actions[visit.entry].touch
        if until is not None:
            turns = self.work.turns(visit)
            yield from ((turn, since + told[turn]) for turn in turns if min(since + self.marks[turn], until) <= now)
            yield visit.exit, until - actions[visit.exit].touch

    def _sure_end(self, exact: bool) -> int | None:
        """When its stay ends, where that can't be moved; a sheet that is overdue is moved now."""
        if isinstance(self.copy.place, Called):
            return self.bench.now + self.work.hands.pace
        end = ends(self.bench, self.copy)
        if end is None:
            return None
        lift = end - drain_of(self.bench.step_of(self.copy))
        planned = self.bench.planned is not None
        return end if exact or (planned and lift <= self.bench.now + BEING_SAID) else None


def _as_happening(bench: Bench, following: Following, copies: list[Copy], found: Followed) -> Planned:
    work, marks = following.work, following.marks
    exact = {v.step: tuple(marks[k] for k in work.turns(v) if work.actions[k].kind == "turn") for v in work.visits if v.exact}
    out = {c: copy for c, copy in enumerate(copies) if not copy.boxed and copy.live}
    stays, turns = [], []
    for c, copy in out.items():
        for v in work.visits:
            if copy.step <= v.step and not v.exact:
                lasts = found.starts[c][v.exit] + work.actions[v.exit].touch - _touch(work, found, c, v.entry)
                stays.append((copy.number, v.step, -(-lasts // SECOND) * SECOND))
    loose: dict[tuple[int, int], list[int]] = {}
    for c, step, _, at in loose_turns(work, found.starts, bench.now):
        if c in out and copies[c].step <= step:
            v = next(v for v in work.visits if v.step == step)
            loose.setdefault((copies[c].number, step), []).extend([] if at is None else [at - _touch(work, found, c, v.entry)])
    turns = [(number, step, _not_again(bench, bench.copy(number), step, sorted(at))) for (number, step), at in loose.items()]
    for c, copy in out.items():
        for v in work.visits:
            rigid = (k for k in work.turns(v) if work.actions[k].kind == "turn")
            own = tuple(found.starts[c][k] - _touch(work, found, c, v.entry) for k in rigid)
            if v.exact and copy.step == v.step and copy.bath is not None and own != exact[v.step]:
                turns.append((copy.number, v.step, own))
    ask = next_ask(work, copies, found, bench)
    return Planned(tuple(stays), tuple(sorted(exact.items())), tuple(turns), ask, found.anew)


def _not_again(bench: Bench, copy: Copy, index: int, turns: list[int]) -> tuple[int, ...]:
    """The turns of a stay (ms after first touch): those that were called stay, and none comes within half the rhythm of them."""
    step, before = bench.plan.recipe.steps[index], turns_of(bench, copy)
    rhythm = None if isinstance(step, Expose) else step.agitate
    if copy.bath is None or copy.step != index or before is None or not isinstance(rhythm, Agitate):
        return tuple(turns)
    called = [at for at in before if copy.bath.since + at <= bench.now]
    soonest = max(bench.now - copy.bath.since + 1, called[-1] + rhythm.every // 2 if called else 0)
    return (*called, *(at for at in turns if at >= soonest))


def _touch(work: Work, found: Followed, c: int, entry: int) -> int:
    return found.starts[c][entry] + work.actions[entry].touch
