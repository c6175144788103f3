"""Single values: what was written under each key, read by the model's field of that name, or why it can't be.

Fields are read one by one, so that a bad value costs only itself and the rest can still be judged by the rules.
What values mean to each other is said in `step_rules` and `step_order`, never here.
"""

from collections.abc import Container, Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import Annotated, Any, Literal, get_args, get_origin

from pydantic import TypeAdapter, ValidationError

from assistant.recipe.faults import Finding, Path, nearest, one_of
from assistant.recipe.model import (
    STEPS,
    Call,
    Develop,
    Expose,
    Fix,
    Part,
    Recipe,
    Stop,
    Strip,
    TemperatureLaw,
    Wash,
    Written,
)
from assistant.recipe.yaml_places import Plain
from assistant.trade.quantities import Misread, quoted

LIKE = {
    "add": "add: 2 s", "agitate": "agitate: {every: 30 s, say: turn} or agitate: all the time", "at": "at: 30 s",
    "bath": "bath: print developer", "by_eye": "by_eye: {from: 45 s, to: 2 min}", "care": "care: [gloves, ventilation]",
    "burn": "burn: sky", "coefficient": "coefficient: 2.1", "dodge": "dodge: door", "factor": "factor: 10",
    "left": "left: 10 s", "light": "light: hard filter", "negative": "negative: {name: Slipway, orientation: bow left}",
    "step": "step: 1/3",
    "every": "every: 30 s", "first": "first: 5 s", "for": "for: 30 s", "format": "format: 1", "from": "from: 45 s",
    "name": "name: Slipway", "look": "look: [{at: 30 s, words: green leaving the shadows}]",
    "paper": "paper: {size: 8x10 in, grade: filter 2}",
    "give": "give: 10 s", "hands": "hands: {pace: 2 s}",
    "parts": "parts: [{burn: sky, stops: 1/2}]", "points": "points: [[20 C, 2 min], [24 C, 90 s]]",
    "say": "say: [{at: 60 s, words: half way}]", "steps": "steps: [{develop: {tray: developer, for: 2 min}}]",
    "stops": "stops: 1/2", "strip": "strip: {first: 5 s, step: 1/3, strips: 6}", "strips": "strips: 6",
    "temperature_law": "temperature_law: {coefficient: 2.1}", "time": "time: 9.6 s", "title": "title: Slipway panel",
    "to": "to: 2 min", "tray": "tray: developer", "trays": "trays: {developer: {bath: print developer}}",
    "words": "words: half way",
}  # fmt: skip
"""Key -> how it may be written, for complaints about a key that is missing or holds something of another form."""

MEANT = {
    "capacity": "lasts", "care_for": "care", "dilution": "mix", "duration": "for", "max": "at_most",
    "maximum": "at_most", "min": "at_least", "minimum": "at_least", "seconds": "for", "temp": "temperature",
    "vol": "volume", "earliest": "from", "latest": "to", "aperture_f": "aperture", "fstop": "aperture", "period": "every",
    "interval": "every",
}  # fmt: skip
"""Key that is not known here -> the one that says it."""


EITHER: dict[type[Written], tuple[str, ...]] = {
    Call: ("at", "left"),
    Develop: ("for", "factor", "by_eye"),
    Part: ("burn", "dodge", "light"),
    Strip: ("step", "add"),
    TemperatureLaw: ("coefficient", "points"),
}
"""Mappings that say one of several things, and never two."""

NEEDED: dict[type[Written], tuple[str, ...]] = {
    Recipe: ("format",), Expose: ("time", "strip"), Stop: ("for",), Fix: ("for",), Wash: ("for",),
}  # fmt: skip
"""Mappings that say at least one of these."""


@dataclass
class FieldsRead:
    """What could be read of one mapping, by the model's names, and what is wrong with the rest."""

    values: dict[str, Any] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)


def read_fields(model: type[Written], written: dict[str, Plain], path: Path, apart: tuple[str, ...] = ()) -> FieldsRead:
    """Read a mapping's keys by the fields of a model; what can't be read, or is missing, is None in the values.

    The keys `apart` are read elsewhere; only that they are there is looked at.
    """
    reading = FieldsRead()
    known = keys_of(model)
    slips = {key: _near(key, model) for key in written if key not in known}
    reading.findings += [_unknown((*path, key), written[key], near, model) for key, near in slips.items()]
    meant = {*written, *slips.values()}
    for key, name in known.items():
        if key in written and key not in apart:
            reading.values[name] = _field(reading, model, name, written[key], (*path, key))
        elif key not in written and model.model_fields[name].is_required():
            reading.values[name] = None
            reading.findings += [] if key in meant else [missing(key, path)]
    reading.findings += _choices(model, meant, path)
    return reading


def keys_of(model: type[Written]) -> dict[str, str]:
    """The keys of a mapping as they are written -> the model's names; a step's kind is no key."""
    fields = model.model_fields.items()
    return {entry.alias or name: name for name, entry in fields if name != "kind" or model not in STEPS.values()}


def missing(key: str, path: Path) -> Finding:
    """The complaint about a key that must be there."""
    return Finding(path, f"`{key}` is missing", _like(key))


def _like(key: str) -> str:
    return f"write it like {LIKE.get(key, key)}"


def _choices(model: type[Written], meant: Container[str | None], path: Path) -> Iterator[Finding]:
    """Complaints about keys of which one must be there, or no more than one can be."""
    if model in EITHER:
        said = [key for key in EITHER[model] if key in meant]
        if len(said) > 1:
            yield Finding((*path, said[1]), f"`{said[0]}` and `{said[1]}` can't both be said", "keep one of them")
        elif not said:
            choice = one_of(f"`{key}`" for key in EITHER[model])
            first, *others = EITHER[model]
            yield Finding(path, f"{choice} is missing", one_of([_like(first), *(LIKE[key] for key in others)]))
    needed = NEEDED.get(model, ())
    if needed and not any(key in meant for key in needed):
        yield Finding(path, f"`{needed[0]}` is missing", " or ".join([_like(needed[0]), *(LIKE[key] for key in needed[1:])]))


def _field(reading: FieldsRead, model: type[Written], name: str, value: Plain, path: Path) -> Any:
    """One value as the model's field has it; None, and findings in the reading, where it can't be read."""
    if value == "" and name != "notes":
        reading.findings.append(Finding(path, "nothing is written here", "write a value, or leave the key out"))
        return None
    inner, several = _inner(model, name)
    if inner is None or (isinstance(value, str) and value in _words_of(model, name)):
        return _single(reading, model, name, value, path)
    if not several:
        return _nested(reading, inner, value, path)
    if not isinstance(value, list):
        reading.findings.append(Finding(path, "a list belongs here", _like(str(path[-1]))))
        return None
    return tuple(_nested(reading, inner, item, (*path, i)) for i, item in enumerate(value))


def _nested(reading: FieldsRead, model: type[Written], value: Plain, path: Path) -> Written | None:
    if not isinstance(value, dict):
        key = next(part for part in reversed(path) if isinstance(part, str))
        reading.findings.append(Finding(path, "keys with their values belong here", _like(key)))
        return None
    below = read_fields(model, value, path)
    reading.findings += below.findings
    return None if below.findings else model.model_validate(below.values)


def _single(reading: FieldsRead, model: type[Written], name: str, value: Plain, path: Path) -> Any:
    try:
        return field_adapter(model, name).validate_python(value)
    except ValidationError as error:
        reading.findings += [_misread(dict(one), path) for one in error.errors()]
        return None


@cache
def field_adapter(model: type[Written], name: str) -> TypeAdapter[Any]:
    """What reads one field of a mapping by itself."""
    entry = model.model_fields[name]
    annotated: Any = Annotated[(entry.annotation, *entry.metadata)] if entry.metadata else entry.annotation
    return TypeAdapter(annotated)


@cache
def _inner(model: type[Written], name: str) -> tuple[type[Written] | None, bool]:
    """The model of the mapping, or mappings, that a field holds, where it holds any; whether it holds several."""
    annotation = model.model_fields[name].annotation
    for one in (annotation, *get_args(annotation)):
        if get_origin(one) is None and isinstance(one, type) and issubclass(one, Written):  # 3.10: tuple[...] is a type
            return one, get_origin(annotation) is tuple
    return None, False


@cache
def _words_of(model: type[Written], name: str) -> tuple[str, ...]:
    """The words that may stand in a field in place of a mapping."""
    choices = get_args(model.model_fields[name].annotation)
    return tuple(word for one in choices if get_origin(one) is Literal for word in get_args(one))


def _misread(error: dict[str, Any], path: Path) -> Finding:
    """A single value, or a list of them, that its field does not take."""
    inside: Path = (*path, *error["loc"])
    cause = error.get("ctx", {}).get("error")
    if isinstance(cause, Misread):
        return Finding(inside, cause.what, cause.fix)
    written, limits = error["input"], error.get("ctx", {})
    if error["type"] == "literal_error" and isinstance(written, str):
        choices = [choice.strip("'") for choice in limits["expected"].replace(" or ", ", ").split(", ")]
        fix = f"write {nearest(written, choices) or one_of(choices)}"
        return Finding(inside, f"{quoted(written)} is none of these: {', '.join(choices)}", fix)
    if error["type"] == "string_too_short":
        return Finding(inside, "nothing is written here", "write a value, or leave the key out")
    if error["type"] == "string_too_long":
        return Finding(inside, "there are too many words", f"write at most {limits['max_length']} letters")
    if error["type"] == "none_required":
        fix = "leave it out; at_most says when to be warned"
        return Finding(path, "a hold and a toner have no time of their own", fix)
    if error["type"] in ("missing", "too_long", "too_short"):
        return Finding(path, "this list has not the right length", _like(str(path[-1])))
    what = "a list belongs here" if isinstance(written, str) else "something else belongs here"
    return Finding(inside, what, _like(str(path[-1])))


def _unknown(path: Path, value: Plain, near: str | None, model: type[Written]) -> Finding:
    fix = f"did you mean `{near}`?" if near else f"known here: {', '.join(keys_of(model))}"
    if value == "" and not near:  # {say: left, then right} is read as a second key without a value
        fix = "words with a comma go in quotes"
    return Finding(path, f"{quoted(str(path[-1]))} is not a key here", fix, of_key=True)


def _near(key: str, model: type[Written]) -> str | None:
    """The known key that was most likely meant."""
    known = keys_of(model)
    meant = MEANT.get(key.lower().replace(" ", "_").replace("-", "_"))
    if key in ("time", "for", "target"):
        meant = "time" if model is Expose else "for"
    return meant if meant in known else nearest(key, known)
