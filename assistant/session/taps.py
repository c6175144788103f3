"""What one tap means: a table from where a copy is to what is done, and a small function for each of its lines.

A rule gives a new bench and the words of the answer, or `Refused` with the reason; it never changes anything on the
way. When several copies could be meant, the order of the table decides.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeAlias

from assistant.recipe.model import Develop, Expose, Tone, Wet
from assistant.score import words
from assistant.session.bench import Bench, ends, move_on, target_of
from assistant.session.copy import Copy
from assistant.session.turns import under_way
from assistant.trade import emergence
from assistant.trade.quantities import LONGEST


@dataclass(frozen=True)
class Refused:
    """Nothing was changed, and why, in words."""

    why: str


@dataclass(frozen=True)
class Done:
    """The bench as it is now, and what to answer ("" is a sound without words)."""

    bench: Bench
    words: str = ""
    copy: int | None = None


Answer: TypeAlias = Done | Refused
Rule: TypeAlias = Callable[[Bench, Copy, int], Done]


def place(bench: Bench, copy: Copy, at: int) -> str:
    """Where a copy is, in the words of the table of taps; "" where a tap means nothing to it."""
    if not copy.live:
        return ""
    if copy.number in bench.wanted and copy.since is None:
        return "wanted"
    if copy.since is None:
        return ""
    step, end = bench.step_of(copy), ends(bench, copy)
    if copy.moved is not None:
        return "moved"
    if copy.called is not None:
        return "called"
    if isinstance(step, Wet) and end is not None and end - step.drain <= at:
        return "lifted"
    if isinstance(step, Tone):
        return "toning"
    if isinstance(step, Develop) and step.factor and copy.target is None:
        return "unseen"
    return "wanted" if copy.number in bench.wanted else ""


def confirm(bench: Bench, copy: Copy, at: int) -> Done:
    """It went in now, not on its pip."""
    return Done(shift(bench, bench.company(copy), at), copy=copy.number)


def onward(bench: Bench, copy: Copy, at: int) -> Done:
    """It goes on now: a little before its pip, or long after it."""
    return Done(move_on(bench, bench.company(copy), at), copy=copy.number)


def pull(bench: Bench, copy: Copy, at: int) -> Done:
    """The eye has decided: out of the toner, and its time is said."""
    after = move_on(bench, (copy,), at)
    stay = after.copy(copy.number).stays[-1]
    return Done(after, words.pulled(stay.lasted, bench.score.name(bench.following(copy))), copy.number)


def first_tone(bench: Bench, copy: Copy, at: int) -> Done:
    """The first tone is seen: the development is so many times that long."""
    step = bench.step_of(copy)
    assert isinstance(step, Develop)
    assert step.factor is not None
    assert copy.since is not None
    emerged = min(max(at - copy.since, 1), int(LONGEST / step.factor))
    target = emergence.development(emerged, step.factor)
    after = bench.put(replace(copy, target=target))
    after = replace(after, emerged=(*bench.emerged, (copy.number, emerged)))
    return Done(after, _drift(bench, emerged), copy.number)


def _drift(bench: Bench, emerged: int) -> str:
    if not bench.emerged:
        return ""
    slower = emergence.drift(bench.emerged[0][1], emerged)
    return words.developer_going(slower.percent) if slower.tired else ""


def begin(bench: Bench, copy: Copy, at: int) -> Done:
    """The step that a hand begins: light, a bath, or all copies into one."""
    if copy.since is not None:
        going = tuple(bench.copy(number) for number in bench.wanted)
        return Done(move_on(bench, going, at), copy=copy.number if len(going) == 1 else None)
    step = bench.step_of(copy)
    if isinstance(step, Expose):
        return Done(bench.put(replace(copy, since=at)), copy=copy.number)
    return Done(bench.put(copy.enter(copy.step, at, target_of(bench, copy.step))), copy=copy.number)


TAPS: dict[str, Rule] = {
    "lifted": onward,  # a moment before the pip
    "moved": confirm,  # within 15 s after it
    "called": onward,  # its time was up, and nobody heard or nobody came
    "unseen": first_tone,
    "toning": pull,
    "wanted": begin,
}
"""Where a copy is -> what a tap does; the first line that fits any copy is meant."""


def tapped(bench: Bench, copy_at: int) -> tuple[str, Copy] | None:
    """What a tap at this moment would do, and to which copy; None: nothing."""
    found: dict[str, list[Copy]] = {}
    for copy in bench.copies:
        found.setdefault(place(bench, copy, copy_at), []).append(copy)
    for where in TAPS:
        if where in found:
            return where, max(found[where], key=lambda c: (c.moved or 0, -c.number))
    return None


def why_nothing(bench: Bench, at: int) -> str:
    """The reason why a tap means nothing now: where the copy in hand is."""
    if bench.finished:
        return words.ALL_DONE
    busy = [c for c in bench.living() if c.since is not None and under_way(bench, c)]
    busy = busy or [c for c in bench.living() if c.since is not None]
    return where_is(bench, busy[0], at) if busy else words.ALL_DONE


def where_is(bench: Bench, copy: Copy, at: int) -> str:
    """One copy's place, and how long it has or has been there, in words."""
    step, end = bench.step_of(copy), ends(bench, copy)
    index = None if bench.shared(copy) and len(bench.company(copy)) > 1 else copy.number
    if isinstance(step, Expose):
        return words.LAMP_IS_ON
    since = copy.since if copy.since is not None else at
    if copy.called is not None:
        return words.waits(index, step.name, at - since, copy.target, step.at_most)
    if end is not None:
        return words.remaining(index, step.name, end - at)
    return words.staying(index, step.name, at - since)


def shift(bench: Bench, copies: tuple[Copy, ...], at: int) -> Bench:
    """Their last move was at `at`: the stay behind it and all that follows are set right."""
    moved = []
    for copy in copies:
        stays = copy.stays
        if stays and copy.since == stays[-1].to_ms and stays[-1].kind != "expose":
            last = stays[-1]
            reopened = replace(copy, step=last.step, since=last.from_ms, target=last.target_ms, stays=stays[:-1])
            stays = reopened.leave(bench.plan.recipe.steps[last.step], at).stays
        moved.append(replace(copy, since=at, moved=None, stays=stays))
    return bench.put(*moved)
