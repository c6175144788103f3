"""The bench: all copies and one pair of hands, and what time alone does to them.

`due` says when something will change by itself, `beat` brings the bench up to a moment. A bench beaten in one go or in
a thousand is the same bench. What a hand does is in `rules`; what will be heard is in `promise`.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from assistant.planning.plan import Plan, gathers
from assistant.recipe.model import Develop, Expose, Hold, Step, Tone
from assistant.score.cues import Passage
from assistant.score.score import Score
from assistant.session.copy import Copy
from assistant.session.happenings import Happening
from assistant.trade import temperature

WINDOW = 15_000
"""After a pip, a tap within this time says when it was really done (ms)."""
CARRY = 10_000
"""From the end of the light to the developer, where the recipe has it begin on cue (ms)."""
END_ASKED = 10_000
"""An end of the session is to be confirmed within this time (ms)."""
PATIENCE = 15_000
"""A copy called into a bath that a hand begins becomes an alarm after this time (ms)."""


@dataclass(frozen=True)
class Reading:
    """A tray's temperature at a moment, degrees Celsius."""

    at: int
    tray: str
    celsius: float


@dataclass(frozen=True)
class Bench:
    """Everything about a session at one moment; equal benches hear and do the same."""

    score: Score = field(repr=False, compare=False)
    copies: tuple[Copy, ...]
    now: int = 0
    held: bool = False
    end_asked: int | None = None
    ended: bool = False
    wanted: tuple[int, ...] = ()
    """The copies that a hand should begin next, and since when."""
    wanted_since: int = 0
    readings: tuple[Reading, ...] = ()
    emerged: tuple[tuple[int, int], ...] = ()
    """Copy and the ms from immersion to its first visible tone."""
    notes: tuple[tuple[int, str], ...] = ()
    picked: int | None = None
    history: tuple[tuple[int, Happening], ...] = field(default=(), repr=False)
    promised: tuple[Passage, ...] = field(default=(), repr=False, compare=False)
    said: str = field(default="", repr=False, compare=False)
    """What was said last before the present promise was made."""

    @property
    def plan(self) -> Plan:
        """The plan that is printed."""
        return self.score.plan

    @property
    def finished(self) -> bool:
        """No copy has anything before it."""
        return self.ended or not any(copy.live for copy in self.copies)

    def step_of(self, copy: Copy) -> Step:
        """The step a copy is in, or waits for."""
        return self.plan.recipe.steps[copy.step]

    def copy(self, number: int) -> Copy:
        """A copy by its number, counted from one; LookupError where there is none."""
        if not 1 <= number <= len(self.copies):
            raise LookupError(number)
        return self.copies[number - 1]

    def put(self, *changed: Copy) -> "Bench":
        """The bench with these copies as they are now."""
        by_number = {copy.number: copy for copy in changed}
        return replace(self, copies=tuple(by_number.get(copy.number, copy) for copy in self.copies))

    def living(self) -> Iterator[Copy]:
        """Copies neither void nor done, by number."""
        return (copy for copy in self.copies if copy.live)

    @property
    def untoned(self) -> frozenset[int]:
        """The numbers of the copies that are kept as untoned reference: the last ones that are left."""
        tone = next((i for i, step in enumerate(self.plan.recipe.steps) if isinstance(step, Tone)), None)
        if tone is None or not self.plan.reference:
            return frozenset()
        toned = {stay.copy for copy in self.copies for stay in copy.stays if stay.step == tone}
        left = [c.number for c in self.copies if not c.void and c.number not in toned and not self._toning(c)]
        return frozenset(left[-self.plan.reference :])

    def _toning(self, copy: Copy) -> bool:
        return copy.since is not None and isinstance(self.step_of(copy), Tone)

    def following(self, copy: Copy) -> int:
        """The step after the one a copy is in."""
        return self.plan.following(copy.step, copy.number in self.untoned)

    def shared(self, copy: Copy) -> bool:
        """Whether a copy is in a step that all copies do together."""
        return copy.since is not None and bool(getattr(self.step_of(copy), "together", False))

    def company(self, copy: Copy) -> tuple[Copy, ...]:
        """A copy and those that move with it."""
        if not self.shared(copy):
            return (copy,)
        return tuple(other for other in self.living() if other.since is not None and other.step == copy.step)

    def all_in(self, step: int) -> bool:
        """Whether every copy that still counts is in this step or beyond it."""
        return all(c.step > step or (c.step == step and c.since is not None) for c in self.living())


def fresh_bench(score: Score) -> Bench:
    """A bench before the first tap; what it promises to say is still to be made."""
    return want(Bench(score, tuple(Copy(number) for number in range(1, score.plan.copies + 1))), 0)


def ends(bench: Bench, copy: Copy) -> int | None:
    """When a copy's stay ends by itself, ms; None where a hand ends it, or it waits for others."""
    if not copy.live or copy.called is not None:
        return None
    step = bench.step_of(copy)
    if copy.since is None:
        carried = copy.stays and copy.stays[-1].kind == "expose" and copy.run == 0 and step.kind != "expose"
        return copy.stays[-1].to_ms + CARRY if carried and step.begin == "on cue" else None  # type: ignore[union-attr]
    if isinstance(step, Expose):
        return copy.since + bench.score.runs[copy.step][copy.run].lasts
    if copy.target is None:
        return None
    if bench.shared(copy):
        if not bench.all_in(copy.step):
            return None
        return max(c.since or 0 for c in bench.company(copy)) + copy.target
    return copy.since + copy.target


def due(bench: Bench) -> int | None:
    """The next moment at which something changes by itself, ms; None: only a hand will change anything."""
    if bench.ended:
        return None
    moments = [end for copy in bench.copies if (end := ends(bench, copy)) is not None]
    moments += [copy.moved + WINDOW for copy in bench.copies if copy.moved is not None]
    if bench.end_asked is not None:
        moments.append(bench.end_asked + END_ASKED)
    return min(moments, default=None)


def beat(bench: Bench, at: int) -> Bench:
    """The bench at `at`, every change that was due by then made at its own moment. Never goes back."""
    while (moment := due(bench)) is not None and moment <= at:
        bench = change(bench, moment)
    return replace(bench, now=max(bench.now, at))


def change(bench: Bench, at: int) -> Bench:
    """All that is due at `at`, which is the next due moment."""
    for number in [copy.number for copy in bench.living() if ends(bench, copy) == at]:
        copy = bench.copy(number)
        if ends(bench, copy) == at:
            bench = _end_stay(bench, copy, at)
    closing = [replace(c, moved=None) for c in bench.copies if c.moved is not None and c.moved + WINDOW <= at]
    bench = bench.put(*closing)
    if bench.end_asked is not None and bench.end_asked + END_ASKED <= at:
        bench = replace(bench, end_asked=None)
    return want(replace(bench, now=at), at)


def _end_stay(bench: Bench, copy: Copy, at: int) -> Bench:
    step = bench.step_of(copy)
    if copy.since is None:
        return bench.put(copy.enter(copy.step, at, target_of(bench, copy.step), assumed=True))
    if isinstance(step, Expose):
        return bench.put(_light_off(bench, copy, step, at))
    onward = bench.following(copy)
    if onward < len(bench.plan.recipe.steps) and bench.plan.recipe.steps[onward].begin == "by hand":  # type: ignore[union-attr]
        return bench.put(*(replace(c, called=_alarm(step, c, at)) for c in bench.company(copy)))
    return move_on(bench, bench.company(copy), at, assumed=True)


def _alarm(step: Step, copy: Copy, at: int) -> int:
    most = getattr(step, "at_most", None)
    return max(at + PATIENCE, (copy.since or at) + most if most is not None else 0)


def _light_off(bench: Bench, copy: Copy, step: Expose, at: int) -> Copy:
    runs = bench.score.runs[copy.step]
    run = runs[copy.run]
    lit = replace(copy, target=run.light).leave(step, at, run.name, began=at - run.light)
    if copy.run + 1 < len(runs):
        return replace(lit, run=copy.run + 1)
    return replace(lit, step=copy.step + 1, run=0)


def move_on(bench: Bench, copies: tuple[Copy, ...], at: int, assumed: bool = False) -> Bench:
    """These copies leave their bath at `at` for their next step, or are done after the last."""
    moved = []
    for copy in copies:
        onward = bench.following(copy)
        left = copy.leave(bench.step_of(copy), at)
        if onward == len(bench.plan.recipe.steps):
            moved.append(replace(left, step=onward, done=True))
        else:
            moved.append(left.enter(onward, at, target_of(bench, onward), assumed))
    return bench.put(*moved)


def target_of(bench: Bench, step: int) -> int | None:
    """How long a step is to last for a copy that goes in now, ms: the recipe's time, by the tray's last reading."""
    found = bench.plan.recipe.steps[step]
    if isinstance(found, Expose | Hold | Tone):
        return None
    law, read = found.temperature_law, [r.celsius for r in bench.readings if r.tray == found.tray]
    if law is None or not read or found.target is None or not isinstance(found, Develop):
        return found.target
    rated = bench.plan.recipe.trays[found.tray].temperature
    return law_time(law, found.target, rated, read[-1])


def law_time(law: object, target: int, rated: float | None, celsius: float) -> int:
    """The time at a temperature by a recipe's law, ms."""
    if getattr(law, "points", None):
        return temperature.time_between(law.points, celsius)  # type: ignore[attr-defined]
    return temperature.time_at(target, rated or 20.0, celsius, law.coefficient)  # type: ignore[attr-defined]


def want(bench: Bench, at: int) -> Bench:
    """The bench with the copies that a hand should begin next, and since when."""
    wanted = next_to_begin(bench)
    return bench if wanted == bench.wanted else replace(bench, wanted=wanted, wanted_since=at)


def next_to_begin(bench: Bench) -> tuple[int, ...]:
    """The copies that a hand should begin next: a sheet that has had its light first, then by the plan. Empty: none."""
    if any(copy.moved is not None for copy in bench.copies) or bench.ended:
        return ()
    carried = [c for c in bench.living() if c.since is None and c.stays and ends(bench, c) is None]
    if carried:
        return (carried[0].number,)
    if bench.held or any(under_way(bench, copy) for copy in bench.living()):
        return ()
    boxed = next((copy for copy in bench.living() if copy.boxed), None)
    if boxed is not None:
        return (boxed.number,)
    return _from_the_hold(bench)


def under_way(bench: Bench, copy: Copy) -> bool:
    """Between two stations: it has begun a leg and not come to its end."""
    return not copy.boxed and not (copy.since is not None and copy.step in bench.plan.stations)


def _from_the_hold(bench: Bench) -> tuple[int, ...]:
    waiting = [c for c in bench.living() if c.since is not None and gathers(bench.plan.recipe, c.step)]
    if not waiting or not bench.all_in(min(c.step for c in waiting)):
        return ()
    first = min(c.step for c in waiting)
    here = [c for c in waiting if c.step == first]
    steps = bench.plan.recipe.steps
    toning_next = first + 1 < len(steps) and isinstance(steps[first + 1], Tone)
    untoned = bench.untoned if toning_next else frozenset()
    ready = [c for c in here if c.number not in untoned] or here
    onward = bench.following(ready[0])
    if onward < len(steps) and (getattr(steps[onward], "together", False) or gathers(bench.plan.recipe, onward)):
        return tuple(c.number for c in ready)
    return (ready[0].number,)
