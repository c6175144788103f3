"""What the app and its listener tell each other: one line of JSON a message, the same types at both ends.

Moments are ms of the clock that both processes read (`time.monotonic()`); only the app knows when the session began.
"""

import json
from dataclasses import asdict, dataclass
from typing import Any, TypeAlias

WordingRow: TypeAlias = tuple[str, float | None, str, str]
"""One way to say a phrase: its name, its number, all the words, the number's words ("" without)."""


@dataclass(frozen=True)
class ListenerSettings:
    """How the listener hears, told to it at its start."""

    source: str
    """microphone, parec (a sound server's recorder), or the name of a WAV file."""
    input: str
    """The input by the sound system's name for it, "" for the system's own choice."""
    wordings: tuple[WordingRow, ...]
    """Every way to say every phrase."""

    def as_line(self) -> str:
        """As the listener takes them: one word of its call."""
        return json.dumps(asdict(self))

    @classmethod
    def from_line(cls, line: str) -> "ListenerSettings":
        """Read back what `as_line` wrote."""
        values = json.loads(line)
        return cls(**{**values, "wordings": tuple(tuple(row) for row in values["wordings"])})


@dataclass(frozen=True)
class Allow:
    """Understand only phrases of these names."""

    names: tuple[str, ...]


@dataclass(frozen=True)
class Deaf:
    """Nothing that sounds between these moments is for us (ms)."""

    begin: float
    end: float


@dataclass(frozen=True)
class TakeNote:
    """Keep what is said next as a note: its sound in this file ("" none), its text in the answer."""

    file: str


@dataclass(frozen=True)
class Leave:
    """Leave."""


ToListener: TypeAlias = Allow | Deaf | TakeNote | Leave


@dataclass(frozen=True)
class Understood:
    """One phrase: see `session.heard.Heard`; moments on the common clock (ms)."""

    name: str
    number: float | None
    text: str
    begin: float
    end: float
    score: float
    margin: float
    number_margin: float
    over: float = 0.0
    """How much stronger the words were than the room (dB)."""


@dataclass(frozen=True)
class Noted:
    """A note: what was understood of it, and its file, "" where none was written. `spoken`: whether anything was said."""

    text: str
    file: str
    spoken: bool


@dataclass(frozen=True)
class Alive:
    """It hears: told about twice a second. `room` is how strong all is that is no speech, dB of full scale."""

    room: float
    speaking: bool


@dataclass(frozen=True)
class Gone:
    """Its last words: there is no microphone, no model, or the source is at its end."""

    why: str


KNOCK = "knock"
"""The name of three knocks, as `session.said` has it."""
AT_END = "the file is at its end"
"""The last words of a listener that has heard a file."""

FromListener: TypeAlias = Understood | Noted | Alive | Gone

_ALL = (Allow, Deaf, TakeNote, Leave, Understood, Noted, Alive, Gone)
_KINDS: dict[str, type[Any]] = {kind.__name__.lower(): kind for kind in _ALL}


def line_of(one: ToListener | FromListener) -> str:
    """A message or an answer as a line."""
    return json.dumps({"is": type(one).__name__.lower(), **asdict(one)}) + "\n"


def read_line(line: str) -> ToListener | FromListener:
    """What a line says; ValueError where it is nothing known."""
    try:
        values = json.loads(line)
        kind = _KINDS[values.pop("is")]
        if kind is Allow:
            values["names"] = tuple(values["names"])
        one: ToListener | FromListener = kind(**values)
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError(f"no message: {line!r}") from error
    return one
