"""What is planned and told before a session whose copies are to overlap.

Why they can't, or in which bath the hands leave a sheet unmoved, by the plan that the session begins with.
"""

from functools import lru_cache

from assistant.planning.edition import CannotOverlap, Edition, plan_edition
from assistant.planning.hand_times import Hands
from assistant.planning.hand_work import Work, one_at_a_time, work_of
from assistant.planning.plan import Plan
from assistant.planning.tables import never_turned
from assistant.score.score import Score

CHOICES = 8_000
"""Choices for the plan that a session begins with: a fortieth of what `traycall plan` takes, so that it is there in a second."""


def why_alone(score: Score, hands: Hands) -> str:
    """Why copies of a recipe that asks for overlap go one at a time all the same, in words; "" where they do overlap."""
    if score.plan.recipe.flow != "overlap":
        return ""
    if why := one_at_a_time(score.plan):
        return why
    try:
        plan_edition(work_with(score, hands, score.plan), 1)
    except CannotOverlap as error:
        return str(error)
    return ""


def work_with(score: Score, hands: Hands, plan: Plan, base: int | None = None) -> Work:
    """The work of one copy with these hands; `base`: its base exposure, where it is another than the recipe's (ms)."""
    lights = {step: tuple(run.lasts for run in score.lights(step, 0, base)) for step in score.runs}
    return work_of(plan, hands.but(plan.recipe.hands), lights)


@lru_cache(maxsize=8)
def planned_first(work: Work, copies: int) -> Edition:
    """The plan that a session begins with; afterwards it is only followed."""
    return plan_edition(work, copies, CHOICES)


def overlapped(score: Score, hands: Hands) -> list[str]:
    """What a printer is told of it, in lines; what the recipe itself says stands among what is needed."""
    plan = score.plan
    if plan.recipe.flow != "overlap" or one_at_a_time(plan):
        return []
    if why := why_alone(score, hands):
        return [f"Copies go one at a time: {why}."]
    if plan.copies == 1:  # it is turned when the recipe says
        return []
    return never_turned(planned_first(work_with(score, hands, plan), plan.copies))
