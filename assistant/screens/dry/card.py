"""A recipe's card: what it needs for so many copies, or all that is wrong with it. Pure."""

from dataclasses import dataclass

from assistant.planning.briefing import needed
from assistant.planning.plan import CannotPlan, make_plan
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import loads
from assistant.recipe.model import Recipe


@dataclass(frozen=True)
class Read:
    """A recipe as it was read; without one, `complaints` say why it can't be printed."""

    recipe: Recipe | None
    complaints: tuple[str, ...] = ()

    def needs(self, copies: int) -> tuple[bool, list[str]]:
        """Whether so many copies can be printed, and what is needed for them, or why they can't."""
        if self.recipe is None:
            return False, ["This recipe can't be printed as it is:", *self.complaints]
        try:
            return True, [*self.complaints, *needed(make_plan(self.recipe, copies))]
        except CannotPlan as error:
            return False, [str(error)]


def read(text: str, name: str) -> Read:
    """A recipe's text, with its complaints."""
    try:
        loaded = loads(text, name)
    except BadRecipe as error:
        return Read(None, tuple(str(error).splitlines()))
    return Read(loaded.recipe, tuple(fault.said(name) for fault in loaded.warnings))
