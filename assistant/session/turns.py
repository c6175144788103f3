"""Whose turn it is: the copies that a hand should begin next, one at a time from station to station."""

from dataclasses import replace

from assistant.planning.plan import gathers
from assistant.recipe.model import Tone
from assistant.session.bench import Bench, ends
from assistant.session.copy import Copy


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
