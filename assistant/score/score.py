"""The score of a plan: what every step sounds like, worked out once, before the session begins."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from assistant.planning.hand_times import Hands
from assistant.planning.plan import Plan
from assistant.recipe.model import Expose, WetStep
from assistant.recipe.several_prints import light_of
from assistant.score import baths, words
from assistant.score.lamp import LampRun, Mark, lamp_runs

OPENING_LINE = 5_000
"""One spoken line of the opening takes about this long (ms): a dozen words at 165 a minute."""


def _texts(written: object) -> Iterator[str]:
    """Every text in a recipe, however deep."""
    if isinstance(written, str):
        yield written
    elif isinstance(written, Mapping):
        yield from (text for value in written.values() for text in _texts(value))
    elif isinstance(written, Sequence):
        yield from (text for value in written for text in _texts(value))


@dataclass(frozen=True)
class Score:
    """A plan with its sounds; all spans in ms."""

    plan: Plan

    @cached_property
    def runs(self) -> dict[int, tuple[LampRun, ...]]:
        """The lamp runs of every exposing step; Misread as `lamp.lamp_runs`."""
        steps = enumerate(self.plan.recipe.steps)
        first = self.plan.recipe.prints[0] if self.plan.recipe.prints else None
        return {i: lamp_runs(light_of(step, first)) for i, step in steps if isinstance(step, Expose)}

    def lights(self, step: int, one: int = 0, base: int | None = None) -> tuple[LampRun, ...]:
        """The lamp runs of a step for one of the prints, by its place in the recipe, with a base time (ms) of its own.

        Misread where that can't be given.
        """
        recipe = self.plan.recipe
        if base is None and not recipe.prints:
            return self.runs[step]
        key = (step, one, base)
        if key not in self._lights:
            found = recipe.steps[step]
            assert isinstance(found, Expose)
            light = light_of(found, recipe.prints[one] if recipe.prints else None)
            self._lights[key] = lamp_runs(light if base is None else light.model_copy(update={"time": base}))
        return self._lights[key]

    @cached_property
    def _lights(self) -> dict[tuple[int, int, int | None], tuple[LampRun, ...]]:
        return {}

    @cached_property
    def totals(self) -> tuple[int, ...]:
        """The times of a test strip (ms), lightest first; empty where no strip is made."""
        return next((run.totals for runs in self.runs.values() for run in runs if run.totals), ())

    @cached_property
    def light_safe_after(self) -> int | None:
        """From first touch of the first fixing bath to safe white light, ms; None where nothing is fixed."""
        return baths.light_safe_after(self.plan.recipe)

    @cached_property
    def opening(self) -> tuple[Mark, ...]:
        """What is said before copy one: the edition and the cautions. What is mixed was read in the light."""
        recipe = self.plan.recipe
        lines = [words.opening(recipe.title, self.plan.copies, self.plan.reference)]
        care = words.listed(list(dict.fromkeys(item for tray in recipe.trays.values() for item in tray.care)))
        if care:
            lines.append(care)
        return tuple(Mark(i * OPENING_LINE, "tell", line) for i, line in enumerate(lines))

    @property
    def opening_lasts(self) -> int:
        """How long the opening words take, ms."""
        return len(self.opening) * OPENING_LINE

    def worded(self, said: str) -> str:
        """A sentence in the words of what is printed: sheets of film are no copies. What the recipe says stays as written."""
        return words.of_film(said, self._own) if self.of_film else said

    @cached_property
    def of_film(self) -> bool:
        """Whether sheets of film are printed on, which are no copies."""
        paper = self.plan.recipe.paper
        return paper is not None and paper.kind == "film"

    @cached_property
    def _own(self) -> tuple[str, ...]:
        """What the recipe's author wrote that speaks of copies."""
        return tuple(text for text in _texts(self.plan.recipe.model_dump()) if words.COPIES.search(text))

    def name(self, step: int) -> str | None:
        """The spoken name of a step; None after the last."""
        steps = self.plan.recipe.steps
        return steps[step].name if step < len(steps) else None

    def marks(
        self,
        step: int,
        target: int | None,
        following: int,
        last: tuple[int, int] | None,
        whose: int | None = None,
        leads: int | None = None,
        turns: tuple[int, ...] | None = None,
    ) -> tuple[Mark, ...]:
        """A stay in a bath: `target` in ms, None is open; `following` is the next step; `last` the toning before (copy, ms).

        `whose`: the copy that every call names, where several are out; `leads`: the one that is lifted first, where not all
        are lifted at once; `turns`: when it is turned (ms), None as the recipe says.
        """
        found = self.plan.recipe.steps[step]
        assert not isinstance(found, Expose)
        if found.by_eye is not None:
            return baths.by_eye(found, found.by_eye, found.look, last)
        key = (step, target, following, whose, leads, turns)
        if key not in self._made:
            if target is None:
                self._made[key] = baths.untimed(found, found.at_most)
            else:
                lifted = whose if leads is None else leads
                last_call = self._last(found, target, following, lifted)
                self._made[key] = baths.timed(found, target, last_call, whose, lifted, turns)
        return self._made[key]

    def in_turn(self, step: int, target: int, following: int, whose: int, first: bool) -> tuple[Mark, ...]:
        """A stay in a stack of sheets: out in its turn, after `target` ms; with the `first` of them the recipe's calls."""
        found = self.plan.recipe.steps[step]
        assert not isinstance(found, Expose)
        return baths.in_turn(found, target, self._last(found, target, following, whose), whose, first)

    def rhythm(self, step: int, ms: int) -> tuple[Mark, ...]:
        """The agitation of a stack for so long (ms): every sheet is turned once, and that is over by then."""
        found = self.plan.recipe.steps[step]
        assert not isinstance(found, Expose)
        return baths.rhythm(found, ms - self.plan.copies * Hands().but(self.plan.recipe.hands).turn)

    def _last(self, step: WetStep, target: int, following: int, whose: int | None) -> Mark:
        """What is called when a bath's time is over: the pip, or where a hand begins what follows a question for it."""
        recipe = self.plan.recipe
        if following < len(recipe.steps) and recipe.steps[following].begin == "by hand":
            return Mark(target, "ask", words.into_now(recipe.steps[following].name, whose))
        finish = words.finish(recipe.paper.kind, recipe.paper.finish) if recipe.paper else words.finish("fibre", None)
        return Mark(target, "pip", words.pip(self.name(following), whose, finish, step.pip))

    @cached_property
    def _made(self) -> dict[tuple[int, int | None, int, int | None, int | None, tuple[int, ...] | None], tuple[Mark, ...]]:
        return {}
