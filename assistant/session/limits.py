"""A limit that is about to break is told before it does: how long before, and for which sheets.

Two kinds of sheet come to that. One was called, can't be moved by itself, and lies there until the most of its bath is
over. The other is planned so close to its most that late hands would be past it. What is kept in hand otherwise needs no word.
"""

from assistant.score import words
from assistant.score.lamp import Mark
from assistant.session.bench import Bench, drain_of, ends
from assistant.session.copy import Copy
from assistant.session.place import Called, InBath

TOLD_BEFORE = 20_000
"""So long before the limit it is told (ms): hands at the paper are dried in five seconds, and a lift and its drain take ten or
fifteen. Common practice, no source."""
BEFORE_LIFT = 10_000
"""Of a sheet with an end of its own, so long before its lift (ms): in place of the usual ten seconds."""
NARROW = 5_000
"""An end that leaves less than this to the most (ms) is told: a plan that is followed keeps a third of fifteen seconds."""


def limit(bench: Bench, copy: Copy) -> int | None:
    """When the most of the bath a sheet is in will be over, ms; None where nothing is at stake, or its time is its most."""
    place = copy.place
    if not isinstance(place, InBath) or not bench.under_way(copy):
        return None
    step = bench.step_of(copy)
    return None if step.kind == "develop" or step.at_most is None or step.ends != "clock" else place.since + step.at_most


def told_at(bench: Bench, copy: Copy) -> int | None:
    """When it is told that a sheet's limit is near, ms; None where it is not."""
    over, place = limit(bench, copy), copy.place
    if over is None:
        return None
    if isinstance(place, Called):
        told = over - TOLD_BEFORE
        return told if place.at < told and place.alarm == over else None
    end = ends(bench, copy)
    if end is None or not bench.overlaps or over - end >= NARROW:
        return None
    return end - drain_of(bench.step_of(copy)) - BEFORE_LIFT


def near(bench: Bench, copy: Copy) -> int | None:
    """What is left to a sheet's limit once that has been told, ms; None before, and when it is over."""
    told, over = told_at(bench, copy), limit(bench, copy)
    return over - bench.now if told is not None and over is not None and told <= bench.now < over else None


def warned(bench: Bench, copy: Copy, marks: tuple[Mark, ...], begun: int, whose: int | None) -> tuple[Mark, ...]:
    """The marks of a stay, which count from `begun` (ms), with the warning of its limit in place of any other at that moment."""
    told = told_at(bench, copy)
    over = limit(bench, copy) if told is not None else None
    if told is None or over is None or told <= begun:
        return marks
    said = Mark(told - begun, "call", words.left(whose, bench.step_of(copy).name, over - told))
    others = (mark for mark in marks if mark.kind not in ("call", "tell") or mark.offset != said.offset)
    return tuple(sorted((*others, said), key=lambda mark: mark.offset))
