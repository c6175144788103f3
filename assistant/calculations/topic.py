"""What a topic is: the fields that are filled in, the sum they make, and what comes of it. Knows no topic and no law.

A command and a worksheet are both made from it: each field is an argument there and a line here, under one name. A field
that is empty says nothing. Text that can't be read leaves a topic without any answer, for a time that does not belong to
what is written must not be set on a clock.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from assistant.trade.quantities import Misread, format_temperature, parse_temperature, quoted
from assistant.trade.strips import StripPlan
from assistant.trade.wording import plain, rounded

Reader: TypeAlias = Callable[[str], Any]
"""What a text says, in the units of `trade.quantities`; Misread where it can't be read."""
Values: TypeAlias = Mapping[str, Any]
"""Field -> what was read there; None where a field that may be empty is."""


@dataclass(frozen=True)
class Field:
    """One thing asked: its name, its reader, a text that can be read, what it is, and what a worksheet begins with.

    `between` is the word between the two values of a field that takes two; `words`: its text may have several words.
    With `choices` it is one of them, the first one where nothing is said; `flags` are choices that a command has as
    options of their own; `usual` is what is taken where nothing is written.
    """

    name: str
    read: Reader
    form: str
    about: str
    start: str = ""
    needed: bool = False
    between: str = ""
    words: bool = False
    choices: tuple[str, ...] = ()
    flags: Mapping[str, str] = field(default_factory=dict)
    usual: str | None = None

    @property
    def hint(self) -> str:
        """What stands in it while it is empty: what is then taken, or an example that says it is one."""
        return f"e.g. {self.form}" if self.usual is None else self.usual

    def value(self, text: str) -> Any:
        """What a text says; Misread where it can't be read, or where nothing is written and something must be."""
        if text.strip():
            return self.read(text)
        if self.needed:
            raise Misread("nothing is written here", f"write it like {self.form}")
        return self.choices[0] if self.choices else None


@dataclass(frozen=True)
class Curve:
    """How one quantity follows another, to be drawn: from `least` to `most` across, `value` up.

    `across` and `up` say in words what is measured and in which unit, `at` and `reached` put a place and a value in words;
    `here` is the printer's own point, `points` are known ones. The law may be used within `trusted`. `value` may raise
    Misread where there is none.
    """

    least: float
    most: float
    value: Callable[[float], float]
    across: str
    up: str
    at: Callable[[float], str]
    reached: Callable[[float], str]
    here: float
    points: tuple[float, ...] = ()
    trusted: tuple[float, float] | None = None


@dataclass(frozen=True)
class Result:
    """Lines to act by, the law used, what to mind, the same as plain values (ms, ml, mm, stops), and what is drawn of it."""

    lines: tuple[str, ...]
    law: str
    minds: tuple[str, ...]
    values: Mapping[str, Any]
    picture: StripPlan | Curve | None = None

    @property
    def below(self) -> tuple[str, ...]:
        """What stands under the lines in smaller letters, or after them: by which formula, and what to mind."""
        return f"Formula: {self.law}.", *(f"Note: {words}" for words in self.minds)


@dataclass(frozen=True)
class Topic:
    """One thing that can be calculated: its name, a line about it, a call that works, its fields, and the sum.

    `calculate` raises Misread where there is no sum.
    """

    name: str
    line: str
    example: str
    fields: tuple[Field, ...]
    calculate: Callable[[Values], Result]


@dataclass(frozen=True)
class Worked:
    """A topic worked out: an answer, or what can't be read (field -> sentence), or why there is no sum."""

    answer: Result | None
    faults: Mapping[str, str]
    why: str = ""


def worked(topic: Topic, texts: Mapping[str, str]) -> Worked:
    """Work out what is written in the fields; one that is left out is empty."""
    values: dict[str, Any] = {}
    faults: dict[str, str] = {}
    for one in topic.fields:
        try:
            values[one.name] = one.value(texts.get(one.name, ""))
        except Misread as error:
            faults[one.name] = str(error)
    if faults:
        return Worked(None, faults)
    try:
        return Worked(topic.calculate(values), {})
    except Misread as error:
        return Worked(None, {}, str(error))


def chosen(name: str, choices: Sequence[str], about: str, start: str = "", flags: Mapping[str, str] | None = None) -> Field:
    """A field that is one of some choices."""

    def read(text: str) -> str:
        if text not in choices:
            raise Misread(f"{quoted(text)} is none of these", f"write {' or '.join(choices)}")
        return text

    form = start or choices[0]
    return Field(name, read, form, about, start or choices[0], choices=tuple(choices), flags=flags or {})


def two(first: Reader, word: str, second: Reader) -> Reader:
    """The reader of two values with a word between them: `f/11 to f/16`, `90 s at 24 C`."""

    def read(text: str) -> tuple[Any, Any]:
        before, _, after = re.sub(rf"\s+{word}\s+", "\0", f" {text} ", count=1).partition("\0")
        if not before.strip() or not after.strip():
            raise Misread(f'{quoted(text)} lacks one side of "{word}"', f"write {word} between the two")
        return first(before.strip()), second(after.strip())

    return read


class _InFahrenheit(float):
    """Degrees Celsius that were written in Fahrenheit, in which they are answered too."""


def degrees(text: str) -> float:
    """Degrees Celsius, as `quantities.parse_temperature` reads them; `in_degrees` knows in which unit they were written."""
    celsius = parse_temperature(text)
    return _InFahrenheit(celsius) if text.strip().upper().endswith("F") else celsius


def in_degrees(celsius: float) -> str:
    """A temperature in the unit in which it was written: `20 C`, `68 F (20 C)`."""
    written = f"{plain(celsius * 9 / 5 + 32, 1)} F" if isinstance(celsius, _InFahrenheit) else ""
    return f"{written} ({format_temperature(celsius)})" if written else format_temperature(celsius)


def rounding(tick: int, off: Sequence[float]) -> list[str]:
    """The line that says what a clock with steps of `tick` ms changed at most; none for a fine clock."""
    said = rounded(tick, off)
    return [f"  {said}"] if said else []
