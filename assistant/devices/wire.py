"""What the app and its sound helper tell each other: one line of JSON a message, the same types at both ends.

The app's messages carry moments in ms since the session began; `Zero` ties them to the clock that both processes read
(`time.monotonic()`, the same for all processes of a computer). The helper's answers are in that clock's seconds.
"""

import json
from dataclasses import asdict, dataclass
from typing import Any, TypeAlias

from assistant.score.cues import Cue


@dataclass(frozen=True)
class HelperSettings:
    """How the helper sounds, told to it at its start."""

    voice: str
    rate: int
    """Words a minute."""
    pitch: int
    """0 to 99."""
    volume: float
    """0 to 1, of words and tones."""
    player: str
    """auto, stream or simpleaudio."""
    output: str
    """The output by the sound system's name for it, "" for the system's own choice."""
    quiet: bool
    """Whether only what has to be acted on now is sounded."""
    early: int
    """ms that every sound is sent early, for outputs that delay it."""
    sounds: str
    """Folder of the tones that came with the program."""
    own: str
    """Folder of the printer's own tones."""
    spoken: str
    """Folder where phrases are kept."""

    def as_line(self) -> str:
        """As the helper takes them: one word of its call."""
        return json.dumps(asdict(self))

    @classmethod
    def from_line(cls, line: str) -> "HelperSettings":
        """Read back what `as_line` wrote."""
        return cls(**json.loads(line))


@dataclass(frozen=True)
class Zero:
    """The session began at this moment of the common clock, ms."""

    ms: float


@dataclass(frozen=True)
class Give:
    """All that a voice has to say from now on."""

    voice: int
    cues: tuple[Cue, ...]


@dataclass(frozen=True)
class Hush:
    """Nothing more of this voice."""

    voice: int


@dataclass(frozen=True)
class Say:
    """One cue at once."""

    cue: Cue


@dataclass(frozen=True)
class Prepare:
    """Have these spoken beforehand."""

    words: tuple[str, ...]


@dataclass(frozen=True)
class Listening:
    """Somebody begins to speak, or has ended: talk waits for that."""

    speaking: bool


@dataclass(frozen=True)
class Ping:
    """How are you? Answered by `Health`."""


@dataclass(frozen=True)
class Quit:
    """What sounds comes to its end, and so does the helper."""


ToHelper: TypeAlias = Zero | Give | Hush | Say | Prepare | Listening | Ping | Quit
_KINDS: tuple[type[ToHelper], ...] = (Zero, Give, Hush, Say, Prepare, Listening, Ping, Quit)
_NAMED = {kind.__name__.lower(): kind for kind in _KINDS}


@dataclass(frozen=True)
class Health:
    """The helper's answer while it has a player."""

    player: str
    """stream or simpleaudio."""
    complaint: str
    """What is wrong with the voice or the printer's own tones, "" when nothing."""
    age: float
    """How long the device has not answered, seconds; 0 when all is well."""
    since: float
    """Since when the device took all that was promised without a break; up to `until`. Seconds of the common clock."""
    until: float
    missed: tuple[int, ...] = ()
    """Moments (ms since the session began) of act-now cues that it could not sound in time since its last answer."""


@dataclass(frozen=True)
class NoPlayer:
    """The helper's last words: there is no device, or it is lost."""

    why: str


@dataclass(frozen=True)
class Speaks:
    """Words are on their way to the device and sound between these moments (ms since the session began)."""

    begin: int
    end: int


FromHelper: TypeAlias = Health | NoPlayer | Speaks


def message_line(message: ToHelper) -> str:
    """A message as a line."""
    values: dict[str, Any] = {key: getattr(message, key) for key in message.__dataclass_fields__}
    if isinstance(message, Give):
        values["cues"] = [_row(cue) for cue in message.cues]
    elif isinstance(message, Say):
        values["cue"] = _row(message.cue)
    return json.dumps({"do": type(message).__name__.lower(), **values}) + "\n"


def read_message(line: str) -> ToHelper:
    """A message from its line; ValueError where it is none."""
    try:
        values = json.loads(line)
        kind = _NAMED[values.pop("do")]
        if kind is Give:
            return Give(values["voice"], tuple(Cue(*row) for row in values["cues"]))
        if kind is Say:
            return Say(Cue(*values["cue"]))
        if kind is Prepare:
            return Prepare(tuple(values["words"]))
        return kind(**values)
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError(f"no message: {line!r}") from error


def answer_line(answer: FromHelper) -> str:
    """An answer as a line."""
    return json.dumps(asdict(answer)) + "\n"


def read_answer(line: str) -> FromHelper:
    """An answer from its line; ValueError where it is none."""
    try:
        values = json.loads(line)
        if "begin" in values:
            return Speaks(**values)
        return NoPlayer(**values) if "why" in values else Health(**{**values, "missed": tuple(values["missed"])})
    except (KeyError, TypeError) as error:
        raise ValueError(f"no answer: {line!r}") from error


def _row(cue: Cue) -> list[Any]:
    return [cue.at, cue.kind, cue.words, cue.copy, cue.step]
