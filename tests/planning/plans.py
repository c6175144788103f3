"""From a recipe to its plan and to the plain facts of it that the checker reads."""

from assistant.planning.edition import Edition, plan_edition
from assistant.planning.hand_times import Hands
from assistant.planning.hand_work import work_of
from assistant.planning.plan import make_plan
from assistant.recipe.model import Recipe
from assistant.score.score import Score
from tests.planning.checker import InBath, Movement


def planned(recipe: Recipe, copies: int) -> Edition:
    plan = make_plan(recipe, copies)
    lights = {step: tuple(run.lasts for run in runs) for step, runs in Score(plan).runs.items()}
    return plan_edition(work_of(plan, Hands().but(recipe.hands), lights), copies)


def facts(edition: Edition) -> tuple[list[Movement], list[InBath]]:
    actions = edition.work.actions
    movements = [
        Movement(copy + 1, action.kind, action.step, start, start + action.takes)
        for copy, row in enumerate(edition.starts)
        for action, start in zip(actions, row, strict=True)
    ]
    takes = {(turn.step, turn.mark): turn.takes for turn in edition.work.loose}
    turns = [
        Movement(copy + 1, "turn", step, at, at + takes[step, mark]) for copy, step, mark, at in edition.loose if at is not None
    ]
    stays = [InBath(c + 1, v.step, *edition.stay(c, v)) for c in range(edition.copies) for v in edition.work.visits]
    return movements + turns, stays
