"""From a file to a recipe, or to all complaints about it at once, each with its line and column."""

import difflib
from dataclasses import dataclass, replace
from pathlib import Path as File
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from assistant.recipe import nodes, rules
from assistant.recipe.faults import BadRecipe, Fault, Path, where
from assistant.recipe.model import STEPS, Recipe
from assistant.trade.quantities import Misread, quoted

STEMS = {"develop": "dev", "stop": "stop", "fix": "fix", "hold": "water", "tone": "ton", "wash": "wash"}
"""A step's kind -> how the name of its tray begins, where the recipe leaves `tray` out."""

_MEANINGS = {
    "missing": ("`{key}` is missing", "add it"),
    "dict_type": ("one value stands here", "write keys and values: {{key: value}}"),
    "model_type": ("one value stands here", "write keys and values: {{key: value}}"),
    "model_attributes_type": ("one value stands here", "write keys and values: {{key: value}}"),
    "tuple_type": ("one value stands here", "write a list: [ ... ] or lines that begin with -"),
    "string_type": ("something other than words stands here", "write plain words"),
    "string_too_short": ("nothing is written here", "write a value or leave the key out"),
    "string_too_long": ("too many words", "at most {max_length} letters"),
    "too_short": ("nothing to do", "write at least one step"),
    "greater_than": ("too small", "write more than {gt}"),
    "less_than_equal": ("too much", "at most {le}"),
}


@dataclass(frozen=True)
class Loaded:
    """A recipe, its text as it stands in the file, and what should be thought over."""

    recipe: Recipe
    text: str
    warnings: tuple[Fault, ...]


def load(file: File) -> Loaded:
    """Read a recipe file; BadRecipe carries every complaint, an unreadable file too."""
    name = str(file)
    try:
        raw = file.read_bytes()
    except OSError as error:
        fault = Fault(1, 1, "", f"this file can't be read ({error.strerror})", "check its name")
        raise BadRecipe(name, (fault,)) from None
    try:
        return loads(raw[: nodes.MOST_BYTES + 1].decode("utf-8"), name)
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        column = error.start - (raw.rfind(b"\n", 0, error.start) + 1) + 1
        fault = Fault(line, column, "", "this is not UTF-8 text", "save it as UTF-8")
        raise BadRecipe(name, (fault,)) from None


def loads(text: str, name: str = "recipe") -> Loaded:
    """Read a recipe from text; `name` stands before the complaints."""
    try:
        page = nodes.read(text)
    except nodes.Unreadable as error:
        raise BadRecipe(name, (error.fault,)) from None
    faults, data = list(page.faults), dict(page.data)
    kinds: dict[int, str] = {}
    faults += _version(page)
    if "steps" in data and isinstance(data["steps"], list):
        data["steps"], kinds, found = _steps(page, data)
        faults += found
    recipe = None
    if not faults or all(fault.what.startswith("`") for fault in faults):
        recipe, found = _validated(page, data, kinds)
        faults += found
    if recipe is not None:
        faults += [_placed(page, kinds, said) for said in rules.complaints(recipe)]
    errors = tuple(sorted({fault for fault in faults if fault.severity == "error"}))
    if errors or recipe is None:
        raise BadRecipe(name, errors)
    return Loaded(recipe, text, tuple(sorted(fault for fault in faults if fault.severity == "warning")))


def _version(page: nodes.Page) -> list[Fault]:
    written = page.data.get("format")
    if written == "1":
        return []
    if written is None:
        return [Fault(1, 1, "", "`format` is missing", "begin with `format: 1`")]
    line, column = page.values[("format",)]
    what = f"format {quoted(str(written))} is not read by this version"
    return [Fault(line, column, "format", what, "it reads format 1: bring the program up to date, or write 1")]


def _steps(page: nodes.Page, data: dict[str, Any]) -> tuple[list[Any], dict[int, str], list[Fault]]:
    """Steps as the model takes them: the kind is a value among the others, the tray is filled in."""
    steps: list[Any] = []
    kinds: dict[int, str] = {}
    faults: list[Fault] = []
    for i, step in enumerate(data["steps"]):
        line, column = page.values[("steps", i)]
        body: Any = next(iter(step.values()), {}) if isinstance(step, dict) and len(step) == 1 else None
        if body is None or not isinstance(body, dict | str) or (isinstance(body, str) and body):
            what, fix = (
                "a step is one of the seven kinds with its keys",
                "write `- develop: {tray: developer, for: 2 min}`",
            )
            faults.append(Fault(line, column, f"step {i + 1}", what, fix))
            continue
        kind = next(iter(step))
        if kind not in STEPS:
            faults.append(
                Fault(line, column, f"step {i + 1}", f"`{kind}` is no kind of step", _nearest(kind, list(STEPS)))
            )
            continue
        kinds[i] = kind
        fields = dict(body) if isinstance(body, dict) else {}
        if "kind" in fields:
            at = page.keys[("steps", i, kind, "kind")]
            faults.append(Fault(*at, f"step {i + 1}, {kind}", "`kind` is not a key here", "leave it out"))
        steps.append(_with_tray(kind, {**fields, "kind": kind}, data.get("trays")))
        _lift_marks(page, i, kind)
    return steps, kinds, faults


def _lift_marks(page: nodes.Page, index: int, kind: str) -> None:
    """Places below ("steps", 1, "develop", ...) are known without the kind as well."""
    old = ("steps", index, kind)
    for marks in (page.keys, page.values, page.spans):
        for path in [path for path in marks if path[:3] == old and len(path) > 3]:
            marks[(*path[:2], *path[3:])] = marks[path]
    page.values[("steps", index)] = page.keys[old]


def _with_tray(kind: str, fields: dict[str, Any], trays: Any) -> dict[str, Any]:
    if kind == "expose" or "tray" in fields or not isinstance(trays, dict):
        return fields
    fitting = [tray for tray in trays if tray.startswith(STEMS[kind])]
    return {**fields, "tray": fitting[0]} if len(fitting) == 1 else fields


def _validated(page: nodes.Page, data: dict[str, Any], kinds: dict[int, str]) -> tuple[Recipe | None, list[Fault]]:
    try:
        return Recipe.model_validate({**data, "format": 1}), []
    except ValidationError as error:
        return None, [_fault(page, kinds, dict(one)) for one in error.errors()]


def _fault(page: nodes.Page, kinds: dict[int, str], error: dict[str, Any]) -> Fault:
    loc: list[str | int] = list(error["loc"])
    if len(loc) > 2 and loc[0] == "steps" and loc[2] in STEPS:
        del loc[2]
    path = tuple(loc)
    what, fix = _words(error, path)
    if error["type"] == "extra_forbidden":
        line, column = page.keys.get(path, (1, 1))
    else:
        line, column = _mark(page, path)
    if error["type"] in ("missing", "extra_forbidden"):
        path = path[:-1]
    return Fault(line, column, where(path, kinds), what, fix)


def _mark(page: nodes.Page, path: Path) -> tuple[int, int]:
    """Where a value stands, or the nearest thing around it that is written."""
    while path and path not in page.values:
        path = path[:-1]
    return page.values.get(path, (1, 1)) if path else (1, 1)


def _words(error: dict[str, Any], path: Path) -> tuple[str, str]:
    cause = error.get("ctx", {}).get("error")
    if isinstance(cause, Misread):
        return cause.what, cause.fix
    key, kind, written = str(path[-1]) if path else "", error["type"], error["input"]
    if kind == "extra_forbidden":
        return f"`{key}` is not a key here", _nearest(key, _keys_at(path[:-1]))
    if kind == "literal_error":
        choices = [part.strip("' ") for part in str(error["ctx"]["expected"]).replace(" or ", ", ").split(", ")]
        return f"{quoted(str(written))} is not one of {', '.join(choices)}", _nearest(str(written), choices)
    if kind in _MEANINGS:
        what, fix = _MEANINGS[kind]
        values = {"key": key, **error.get("ctx", {})}
        return what.format(**values), fix.format(**values)
    return str(error["msg"]).lower(), "see the recipes that come with the program"


def _nearest(word: str, known: list[str]) -> str:
    near = difflib.get_close_matches(word, known, 1, 0.6)
    return f"did you mean `{near[0]}`?" if near else f"known here: {', '.join(known)}"


def _keys_at(path: Path) -> list[str]:
    """The keys that may stand at a place, as they are written."""
    model: Any = Recipe
    for part in path:
        if model is None:
            break
        model = _below(model, part)
    if not (isinstance(model, type) and issubclass(model, BaseModel)):
        return sorted({key for step in STEPS.values() for key in _written(step)})
    return _written(model)


def _below(model: Any, part: str | int) -> Any:
    if isinstance(model, type) and issubclass(model, BaseModel):
        found = next((f for name, f in model.model_fields.items() if part in (name, f.alias)), None)
        return found.annotation if found else None
    inner = [one for arg in get_args(model) for one in (arg, *get_args(arg))]
    return next((one for one in inner if isinstance(one, type) and issubclass(one, BaseModel)), None) or next(
        (one for one in inner if get_args(one)), None
    )


def _written(model: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items() if name != "kind"]


def _placed(page: nodes.Page, kinds: dict[int, str], said: rules.Complaint) -> Fault:
    line, column = _mark(page, said.path)
    fault = Fault(line, column, where(said.path, kinds), said.what, said.fix)
    return replace(fault, severity="warning") if said.warning else fault
