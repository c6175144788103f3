"""The printer's settings: a TOML file with every key explained; a wrong one is named with its line."""

import json
import re
import sys
from dataclasses import asdict, dataclass, field, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from assistant.places import home, settings_folder, shipped
from assistant.plain_files import read_text
from assistant.planning.hand_times import Hands
from assistant.session.named_keys import KEYS, VOICE_KEYS
from assistant.session.wordings import WORDINGS, in_force, wrong_wording

if TYPE_CHECKING:  # settings are read before anything is seen or sounded
    from assistant.devices.wire import HelperSettings

FILE = "settings.toml"
"""Its name in the settings' folder."""
MOST_BYTES = 100_000
"""A settings file is no larger: the one that is written has 2 kB."""
ALL_KEYS = {**KEYS, **VOICE_KEYS}
"""The named keys of every session and of one worked by voice."""
ABOUT: dict[str, str] = {
    "voice": "a voice of the system; `traycall voice` lists them, `traycall voice NAME` tries one",
    "rate": "words a minute, 80 to 260; slower is not clearer",
    "pitch": "0 to 99",
    "volume": "0.1 to 1.0, of words and tones",
    "player": "auto, stream (exact; needs traycall[stream]) or simpleaudio",
    "output": "the output by the name that the sound system gives it; empty is the system's own choice",
    "offset": "ms that every sound is sent early, for outputs that delay it (Bluetooth), 0 to 1000; "
    "`traycall sounds --align` measures it",
    "quiet": "true: only what has to be acted on now, and the ticks of the light",
    "ears": "true: every session is worked by voice too, as with `run --ears` (needs traycall[voice])",
    "microphone": "the input by the name that the sound system gives it; empty is the system's own choice",
    "attention": 'true: nothing is done without "listen to me" before it, for rooms with a radio',
    "knock": "true: three knocks on the bench are a tap too where it is worked by voice, but never for a light",
    "recipes": "the folder of your own recipes; empty is the folder recipes beside this file",
    **{f"keys.{name}": 'a letter, or a name like "f5"' for name in ALL_KEYS},
    **{f"say.{name}": "your own words for it, of three syllables or more" for name in WORDINGS},
    "hands.slack": "free before every exact lift, and in hand in every other bath",
    "hands.pace": "until your hands answer, in everything they do",
    "hands.place": "a sheet out of the box and under the negative",
    "hands.carry": "from there into the first bath",
    "hands.change": "to dry your hands and cross over to the paper, or back",
    "hands.turn": "one turn of a sheet in its bath",
}
"""Setting -> what it does: for the file and for the screen."""
_BEGUN = {
    "keys.": "# The keys that are no tap.",
    "say.": "# What is said where a session is worked by voice; `traycall hear` tells how well yours is understood.",
    "hands.": "# What your hands need, in seconds, where copies overlap; a recipe's own `hands` come first.",
}
"""What stands over a group of settings."""
_HEAD = """\
# traycall's settings. A line that begins with # is not read: take the # away to change what it says.
# What stands here is what holds without it.
"""
_TAIL = """\
# Sounds of your own: put a WAV file (mono, 16 bit, 44100 Hz, up to 3 s) into the folder `sounds` beside this file,
# named as `traycall sounds` names it, for example now.wav.
"""
_WIDE = 24
"""Columns of a key and its value; what it does stands behind them."""


class BadSetting(ValueError):
    """A settings file that can't be used; the message says where and what to write."""


@dataclass(frozen=True)
class Settings:
    """How things sound: voice, words a minute (`rate`), pitch (0 to 99), volume (to 1), player, output, quiet mode, and how many
    ms sounds are sent early (`offset`).

    `ears`: whether sessions are worked by voice, through the `microphone`; `attention`: nothing without "listen to me"; `knock`:
    three knocks are a tap.
    `recipes` is the folder of the printer's own recipes, "" for the usual one. `keys` are the named keys that were given
    another place (see `KEYS`), `say` the printer's own wordings (see `wordings`), `hands` the seconds that hands need (`Hands`).
    """

    voice: str = "en-us+f5"
    rate: int = 165
    pitch: int = 40
    volume: float = 1.0
    player: str = "auto"
    output: str = ""
    offset: int = 0
    quiet: bool = False
    ears: bool = False
    microphone: str = ""
    attention: bool = False
    knock: bool = False
    recipes: str = ""
    keys: dict[str, str] = field(default_factory=dict)
    say: dict[str, str] = field(default_factory=dict)
    hands: dict[str, float] = field(default_factory=dict)

    @property
    def own_hands(self) -> Hands:
        """What this printer's hands need, where no recipe says otherwise."""
        return replace(Hands(), **{name: round(seconds * 1000) for name, seconds in self.hands.items()})

    @property
    def bound(self) -> dict[str, str]:
        """Every named key of a session without ears."""
        return {**KEYS, **{name: key for name, key in self.keys.items() if name in KEYS}}

    @property
    def bound_with_ears(self) -> dict[str, str]:
        """Every named key of a session worked by voice."""
        return {**KEYS, **VOICE_KEYS, **self.keys}


_RANGES: dict[str, tuple[float, float]] = {"rate": (80, 260), "pitch": (0, 99), "volume": (0.1, 1.0), "offset": (0, 1000)}
"""Setting -> from and to what it may be, in its own unit (see `ABOUT`)."""
CHOICES = {"player": ("auto", "stream", "simpleaudio")}
"""Setting -> what it is one of."""
_WANTED = {
    bool: "true or false",
    int: "a whole number",
    float: "a number",
    str: 'words in quotes, like "auto"',
    dict: 'each one by its name, like keys.hold = "f5" or hands.pace = 2',
}
LONGEST_MOVEMENT = 600
"""Nobody's hands need longer for one thing (s); in a recipe too (`recipe.fields.LONGEST_ALLOWANCE`, which is not read here)."""


def settings_file() -> Path:
    """Where the printer's settings are; written with every key explained where there are none yet."""
    file = settings_folder() / FILE
    if not file.exists():
        file.write_text(explained(), encoding="utf-8")
    return file


def recipes_folder() -> Path:
    """The folder of the printer's own recipes, by the settings; it need not be there yet."""
    try:
        named = read_settings().recipes
    except BadSetting:  # said where settings are used; here a recipe is looked for
        named = ""
    return Path(named).expanduser() if named else settings_folder() / "recipes"


def explained() -> str:
    """A settings file that changes nothing: every key with its usual value, and what it does."""
    rows, group = [_HEAD], ""
    for key, about in ABOUT.items():
        here = next((one for one in _BEGUN if key.startswith(one)), "")
        if here != group:
            rows += ["", _BEGUN[here]]
            group = here
        shown = json.dumps(value_of(Settings(), key))  # words, numbers, true and false are written alike in both
        rows.append(f"{f'# {key} = {shown}':<{_WIDE}} # {about}")
    return "\n".join([*rows, "", _TAIL])


def value_of(settings: Settings, key: str) -> str | int | float | bool:
    """What a setting is, by its key in the file; hands in seconds."""
    group, _, name = key.partition(".")
    if group == "keys":
        return settings.bound_with_ears[name]
    if group == "say":
        return in_force(settings.say)[name][0]
    if group == "hands":
        seconds = asdict(settings.own_hands)[name] / 1000
        return int(seconds) if seconds == int(seconds) else float(seconds)
    found: str | int | float | bool = getattr(settings, key)
    return found


def read_settings(file: Path | None = None) -> Settings:
    """The settings of a file (default: the printer's); the defaults where there is none. BadSetting names the line."""
    file = file or settings_folder() / FILE
    try:
        text = read_text(file, MOST_BYTES)
    except FileNotFoundError:
        return Settings()
    except (OSError, UnicodeDecodeError) as error:
        why = getattr(error, "strerror", None) or error
        raise BadSetting(f"{file}: these settings can't be read: {why}") from None
    found = _parsed(file, text)
    complaints = [(key, wrong) for key, value in found.items() if (wrong := _wrong(key, value))]
    if complaints:
        raise BadSetting("\n".join(f"{file}:{_line(text, key)}: {wrong}" for key, wrong in complaints))
    return Settings(**found)


def checked(settings: Settings) -> Settings:
    """The same settings; BadSetting for a value that the file could not have."""
    complaints = [wrong for key, value in asdict(settings).items() if (wrong := _wrong(key, value))]
    if complaints:
        raise BadSetting("\n".join(complaints))
    return settings


def _parsed(file: Path, text: str) -> dict[str, Any]:
    if sys.version_info >= (3, 11):
        import tomllib
    else:
        import tomli as tomllib
    try:
        return dict(tomllib.loads(text))
    except RecursionError:
        raise BadSetting(f"{file}:1: this is no setting (it is nested too deeply): write a key, =, and a value") from None
    except tomllib.TOMLDecodeError as error:
        at = re.search(r"line (\d+)", str(error))
        line = int(at[1]) if at else max(1, len(text.splitlines()))
        raise BadSetting(f"{file}:{line}: not a setting ({error}): write a key, =, and a value") from None


def _line(text: str, key: str) -> int:
    rows = enumerate(text.splitlines(), 1)
    return next((i for i, row in rows if re.match(rf"""\s*\[?\s*["']?{re.escape(key)}\b""", row)), 1)


def _wrong(key: str, value: Any) -> str:
    known = {one.name: type(getattr(Settings(), one.name)) for one in fields(Settings)}
    if key not in known:
        return f"{key} is not a setting: known are {', '.join(known)}"
    kind = known[key]
    if key == "keys" and isinstance(value, dict):
        return _wrong_keys(value)
    if key == "say" and isinstance(value, dict):
        return _wrong_say(value)
    if key == "hands" and isinstance(value, dict):
        return _wrong_hands(value)
    fits = isinstance(value, int | float if kind is float else kind) and (kind is bool or not isinstance(value, bool))
    if not fits:
        return f"{key} = {value!r}: write {_WANTED[kind]}"
    low, high = _RANGES.get(key, (value, value))
    if not low <= value <= high:
        return f"{key} = {value}: write {low:g} to {high:g}"
    if isinstance(value, str) and not value.isprintable():
        return f"{key} = {value!r}: it has a character that can't be printed: type it again"
    if value not in CHOICES.get(key, (value,)):
        return f"{key} = {value!r}: write one of {', '.join(CHOICES[key])}"
    return ""


def _wrong_keys(keys: dict[str, Any]) -> str:
    for name, key in keys.items():
        if name not in ALL_KEYS:
            return f"keys.{name} is no named key: known are {', '.join(ALL_KEYS)}"
        if not isinstance(key, str) or not re.fullmatch(r"[!-~]|[a-z][a-z0-9_+]{1,20}", key):
            return f'keys.{name} = {key!r}: write a letter or a key\'s name, like "f5"'
    bound = {**ALL_KEYS, **keys}
    twice = next((one for one, key in bound.items() if list(bound.values()).count(key) > 1), None)
    return f'two keys are "{bound[twice]}": give {twice} another one' if twice else ""


def _wrong_say(say: dict[str, Any]) -> str:
    for name, wording in say.items():
        if not isinstance(wording, str):
            return f"say.{name} = {wording!r}: write {_WANTED[str]}"
        if wording not in WORDINGS.get(name, ()) and (wrong := wrong_wording(name, wording, say)):
            return f'say.{name} = "{wording}": {wrong}'
    return ""


def _wrong_hands(hands: dict[str, Any]) -> str:
    known = [one.name for one in fields(Hands)]
    for name, seconds in hands.items():
        if name not in known:
            return f"hands.{name} is not known: known are {', '.join(known)}"
        if isinstance(seconds, bool) or not isinstance(seconds, int | float) or not 0 <= seconds <= LONGEST_MOVEMENT:
            return f"hands.{name} = {seconds!r}: write seconds, 0 to {LONGEST_MOVEMENT}"
    return ""


def helper_settings(settings: Settings | None = None) -> "HelperSettings":
    """The settings (default: the printer's, or BadSetting) as the sound helper takes them, with its folders."""
    from assistant.devices.wire import HelperSettings

    own = settings or read_settings()
    return HelperSettings(
        voice=own.voice,
        rate=own.rate,
        pitch=own.pitch,
        volume=own.volume,
        player=own.player,
        output=own.output,
        quiet=own.quiet,
        early=own.offset,
        sounds=str(shipped("sounds")),
        own=str(settings_folder() / "sounds"),
        spoken=str(home() / "spoken"),
    )
