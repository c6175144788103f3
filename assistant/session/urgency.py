"""The one time that is the most urgent: what a face shows large, whose it is, and what is to be done at its end."""

from collections.abc import Iterable
from dataclasses import dataclass

from assistant.score import words
from assistant.session.bench import Bench, drain_of, ends
from assistant.session.copy import Copy
from assistant.session.frozen import replace
from assistant.session.hands import drains, into_full
from assistant.session.limits import near
from assistant.session.place import Called, InBath, InLight


@dataclass(frozen=True)
class Urgent:
    """The one most urgent time: whose (None: all), of what, ms left or (`up`) gone by, what to do at its end, if it is `late`.

    Of one that is late `ms` is how long it is over.
    """

    copy: int | None
    name: str
    ms: int
    up: bool
    then: str
    late: bool = False
    stayed: int = 0
    """ms since it began."""
    target: int | None = None
    """ms it is to last in all; None where a hand or an eye ends it."""
    least: int | None = None
    """ms its bath wants at least; None where the recipe says none."""
    most: int | None = None
    """ms its bath allows at most; None where the recipe says none."""
    planned: int | None = None
    """ms it lasts among others, by the plan; None where the recipe's own time counts."""
    near: int | None = None
    """ms to the most of its bath, once that has been told."""
    called: bool = False
    """Whether `then` is to be done at once: it has been called, and no full tray is in the way."""


def urgent(bench: Bench) -> Urgent | None:
    """What to look at: a copy that is late, then the next end of a bath, then an eye's time, then the longest wait."""
    running = [copy for copy in bench.living() if copy.since is not None]
    found = [(*_urgency(bench, copy), copy) for copy in running]
    if not found:
        return None
    _, shown, copy = min(found, key=lambda one: one[0])
    return replace(shown, near=near(bench, copy))


def most_urgent_first(bench: Bench, copies: Iterable[Copy]) -> list[Copy]:
    """Those of these sheets that are out or in a bath."""
    return sorted((copy for copy in copies if copy.since is not None), key=lambda copy: _urgency(bench, copy)[0])


def over(bench: Bench, copy: Copy) -> int | None:
    """How long a sheet has been in its bath beyond its call, or beyond the most that the bath or an eye allows, ms; None: not."""
    if isinstance(copy.place, Called):
        return bench.now - copy.place.over
    step = bench.step_of(copy)
    most = step.at_most if step.by_eye is None else step.by_eye.latest
    if not isinstance(copy.place, InBath) or most is None or bench.now - copy.place.since <= most:
        return None
    return bench.now - copy.place.since - most


def _urgency(bench: Bench, copy: Copy) -> tuple[tuple[int, int], Urgent]:
    step, end = bench.step_of(copy), ends(bench, copy)
    index = None if bench.shared(copy) and len(bench.company(copy)) > 1 else copy.number
    stayed, late = bench.now - (copy.since or 0), over(bench, copy)
    up = stayed if late is None else late
    onward = bench.score.name(bench.following(copy))
    drained = onward is not None and drains(bench, copy, bench.now)
    then = f"lift, then {words.pip(onward)}" if drained else words.pip(onward)
    if isinstance(copy.place, InLight):
        return (1, end or 0), _light_time(bench, copy.place, copy.number)
    if isinstance(copy.place, Called):
        limits = (copy.target, step.at_least, step.at_most)
        room = not into_full(bench, copy)
        return (0, -stayed), Urgent(index, step.name, up, True, then, True, stayed, *limits, called=room)
    if step.by_eye is not None:
        eye = step.by_eye
        limits = (None, eye.earliest, eye.latest)
        pull = late is not None
        return (2, -stayed), Urgent(index, step.name, up, True, "by eye: pull", pull, stayed, *limits, called=pull)
    if end is not None and bench.overlaps:
        return _among_others(bench, copy, end, then)
    if end is not None:
        target = end - (copy.since or 0)
        limits = (target, step.at_least, step.at_most)
        return (1, end), Urgent(index, step.name, end - bench.now, False, then, False, stayed, *limits, called=drained)
    then = then if onward else ""
    limits = (None, step.at_least, step.at_most)
    return (3, -stayed), Urgent(index, step.name, up, True, then, late is not None, stayed, *limits)


def _among_others(bench: Bench, copy: Copy, end: int, onward: str) -> tuple[tuple[int, int], Urgent]:
    """Among others what counts is when a hand is wanted: the lift, and once it drains the pip."""
    step, since = bench.step_of(copy), copy.since or 0
    lift = end - drain_of(step)
    drained = bench.now >= lift
    moment, then = (end, onward) if drained else (lift, "lift")
    stayed, target = bench.now - since, copy.target
    planned = end - since if end - since != target else None
    limits = (target, step.at_least, step.at_most, planned)
    shown = Urgent(copy.number, step.name, moment - bench.now, False, then, False, stayed, *limits, called=drained)
    return (1, lift), shown


def _light_time(bench: Bench, place: InLight, copy: int) -> Urgent:
    run = bench.lights(bench.copy(copy))[place.run]
    on = place.since + run.count_in
    if bench.now < on:
        return Urgent(copy, f"{run.name}: count-in", on - bench.now, False, "light on")
    moves = [place.since + mark.offset for mark in run.marks if mark.kind == "move"]
    ahead = [moment for moment in moves if moment > bench.now]
    if ahead:
        which = len(moves) - len(ahead) + 1
        return Urgent(copy, run.name, ahead[0] - bench.now, False, f"move the card: {which} of {len(moves)}")
    left = on + run.light - bench.now
    return Urgent(copy, run.name, left, False, "light off", stayed=run.light - left, target=run.light)
