"""What time alone does to the bench.

`due` says when something will change by itself, `beat` brings the bench up to a moment. A bench beaten in one go or in
a thousand is the same bench.
"""

from dataclasses import replace

from assistant.recipe.model import Expose, Step
from assistant.score.score import Score
from assistant.session.bench import WINDOW, Bench, begins, ends, move_on, target_of
from assistant.session.copy import Copy
from assistant.session.turns import want

END_ASKED = 10_000
"""An end of the session is to be confirmed within this time (ms)."""
PATIENCE = 15_000
"""A copy called into a bath that a hand begins becomes an alarm after this time (ms)."""


def fresh_bench(score: Score) -> Bench:
    """A bench before the first tap; what it promises to say is still to be made."""
    return want(Bench(score, tuple(Copy(number) for number in range(1, score.plan.copies + 1))), 0)


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
    steps = bench.plan.recipe.steps
    if onward < len(steps) and begins(steps[onward]) == "by hand":
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
