"""The bench: all copies and one pair of hands at one moment, when a stay ends, and how copies move on.

What time does to it is in `passing`, whose turn it is in `turns`, what a hand does in `taps` and `rules`, what will be
heard in `promise`.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from assistant.planning.plan import Plan
from assistant.recipe.model import Develop, Expose, Hold, Step, TemperatureLaw, Tone
from assistant.score.cues import Passage
from assistant.score.score import Score
from assistant.session.copy import Copy
from assistant.session.happenings import Happening
from assistant.trade import temperature

WINDOW = 15_000
"""After a pip, a tap within this time says when it was really done (ms)."""
CARRY = 10_000
"""From the end of the light to the developer, where the recipe has it begin on cue (ms)."""


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


def begins(step: Step) -> str:
    """Whether a step begins "by hand" or "on cue"; light always by hand."""
    return "by hand" if isinstance(step, Expose) else step.begin


def ends(bench: Bench, copy: Copy) -> int | None:
    """When a copy's stay ends by itself, ms; None where a hand ends it, or it waits for others."""
    if not copy.live or copy.called is not None:
        return None
    step = bench.step_of(copy)
    if copy.since is None:
        carried = copy.stays and copy.stays[-1].kind == "expose" and copy.run == 0 and step.kind != "expose"
        return copy.stays[-1].to_ms + CARRY if carried and begins(step) == "on cue" else None
    if isinstance(step, Expose):
        return copy.since + bench.score.runs[copy.step][copy.run].lasts
    if copy.target is None:
        return None
    if bench.shared(copy):
        if not bench.all_in(copy.step):
            return None
        return max(c.since or 0 for c in bench.company(copy)) + copy.target
    return copy.since + copy.target


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


def law_time(law: TemperatureLaw, target: int, rated: float | None, celsius: float) -> int:
    """The time at a temperature by a recipe's law, ms; Misread where the law gives none."""
    if law.points is not None:
        return temperature.time_between(law.points, celsius)
    assert law.coefficient is not None
    return temperature.time_at(target, rated or 20.0, celsius, law.coefficient)
