"""What a light would meet: a sheet in a bath whose lift comes before the lamp is off, and can't be put off."""

from assistant.session.bench import Bench, drain_of, ends
from assistant.session.copy import Copy
from assistant.session.place import InBath

BEING_SAID = 12_000
"""A lift so near (ms) is not put off any more: its ten seconds are being said."""


def in_the_way(bench: Bench, copy: Copy, run: int, at: int) -> tuple[Copy, int] | None:
    """The sheet that would have to be lifted during a light begun at `at`, the soonest one, and when (ms); None: none."""
    lights = bench.score.lights(copy.step, copy.print, copy.base)
    over = at + lights[run].lasts
    lifts = [(lift, mate.number) for mate in bench.living() if (lift := _last_lift(bench, mate, at)) is not None and lift < over]
    if not lifts:
        return None
    lift, number = min(lifts)
    return bench.copy(number), lift


def _last_lift(bench: Bench, copy: Copy, at: int) -> int | None:
    """When a sheet has to be lifted at the latest, ms; None where its bath has no most, or nobody waits for its end."""
    place, end = copy.place, ends(bench, copy)
    if not isinstance(place, InBath) or end is None or not bench.under_way(copy):
        return None
    step = bench.step_of(copy)
    drain = drain_of(step)
    if end - drain <= at + BEING_SAID or step.kind == "develop":  # it is called already, or it ends on its second
        return end - drain
    return None if step.at_most is None else place.since + step.at_most - drain
