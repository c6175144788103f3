"""A session that goes on by hand: its course, changed by what a printer says of a sheet, without the rules it was begun with.

A stay is closed with its true time and judged by its own step; the sheet is in the next bath of the recipe from the same
moment on. Nothing is called and nothing is assumed.
"""

from collections.abc import Iterable
from dataclasses import replace

from assistant.history.printed import Course, Sheet, Within
from assistant.planning.plan import Plan
from assistant.session.copy import Stay, judge


class CannotMove(ValueError):
    """A sheet that can't be moved by hand; says why."""


def moved_on(course: Course, plan: Plan, copies: Iterable[int], at: int) -> Course:
    """The course when these sheets went on to their next bath, or out of the last one, at a moment (ms)."""
    return _changed(course, {number: _moved(_sheet(course, number), plan, at) for number in copies})


def voided(course: Course, copies: Iterable[int]) -> Course:
    """The course without these sheets: what they had is kept, and none of it counts."""
    return _changed(course, {number: _void(_sheet(course, number)) for number in copies})


def _sheet(course: Course, number: int) -> Sheet:
    sheet = next((one for one in course.sheets if one.number == number), None)
    if sheet is None:
        raise CannotMove(f"there is no sheet {number}")
    if sheet.state != "not finished":
        raise CannotMove(f"sheet {number} is {sheet.state}" + ("; a new session prints it" if sheet.state == "not begun" else ""))
    return sheet


def _moved(sheet: Sheet, plan: Plan, at: int) -> Sheet:
    within, stays, number = sheet.within, sheet.stays, sheet.number
    if within is not None:
        if at < within.since:
            raise CannotMove(f"sheet {number} went into the {within.name.lower()} only after that")
        verdict = judge(plan.recipe.steps[within.step], at - within.since, within.target_ms)
        over = Stay(number, within.step, within.kind, within.name, within.tray, within.since, at, within.target_ms, verdict)
        stays = (*stays, over)
    last = within.step if within is not None else max((stay.step for stay in stays), default=-1)
    following = plan.following(last, sheet.untoned)
    if following >= len(plan.recipe.steps):
        return replace(sheet, state="done", stays=stays, within=None)
    step = plan.recipe.steps[following]
    if step.tray is None:
        raise CannotMove(f"sheet {number} has no light yet: a new session prints it")
    target = getattr(step, "target", None) if step.ends == "clock" else None
    return replace(sheet, stays=stays, within=Within(following, step.kind, step.name, step.tray, at, target))


def _void(sheet: Sheet) -> Sheet:
    return replace(sheet, state="void", within=None, stays=tuple(replace(stay, verdict="void") for stay in sheet.stays))


def _changed(course: Course, sheets: dict[int, Sheet]) -> Course:
    return replace(course, sheets=tuple(sheets.get(sheet.number, sheet) for sheet in course.sheets))
