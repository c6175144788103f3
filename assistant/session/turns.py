"""Turns that were left out of a stay: those of the recipe's rhythm that nobody was called for, because the hands were not free.

Worked out from the plans as they were told, each as long as it held, and from the lights, under which no turn is called.
"""

from collections.abc import Iterator

from assistant.planning.longest_ways import FAR
from assistant.recipe.model import Agitate, Expose, WetStep
from assistant.score.baths import turns_within
from assistant.session.bench import Bench
from assistant.session.copy import Stay
from assistant.session.happenings import Planned


def left_out(bench: Bench, stay: Stay) -> int:
    """How many turns a finished stay lacks; 0 where copies went one at a time, and where a bath has no rhythm."""
    step = bench.plan.recipe.steps[stay.step]
    if bench.planned is None or stay.step >= bench.plan.station_after(0) or stay.verdict == "void":
        return 0
    if isinstance(step, Expose) or not isinstance(step.agitate, Agitate):
        return 0
    lift = stay.to_ms - step.drain
    called = {at for at in _planned(bench, stay, step) if stay.from_ms < at < lift and not _in_a_light(bench, at)}
    return max(0, len(turns_within(step, lift - stay.from_ms)) - len(called))


def _planned(bench: Bench, stay: Stay, step: WetStep) -> Iterator[int]:
    """When this stay's turns were to be called, each by the plan that held at that moment (ms)."""
    plans: list[tuple[int, Planned | None]] = [(0, None), *bench.all_planned]
    for (begun, plan), over in zip(plans, [*(at for at, _ in bench.all_planned), FAR], strict=True):
        turns = turns_within(step, stay.lasted - step.drain) if plan is None else _turns(plan, stay, step)
        yield from (at for at in (stay.from_ms + turn for turn in turns) if begun < at <= over)


def _turns(plan: Planned, stay: Stay, step: WetStep) -> tuple[int, ...]:
    own = (at for number, index, at in plan.turns if (number, index) == (stay.copy, stay.step))
    rhythm = (at for index, at in plan.rhythm if index == stay.step)
    return next(own, next(rhythm, turns_within(step, stay.lasted - step.drain)))


def _in_a_light(bench: Bench, at: int) -> bool:
    for copy in bench.copies:
        for lit in (stay for stay in copy.stays if stay.kind == "expose"):
            count_in = bench.score.lights(lit.step, copy.print, copy.base)[0].count_in
            if lit.from_ms - count_in <= at < lit.to_ms:
                return True
    return False
