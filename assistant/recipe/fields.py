"""The kinds of value that a recipe's fields hold, each with how it is read and how an editor may check it.

A field takes the printer's text (`9.6 s`), read by `trade.quantities`, or a value already typed (9600).
What a value means beside others is no business of this module.
"""

import re
from collections.abc import Callable
from typing import Annotated, Literal, TypeAlias, TypeVar

from pydantic import BeforeValidator, Field, PlainSerializer, WithJsonSchema

from assistant.trade import quantities as q
from assistant.trade import strips
from assistant.trade.lengths import parse_length

T = TypeVar("T")

_NUMBER = r"\d+(\.\d+)?"


SEVERAL = q.Misread("one value belongs here, not several", "write it without brackets and braces")
"""Raised where a list or a mapping stands in place of one value."""


def _read(parse: Callable[[str], T]) -> BeforeValidator:
    def read(value: object) -> object:
        if isinstance(value, (list, dict)):
            raise SEVERAL
        return parse(value) if isinstance(value, str) else value

    return BeforeValidator(read)


def _written(pattern: str, *examples: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "pattern": f"^({pattern})$", "examples": list(examples)})


NOT_PLAIN = q.Misread("there are characters here that can't be said or shown", "write plain words")
"""Raised where words could act on a terminal."""


def _count(least: int, most: int) -> BeforeValidator:
    parse = q.parse_count(least, most)

    def count(value: object) -> int:
        if isinstance(value, (list, dict)):
            raise SEVERAL
        return parse(str(value))

    return BeforeValidator(count)


def _counted(least: int, most: int) -> WithJsonSchema:
    return WithJsonSchema({"type": "integer", "minimum": least, "maximum": most})


def _yes_or_no(text: str) -> bool:
    if text not in ("true", "false"):
        raise q.Misread(f"{q.quoted(text)} is neither yes nor no", "write true or false")
    return text == "true"


def _this_format(text: str) -> int:
    if text.strip() != "1":
        raise q.Misread(f"{q.quoted(text)} is a format that this version does not read", "write 1, or use a later version")
    return 1


def _one_line(text: str) -> str:
    words = " ".join(text.split())
    if not words.isprintable():
        raise NOT_PLAIN
    return words


def _lines(text: str) -> str:
    lines = [" ".join(line.split()) for line in text.splitlines()]
    if not all(line.isprintable() for line in lines):
        raise NOT_PLAIN
    return "\n".join(lines).strip()


_SPAN_WRITTEN = _written(
    rf"{_NUMBER} ?h( ?{_NUMBER} ?min)?( ?{_NUMBER} ?s)?|{_NUMBER} ?min( ?{_NUMBER} ?s)?|{_NUMBER} ?s"
    r"|(\d+:)?\d+:\d\d(\.\d+)?",
    "9.6 s", "2 min", "1 min 30 s", "1:30",
)  # fmt: skip

OFTENEST_AGITATION = 2_000
"""A sheet can't be turned more often by hand (ms): then it is moved all the time. Common practice, no source."""
OFTENEST_WATER = 30_000
"""Water can't be changed more often by hand (ms): common practice, no source."""

Span: TypeAlias = Annotated[int, Field(strict=True, gt=0, le=q.LONGEST), _read(q.parse_span), _SPAN_WRITTEN]
"""Whole milliseconds."""

Interval: TypeAlias = Annotated[
    int, Field(strict=True, ge=OFTENEST_AGITATION, le=q.LONGEST), _read(q.parse_span_from(OFTENEST_AGITATION)), _SPAN_WRITTEN
]
"""From one agitation to the next, whole ms."""

Refresh: TypeAlias = Annotated[
    int, Field(strict=True, ge=OFTENEST_WATER, le=q.LONGEST), _read(q.parse_span_from(OFTENEST_WATER)), _SPAN_WRITTEN
]
"""From one change of water to the next, whole ms."""

Height: TypeAlias = Annotated[float, Field(gt=0), _read(parse_length), _written(rf"{_NUMBER} ?(mm|cm|m|in)", "74 cm", "29 in")]
"""Millimetres."""

LONGEST_ALLOWANCE = 10 * 60_000
"""Nobody allows more for one movement of the hands (ms): common practice, no source."""


def _from_nothing(text: str) -> int:
    """A span that may be none at all; nobody allows more than ten minutes (ms) for one movement of the hands."""
    ms = 0 if re.fullmatch(r"0(\.0+)? ?s", text.strip()) else q.parse_span(text)
    if ms > LONGEST_ALLOWANCE:
        raise q.Misread(f"{q.quoted(text)} is long for one movement of the hands", "write at most 10 min")
    return ms


Allowance: TypeAlias = Annotated[
    int,
    Field(strict=True, ge=0, le=LONGEST_ALLOWANCE),
    _read(_from_nothing),
    _written(rf"{_NUMBER} ?min( ?{_NUMBER} ?s)?|{_NUMBER} ?s|(\d+:)?\d+:\d\d(\.\d+)?", "15 s", "0 s"),
]
"""Whole milliseconds, from none up: what is allowed for something."""

Temperature: TypeAlias = Annotated[float, _read(q.parse_temperature), _written(rf"{_NUMBER} ?°? ?[CcFf]", "20 C", "68 F")]
"""Degrees Celsius."""

Volume: TypeAlias = Annotated[
    int, Field(strict=True, gt=0), _read(q.parse_volume), _written(rf"{_NUMBER} ?[mM]?[lL]", "3 l", "750 ml")
]
"""Whole millilitres."""

SheetSize: TypeAlias = Annotated[
    q.Size,
    _read(q.parse_size),
    PlainSerializer(q.format_size, when_used="json"),
    _written(rf"{_NUMBER} ?[x×] ?{_NUMBER} ?(in|cm)", "12x16 in", "30x40 cm"),
]
"""Two edges in the unit that was written."""

MixParts: TypeAlias = Annotated[
    q.Mix,
    _read(q.parse_mix),
    PlainSerializer(q.format_mix, when_used="json"),
    _written(rf"{_NUMBER} ?\+ ?{_NUMBER}", "1+9"),
]
"""Parts of concentrate and of water."""

Aperture: TypeAlias = Annotated[float, _read(q.parse_aperture), _written(rf"f/ ?{_NUMBER}", "f/11")]
"""The f-number as marked."""

Stops: TypeAlias = Annotated[
    float,
    Field(gt=0),
    _read(q.parse_some_stops),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "pattern": rf"^\+?((\d+ )?\d+/\d+|{_NUMBER})$", "examples": ["1/3"]},
                {"type": "number", "exclusiveMinimum": 0, "maximum": 10},
            ]
        }
    ),
]
"""Above 0; the direction is said by the field's name."""

Lasts: TypeAlias = Annotated[float, _read(q.parse_lasts), _written(rf"{_NUMBER} per litre", "20 per litre")]
"""Sheets of 8x10 in to a litre of working bath."""

Percent: TypeAlias = Annotated[float, _read(q.parse_percent), _written(rf"{_NUMBER} ?%", "8 %")]
"""Per cent, from 0 to under 50."""

Factor: TypeAlias = Annotated[
    float,
    _read(q.parse_number),
    WithJsonSchema({"type": "number", "exclusiveMinimum": 0, "maximum": 1000}),
]
"""A coefficient for ten degrees: how many times as quick."""

TimesFirstTone: TypeAlias = Annotated[
    float, Field(gt=1), _read(q.parse_factor), WithJsonSchema({"type": "number", "exclusiveMinimum": 1, "maximum": 1000})
]
"""How many times the first tone's time a development takes."""

MOST_COPIES = 60
"""Sheets in one session: more than an evening holds; a slip of the finger is found. Common practice, no source."""

MOST_BLANK, MOST_IN_A_TRAY = 10, 100
"""Sheets that go unexposed through the baths, and that one tray holds: more is a slip of the finger. Common practice, no
source."""

Format: TypeAlias = Annotated[Literal[1], _read(_this_format), WithJsonSchema({"const": 1})]
"""The version of the format; a later one is refused."""
Spares: TypeAlias = Annotated[int, _count(0, MOST_COPIES), _counted(0, MOST_COPIES)]
Blanks: TypeAlias = Annotated[int, _count(0, MOST_BLANK), _counted(0, MOST_BLANK)]
Copies: TypeAlias = Annotated[int, _count(1, MOST_COPIES), _counted(1, MOST_COPIES)]
Reference: TypeAlias = Annotated[int, _count(0, MOST_COPIES), _counted(0, MOST_COPIES)]
Holds: TypeAlias = Annotated[int, _count(1, MOST_IN_A_TRAY), _counted(1, MOST_IN_A_TRAY)]
"""Sheets of the edition at once."""
Strips: TypeAlias = Annotated[int, _count(strips.LEAST, strips.MOST), _counted(strips.LEAST, strips.MOST)]

YesNo: TypeAlias = Annotated[bool, Field(strict=True), _read(_yes_or_no), WithJsonSchema({"type": "boolean"})]

MOST_WORDS, MOST_NOTES = 200, 20_000
"""Letters of what is said or shown on one line, and of notes: a quarter of a minute of speech, and ten pages."""

Words: TypeAlias = Annotated[
    str,
    Field(strict=True, min_length=1, max_length=MOST_WORDS),
    _read(_one_line),
    WithJsonSchema({"type": ["string", "number", "boolean"], "maxLength": MOST_WORDS}),
]
"""A few words, said or shown on one line."""

Aside: TypeAlias = Annotated[
    str, Field(strict=True, max_length=MOST_WORDS), _read(_one_line), WithJsonSchema({"type": ["string", "number", "boolean"]})
]
"""Words, or none: then nothing is said."""

Notes: TypeAlias = Annotated[
    str, Field(strict=True, max_length=MOST_NOTES), _read(_lines), WithJsonSchema({"type": ["string", "number", "boolean"]})
]
"""The printer's own words, as many lines as wanted."""

Begin: TypeAlias = Literal["on cue", "by hand"]
"""Whether a bath begins at its moment, or when a hand says so."""
