"""The JSON Schema of a recipe (draft 2020-12), made from the model, for editors that help while a recipe is written.

It says what may stand where. What values and steps mean to each other is beyond it: that is what `traycall check`
is for. A field's own schema stands beside the field, in `fields`.
"""

from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from annotated_types import MinLen
from pydantic import WithJsonSchema

from assistant.recipe.field_reading import EITHER, NEEDED, keys_of
from assistant.recipe.model import STEPS, Hold, Recipe, Step, Wet, Written

Schema = dict[str, Any]


def recipe_schema() -> Schema:
    """The whole schema as plain data, ready for `json.dumps`."""
    kept: dict[str, Schema] = {}
    root = _mapping(Recipe, kept)
    root["description"] = "A printer's card, format 1."
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Recipe",
        **root,
        "$defs": dict(sorted(kept.items())),
    }


def _mapping(model: type[Written], kept: dict[str, Schema]) -> Schema:
    properties, required = {}, []
    for key, name in keys_of(model).items():
        entry = model.model_fields[name]
        if entry.annotation is NoneType:
            continue
        annotated: Any = Annotated[(entry.annotation, *entry.metadata)] if entry.metadata else entry.annotation
        properties[key] = _value(annotated, kept)
        by_its_kind = key == "tray" and issubclass(model, Wet)
        if entry.is_required() and not by_its_kind:
            required.append(key)
    schema: Schema = {"type": "object", "description": _first_line(model), "properties": properties}
    if required:
        schema["required"] = required
    for word, keys in (("oneOf", EITHER.get(model, ())), ("anyOf", NEEDED.get(model, ()))):
        if keys:
            schema[word] = [{"required": [key]} for key in keys]
    return {**schema, "additionalProperties": False}


def _value(kind: Any, kept: dict[str, Schema]) -> Schema:
    """The schema of one annotation of the model."""
    given = [one for one in getattr(kind, "__metadata__", ()) if isinstance(one, WithJsonSchema)]
    if given:
        return dict(given[-1].json_schema or {})
    if kind == Step:
        return {"oneOf": [_step(name, model, kept) for name, model in STEPS.items()]}
    origin, inside = get_origin(kind), get_args(kind)
    if origin is Annotated:
        least = next((one.min_length for one in kind.__metadata__ if isinstance(one, MinLen)), 0)
        return _value(inside[0], kept) | ({"minItems": least} if least else {})
    if origin in (Union, UnionType):
        found = [_value(one, kept) for one in inside if one is not NoneType]
        return found[0] if len(found) == 1 else {"anyOf": found}
    if origin is Literal:
        return {"enum": list(inside)}
    if origin is dict:
        return {"type": "object", "additionalProperties": _value(inside[1], kept)}
    if origin is tuple:
        return _list(inside, kept)
    return _named(kind, kept)


def _list(inside: tuple[Any, ...], kept: dict[str, Schema]) -> Schema:
    if inside[-1] is Ellipsis:
        return {"type": "array", "items": _value(inside[0], kept)}
    items = [_value(one, kept) for one in inside]
    return {"type": "array", "prefixItems": items, "minItems": len(items), "maxItems": len(items)}


def _named(model: type[Written], kept: dict[str, Schema]) -> Schema:
    if model.__name__ not in kept:
        kept[model.__name__] = _mapping(model, kept)
    return {"$ref": f"#/$defs/{model.__name__}"}


def _step(kind: str, model: type[Written], kept: dict[str, Schema]) -> Schema:
    body = _named(model, kept)
    if model is Hold:  # `- hold:` alone, where its tray is known by its name
        body = {"anyOf": [body, {"type": "null"}]}
    return {"type": "object", "properties": {kind: body}, "required": [kind], "additionalProperties": False}


def _first_line(model: type[Written]) -> str:
    return (model.__doc__ or "").strip().splitlines()[0]
