"""From a file to a recipe, or to all that is wrong with it at once, each complaint with its line and column.

The one place where the file's places and the recipe's meaning come together: `yaml_places` says what stands where,
`field_reading` reads the values, `step_rules` and `step_order` judge them. What can't be read is left out of what they judge.
"""

import errno
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path as File
from typing import Any, TypeVar, cast

from assistant.plain_files import read_bytes
from assistant.recipe import field_reading, step_order, step_rules, yaml_places
from assistant.recipe.faults import BadRecipe, Fault, Finding, Path, nearest, one_of, where
from assistant.recipe.model import STEPS, Recipe, Step, Tray, Written
from assistant.recipe.yaml_places import Page, Plain, Unreadable
from assistant.trade.quantities import quoted

Known = TypeVar("Known", bound=Written)
MOST_LETTERS = 60
"""Letters of a tray's name: it is spoken in every call."""


@dataclass(frozen=True)
class Loaded:
    """A recipe, its text as it stands in the file, and what should be thought over."""

    recipe: Recipe
    text: str
    warnings: tuple[Fault, ...]


def load(file: File) -> Loaded:
    """Read a recipe file; BadRecipe carries every complaint, about a file that can't be opened too."""
    try:
        text = yaml_places.decoded(read_bytes(file, yaml_places.MOST_BYTES))
    except OSError as error:
        if error.errno == errno.EFBIG:
            raise BadRecipe(str(file), (yaml_places.too_large().fault,)) from None
        fault = Fault(0, 0, "", f"this file can't be read ({error.strerror})", "check its name and permissions")
        raise BadRecipe(str(file), (fault,)) from None
    except Unreadable as error:
        raise BadRecipe(str(file), (error.fault,)) from None
    return loads(text, str(file))


@lru_cache(maxsize=64)
def loads(text: str, name: str = "recipe") -> Loaded:
    """Read a recipe from its text; `name` stands before the complaints. A text that was good is not read twice."""
    try:
        page = yaml_places.read(text)
    except Unreadable as error:
        raise BadRecipe(name, (error.fault,)) from None
    draft = _Draft(page)
    recipe = draft.recipe()
    faults = [*page.faults, *(_placed(page, finding) for finding in draft.findings)]
    if any(fault.severity == "error" for fault in faults):
        raise BadRecipe(name, set(faults))
    return Loaded(recipe, text, tuple(sorted(set(faults))))


def _placed(page: Page, finding: Finding) -> Fault:
    path = finding.path[:-1] if finding.of_key else finding.path
    place = page.place(finding.path, finding.of_key)
    return Fault(*place, where(path), finding.what, finding.fix, finding.severity)


@dataclass
class _Draft:
    """A recipe as far as it could be read: what could not be is None, and a finding says why."""

    page: Page
    findings: list[Finding] = field(default_factory=list)
    trays: dict[str, Tray | None] = field(default_factory=dict)
    steps: list[Step | None] = field(default_factory=list)

    def recipe(self) -> Recipe:
        """The recipe; sound when no finding is an error."""
        written = self.page.data
        card = field_reading.read_fields(Recipe, written, (), apart=("trays", "steps"))
        self.findings += card.findings
        self.read_trays(written.get("trays"))
        self.read_steps(written.get("steps"))
        recipe = self.made(Recipe, {**card.values, "trays": self.trays, "steps": tuple(self.steps)})
        for i, step in enumerate(self.steps):
            if step is not None:
                found = step_rules.of_step(step, ("steps", i, step.kind), self.trays)
                self.findings += [one for one in found if self.bench_is_known or one.path[-1] != "tray"]
        self.findings += step_order.of_recipe(recipe, self.steps, self.trays)
        return recipe

    @property
    def bench_is_known(self) -> bool:
        """Whether there are trays to be named; where none could be read, that is said once and not at every step."""
        return isinstance(self.page.data.get("trays"), dict)

    def made(self, model: type[Known], values: dict[str, Any]) -> Known:
        """One mapping of the recipe: checked by its model where all could be read so far, else as a draft."""
        sound = not self.page.faults and all(finding.severity == "warning" for finding in self.findings)
        named = {key: value for key, value in values.items() if key != "name" or value is not None}  # else by its kind's own
        made = model.model_validate(values) if sound else model.model_construct(**named)
        return cast("Known", made)

    def read_trays(self, written: Plain | None) -> None:
        """The trays by their names; one that is no mapping is None."""
        if not isinstance(written, dict):
            if written is not None:
                self.findings.append(Finding(("trays",), "trays are keys with keys below them", f"write {_TRAYS}"))
            return
        for name, tray in written.items():
            path, spoken = ("trays", name), " ".join(name.split())
            if spoken in self.trays:
                self.findings.append(Finding(path, "two trays have one name", "keep one of them", of_key=True))
            self.trays[spoken] = None
            if not spoken.isprintable() or not 0 < len(spoken) <= MOST_LETTERS:
                self.findings.append(Finding(path, "this is no name for a tray", "write a word or two", of_key=True))
            elif isinstance(tray, dict):
                reading = field_reading.read_fields(Tray, tray, path)
                self.findings += reading.findings
                self.trays[spoken] = self.made(Tray, reading.values)
            else:
                bath = tray if isinstance(tray, str) and tray else "print developer"
                fix = f"write {spoken}: {{bath: {bath}}}"
                self.findings.append(Finding(path, "a tray is a name with keys below it", fix))

    def read_steps(self, written: Plain | None) -> None:
        """The steps in their order; one that can't be recognised is None."""
        if isinstance(written, list) and written:
            self.steps = [self.read_step(step, ("steps", i)) for i, step in enumerate(written)]
        elif written == []:
            self.findings.append(Finding(("steps",), "there is nothing to do", f"write at least {_STEP}"))
        elif written is not None:
            self.findings.append(Finding(("steps",), "the steps are not a list", f"begin each with a dash: {_STEP}"))

    def read_step(self, written: Plain, path: Path) -> Step | None:
        """One step by its kind."""
        kind, body, finding = _recognised(written, path)
        if finding is not None:
            self.findings.append(finding)
            return None
        here = (*path, kind)
        own = [name for name in self.trays if name.lower().startswith(kind)]  # a `develop` finds the developer
        if kind != "expose" and "tray" not in body and len(own) == 1:
            body = {**body, "tray": own[0]}
        model: type[Step] = STEPS[kind]
        reading = field_reading.read_fields(model, body, here)
        no_tray = field_reading.missing("tray", here)
        if no_tray in reading.findings:
            reading.findings.remove(no_tray)
            fix = f"write tray: {one_of(own or self.trays)}" if self.trays else "name one under trays, and here"
            reading.findings += [no_tray._replace(fix=fix)] if self.bench_is_known else []
        self.findings += reading.findings
        return self.made(model, reading.values)


_TRAYS = "trays: {developer: {bath: print developer}}"
_STEP = "- develop: {tray: developer, for: 2 min}"


def _recognised(written: Plain, path: Path) -> tuple[str, dict[str, Plain], Finding | None]:
    """A step's kind and its keys, or why it is no step."""
    if not isinstance(written, dict) or not written:
        return "", {}, Finding(path, "a step is its kind with keys below it", f"write it like {_STEP}")
    kind, body = next(iter(written.items()))
    if kind not in STEPS:
        near = nearest(kind, STEPS)
        fix = f"did you mean `{near}`?" if near else f"write {one_of(STEPS)}, and its name as name:"
        return kind, {}, Finding((*path, kind), f"{quoted(kind)} is no kind of step", fix, of_key=True)
    if len(written) > 1:
        second = list(written)[1]
        fix = f"indent it further than {kind}" if body == "" else "begin every step with a dash of its own"
        what = f"`{second}` stands beside {kind}, not below it"
        return kind, {}, Finding((*path, second), what, fix, of_key=True)
    if body == "":
        return kind, {}, None
    if not isinstance(body, dict):
        return kind, {}, Finding((*path, kind), "a step is its kind with keys below it", f"write it like {_STEP}")
    return kind, body, None
