"""What a worksheet of the dry side is: fields that are filled in, the sum they make, and what came of it. Pure.

No topic and no law lives here, and nothing is drawn: the topics are in `light_sheets` and `bath_sheets`. A field that
is empty says nothing; text that can't be read leaves the worksheet without any answer, for a time that no longer
belongs to what is written must not be set on a clock.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

from assistant.trade.quantities import Misread, quoted
from assistant.trade.strips import StripPlan

Reader: TypeAlias = Callable[[str], Any]
Values: TypeAlias = Mapping[str, Any]
"""Field -> what was read there; None where a field that may be empty is."""


@dataclass(frozen=True)
class Field:
    """One thing asked: what it is called, the boatyard's value, the reader, and the accepted form.

    With `choices` it is chosen from them and not typed.
    """

    name: str
    start: str
    read: Reader
    form: str
    needed: bool = True
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Course:
    """How one quantity goes with another, to be drawn: from `least` to `most` across, `value` up.

    `across` and `up` put a place and a value in words; `points` lie on the line and are marked, `here` is where we are.
    `value` may raise Misread where there is none.
    """

    least: float
    most: float
    value: Callable[[float], float]
    across: Callable[[float], str]
    up: Callable[[float], str]
    here: float
    points: tuple[float, ...] = ()


@dataclass(frozen=True)
class Answer:
    """What was reckoned: lines to act by, the law used, what to mind, and what is drawn of it."""

    lines: tuple[str, ...]
    law: str
    minds: tuple[str, ...] = ()
    picture: StripPlan | Course | None = None


@dataclass(frozen=True)
class Worksheet:
    """One topic: its name in the trade's word, what is asked, and the sum; `reckon` raises Misread where it has none."""

    name: str
    fields: tuple[Field, ...]
    reckon: Callable[[Values], Answer]


@dataclass(frozen=True)
class Worked:
    """A worksheet worked out: an answer, or the fields that can't be read (field -> sentence), or why there is no sum."""

    answer: Answer | None
    faults: Mapping[int, str]
    why: str = ""


def worked(sheet: Worksheet, texts: Sequence[str]) -> Worked:
    """Work out what is written in the fields, one text for each."""
    values: dict[str, Any] = {}
    faults: dict[int, str] = {}
    for i, (field, text) in enumerate(zip(sheet.fields, texts, strict=True)):
        try:
            values[field.name] = _read(field, text)
        except Misread as error:
            faults[i] = str(error)
    if faults:
        return Worked(None, faults)
    try:
        return Worked(sheet.reckon(values), {})
    except Misread as error:
        return Worked(None, {}, str(error))


def _read(field: Field, text: str) -> Any:
    if text.strip():
        return field.read(text)
    if field.needed:
        raise Misread("nothing is written here", f"write it like {field.form}")
    return None


def two(first: Reader, word: str, second: Reader, form: str) -> Reader:
    """The reader of two values with a word between them: `f/8 to f/11`, `90 s at 24 C`."""

    def read(text: str) -> tuple[Any, Any]:
        before, between, after = re.sub(rf"\s+{word}\s+", "\0", f" {text} ", count=1).partition("\0")
        if not between or not before.strip() or not after.strip():
            raise Misread(f'{quoted(text)} lacks one side of "{word}"', f"write it like {form}")
        return first(before.strip()), second(after.strip())

    return read


def chosen(name: str, *choices: str) -> Field:
    """A field that is chosen from these, the first one to begin with."""
    return Field(name, choices[0], str, " or ".join(choices), choices=choices)
