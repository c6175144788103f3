"""Single values: what was written under each key, read by the model's field of that name, or why it can't be.

Fields are read one by one, so that a bad value costs only itself and the rest can still be judged by the rules.
What values mean to each other is said in `rules` and `order`, never here.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import Annotated, Any, get_args

from pydantic import TypeAdapter, ValidationError

from assistant.recipe.faults import Finding, Path, nearest, one_of
from assistant.recipe.model import (
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
from assistant.recipe.nodes import Plain
from assistant.trade.quantities import Misread, quoted

LIKE = {
    "add": "add: 2 s", "agitate": "agitate: {every: 30 s, say: turn}", "at": "at: 30 s",
    "bath": "bath: print developer", "by_eye": "by_eye: {from: 45 s, to: 2 min}", "care": "care: [gloves, ventilation]",
    "every": "every: 30 s", "first": "first: 4 s", "for": "for: 30 s", "format": "format: 1", "from": "from: 45 s",
    "look": "look: [{at: 30 s, words: green leaving the shadows}]", "paper": "paper: {size: 8x10 in, grade: filter 2}",
    "parts": "parts: [{burn: sky, stops: 1/2}]", "points": "points: [[20 C, 2 min], [24 C, 90 s]]",
    "say": "say: [{at: 60 s, words: half way}]", "steps": "steps: [{develop: {tray: developer, for: 2 min}}]",
    "stops": "stops: 1/2", "strip": "strip: {first: 4 s, step: 1/3, strips: 6}", "strips": "strips: 6",
    "temperature_law": "temperature_law: {coefficient: 2.1}", "time": "time: 8.5 s", "title": "title: Slipway panel",
    "to": "to: 2 min", "tray": "tray: developer", "trays": "trays: {developer: {bath: print developer}}",
    "words": "words: half way",
}  # fmt: skip
"""Key -> how it may be written, for complaints about a key that is missing or holds something of another form."""

MEANT = {
    "capacity": "lasts", "care_for": "care", "dilution": "mix", "duration": "for", "lift": "drain", "max": "at_most",
    "maximum": "at_most", "min": "at_least", "minimum": "at_least", "seconds": "for", "temp": "temperature",
    "vol": "volume", "aperture_f": "aperture", "fstop": "aperture", "period": "every", "interval": "every",
}  # fmt: skip
"""Key that is not known here -> the one that says it."""


EITHER: dict[type[Written], tuple[str, str]] = {
    Call: ("at", "left"),
    Develop: ("for", "factor"),
    Part: ("burn", "dodge"),
    Strip: ("step", "add"),
    TemperatureLaw: ("coefficient", "points"),
}
"""Mappings that say one of two things, and never both."""

NEEDED: dict[type[Written], tuple[str, ...]] = {
    Recipe: ("format",), Expose: ("time", "strip"), Stop: ("for",), Fix: ("for",), Wash: ("for",),
}  # fmt: skip
"""Mappings that say at least one of these."""


@dataclass
class Reading:
    """What could be read of one mapping, by the model's names, and what is wrong with the rest."""

    values: dict[str, Any] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)


def read_fields(model: type[Written], written: dict[str, Plain], path: Path, apart: tuple[str, ...] = ()) -> Reading:
    """Read a mapping's keys by the fields of a model; what can't be read, or is missing, is None in the values.

    The keys `apart` are read elsewhere; only that they are there is looked at.
    """
    reading = Reading()
    known = keys_of(model)
    slips = {key: _near(key, model) for key in written if key not in known}
    for key, near in slips.items():
        reading.findings.append(_unknown((*path, key), written[key], near, model))
    for key, name in known.items():
        if key in written and key in apart:
            continue
        if key in written:
            _read_field(reading, model, name, written[key], (*path, key))
        elif model.model_fields[name].is_required():
            reading.values[name] = None
            if key not in slips.values():
                reading.findings.append(missing(key, path))
    reading.findings += _choices(model, [*written, *filter(None, slips.values())], path)
    return reading


def keys_of(model: type[Written]) -> dict[str, str]:
    """The keys of a mapping as they are written -> the model's names; a step's kind is no key."""
    return {entry.alias or name: name for name, entry in model.model_fields.items() if name != "kind"}


def missing(key: str, path: Path) -> Finding:
    """The complaint about a key that must be there."""
    return Finding(path, f"`{key}` is missing", f"write it like {LIKE.get(key, key)}")


def _choices(model: type[Written], written: Iterable[str], path: Path) -> Iterator[Finding]:
    """Complaints about keys of which one must be there, or no more than one can be."""
    either, needed = EITHER.get(model, ()), NEEDED.get(model, ())
    here = [key for key in written if key in either]
    if len(here) > 1:
        yield Finding((*path, here[1]), f"`{here[0]}` and `{here[1]}` can't both be said", "keep one of them")
    elif either and not here:
        yield Finding(path, f"neither `{either[0]}` nor `{either[1]}` is here", "write one of them")
    if needed and not set(needed) & set(written):
        fix = " or ".join(LIKE[key] for key in needed)
        yield Finding(path, f"`{needed[0]}` is missing", f"write it like {fix}")


def _mappings(value: Plain, path: Path) -> Iterator[tuple[dict[str, Plain], Path]]:
    if isinstance(value, dict):
        yield value, path
    elif isinstance(value, list):
        for i, item in enumerate(value):
            yield from _mappings(item, (*path, i))


def _read_field(reading: Reading, model: type[Written], name: str, value: Plain, path: Path) -> None:
    if value == "" and name != "notes":
        reading.values[name] = None
        reading.findings.append(Finding(path, "nothing is written here", "write a value, or leave the key out"))
        return
    inner = _inner(model, name)
    if inner is not None:
        for mapping, place in _mappings(value, path):
            reading.findings += _choices(inner, mapping, place)
    try:
        reading.values[name] = _adapter(model, name).validate_python(value, by_alias=True, by_name=False)
    except ValidationError as error:
        reading.values[name] = None
        reading.findings += [_finding(dict(one), path, inner) for one in error.errors()]


@cache
def _adapter(model: type[Written], name: str) -> TypeAdapter[Any]:
    entry = model.model_fields[name]
    annotated: Any = Annotated[(entry.annotation, *entry.metadata)] if entry.metadata else entry.annotation
    return TypeAdapter(annotated)


def _inner(model: type[Written], name: str) -> type[Written] | None:
    """The model of the mappings that a field holds, where it holds any; none holds mappings of two kinds."""
    waiting: list[Any] = [model.model_fields[name].annotation]
    while waiting:
        one = waiting.pop()
        if isinstance(one, type) and issubclass(one, Written):
            return one
        waiting += get_args(one)
    return None


def _finding(error: dict[str, Any], path: Path, inner: type[Written] | None) -> Finding:
    inside: Path = (*path, *error["loc"])
    cause = error.get("ctx", {}).get("error")
    if isinstance(cause, Misread):
        return Finding(inside, cause.what, cause.fix)
    if error["type"] == "missing":
        return missing(str(inside[-1]), inside[:-1])
    if error["type"] == "extra_forbidden" and inner is not None:
        return _unknown(inside, error["input"], _near(str(inside[-1]), inner), inner)
    return Finding(inside, *_misshapen(error, inside))


def _misshapen(error: dict[str, Any], path: Path) -> tuple[str, str]:
    """A value of another form than the field's, in words."""
    limits = error.get("ctx", {})
    written = error["input"]
    key = next(part for part in reversed(path) if isinstance(part, str))
    like = f"write it like {LIKE.get(key, key)}"
    match error["type"]:
        case "literal_error":
            choices = [choice.strip("'") for choice in limits["expected"].replace(" or ", ", ").split(", ")]
            near = nearest(written, choices) if isinstance(written, str) else None
            shown = quoted(written) if isinstance(written, str) else "what is written here"
            return f"{shown} is not one of {one_of(choices)}", f"write {near or one_of(choices)}"
        case "string_too_short":
            return "nothing is written here", "write a value, or leave the key out"
        case "string_too_long":
            return "these are too many words", f"write at most {limits['max_length']} letters"
        case "too_short" | "too_long":
            return "this list has not the right length", like
        case "none_required":
            return _no_time(key)
    if isinstance(written, str):
        return f"{quoted(written)} is one value where a list or keys belong", like
    return f"{'a list' if isinstance(written, list) else 'keys'} in a place for something else", like


def _no_time(key: str) -> tuple[str, str]:
    return "a hold and a toner have no time of their own", f"leave `{key}` out; at_most says when to be warned"


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
