"""The course of a session, taken from its bench: the one place where history knows how a session stands inside."""

from dataclasses import replace

from assistant.history.printed import Course, Sheet, State, Within
from assistant.recipe.model import Expose
from assistant.session.bench import Bench
from assistant.session.copy import Copy
from assistant.session.turns import left_out


def course_of(bench: Bench) -> Course:
    """How a session has gone by the bench's present moment."""
    return Course(
        sheets=tuple(_sheet(bench, copy) for copy in bench.copies),
        first_tones=bench.emerged,
        readings=bench.readings,
        notes=bench.notes,
        picked=bench.picked,
    )


def _sheet(bench: Bench, copy: Copy) -> Sheet:
    stays = tuple(replace(stay, left_out=left) if (left := left_out(bench, stay)) else stay for stay in copy.stays)
    return Sheet(copy.number, _state(copy), stays, _within(bench, copy), copy.number in bench.untoned, _print(bench, copy))


def _state(copy: Copy) -> State:
    return "void" if copy.void else "done" if copy.done else "not begun" if copy.boxed else "not finished"


def _within(bench: Bench, copy: Copy) -> Within | None:
    if not copy.live or copy.since is None:
        return None
    step = bench.step_of(copy)
    tray = None if isinstance(step, Expose) else step.tray
    return Within(copy.step, step.kind, step.name, tray, copy.since, copy.target)


def _print(bench: Bench, copy: Copy) -> str:
    prints = bench.plan.recipe.prints
    return prints[copy.print].name if prints else ""
