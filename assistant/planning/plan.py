"""A recipe and a number of copies made into a plan: where copies gather, and what the trays must hold for that.

A *station* is a step where copies collect: a hold that gathers, or a step done together. Between two stations lies
a *leg*, which a copy goes through without a break. One at a time, a leg is begun only when no copy is on its way.
"""

from dataclasses import dataclass
from functools import cached_property

from assistant.recipe.fields import MOST_COPIES
from assistant.recipe.model import Develop, Recipe
from assistant.recipe.step_order import too_large
from assistant.trade.wording import counted


class CannotPlan(ValueError):
    """The recipe can't be printed in that many copies; the message says why and what to change."""


@dataclass(frozen=True)
class Plan:
    """Recipe, copies, how many of them stay untoned, and the steps (counted from 0) at which copies gather."""

    recipe: Recipe
    copies: int
    reference: int
    stations: tuple[int, ...]

    @cached_property
    def apart(self) -> dict[int, int]:
        """The steps (counted from 0) into which sheets go one after the other, and how far apart, ms."""
        found = {index: step for index, step in enumerate(self.recipe.steps) if isinstance(step, Develop)}
        return {index: step.apart for index, step in found.items() if step.apart is not None}

    @cached_property
    def together(self) -> tuple[int, ...]:
        """The steps (counted from 0) that all copies do together."""
        return tuple(index for index, step in enumerate(self.recipe.steps) if step.together)

    @cached_property
    def toners(self) -> tuple[int, ...]:
        """The steps (counted from 0) in which copies are toned."""
        return tuple(index for index, step in enumerate(self.recipe.steps) if step.kind == "tone")

    def print_of(self, number: int) -> int:
        """Which of the recipe's prints a sheet is of, by its number; 0 where there is one."""
        place = (number - 1) * self.recipe.sheets // self.copies
        for index, one in enumerate(self.recipe.prints):
            place -= one.copies
            if place < 0:
                return index
        return 0

    def station_after(self, step: int) -> int:
        """The step at which a copy that is in `step` will next gather; one past the last step where there is none."""
        return next((station for station in self.stations if station >= step), len(self.recipe.steps))

    def following(self, step: int, untoned: bool) -> int:
        """The step after `step` for a copy; an untoned reference passes the toner by."""
        after = step + 1
        while untoned and after in self.toners:
            after += 1
        return after


def make_plan(recipe: Recipe, copies: int | None = None) -> Plan:
    """Plan `copies` sheets (default: the recipe's number); CannotPlan says what does not fit."""
    number = recipe.sheets if copies is None else copies
    so_many = counted(number, recipe.called)
    if recipe.prints and number % recipe.sheets:
        raise CannotPlan(f"{so_many}: the prints of this recipe are {recipe.sheets} together, or twice that, and so on")
    if not 1 <= number <= MOST_COPIES:
        raise CannotPlan(f"{so_many}: a session prints from 1 to {MOST_COPIES}")
    if recipe.reference > number:
        raise CannotPlan(f"{recipe.reference} untoned references of {so_many}: lower `reference` in the recipe")
    for index, step in enumerate(recipe.steps):
        if isinstance(step, Develop) and step.apart is not None:
            _must_hold(recipe, index, number)
            if (fault := too_large(step, number)) is not None:
                raise CannotPlan(f"step {index + 1}, {step.name.lower()}: {fault[0]}; {fault[1]}")
    stations = tuple(i for i, step in enumerate(recipe.steps) if step.gathers or step.together)
    for station in stations:
        _must_hold(recipe, station, number)
        if recipe.steps[station].together and station + 1 < len(recipe.steps):
            _must_hold(recipe, station + 1, number)  # they leave it at one moment
    return Plan(recipe, number, recipe.reference, stations)


def _must_hold(recipe: Recipe, station: int, copies: int) -> None:
    step = recipe.steps[station]
    if step.tray is None:
        return
    holds = recipe.trays[step.tray].holds
    if copies > holds:
        so_many = counted(copies, recipe.called)
        raise CannotPlan(
            f"step {station + 1}, {step.name.lower()}: {so_many} come there together and `{step.tray}` holds {holds}; "
            f"print at most {holds}, or raise `holds` if the tray is larger"
        )
