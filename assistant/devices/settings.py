"""The printer's settings: a TOML file with every key explained; a wrong one is named with its line."""

import sys
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import Any

from assistant.places import settings_folder, shipped

FILE = "settings.toml"
WRITTEN = """\
# traycall's settings. Every line may be left out; what stands here is what holds without it.

voice = "en-us+f5"      # a voice of the system; `traycall voice` lists and tries them
rate = 165              # words a minute, 80 to 260
pitch = 40              # 0 to 99
volume = 1.0            # 0.1 to 1.0, of words and tones
player = "auto"         # auto, stream (exact, needs traycall[stream]) or simpleaudio
offset = 0              # ms that every sound is sent early, for outputs that delay (Bluetooth): 0 to 1000
quiet = false           # true: no words but those of act-now calls
"""


class BadSetting(ValueError):
    """A settings file that can't be used; the message says where and what to write."""


@dataclass(frozen=True)
class Settings:
    """How things sound: voice, words a minute, pitch, volume, player, ms that sounds are sent early, quiet mode."""

    voice: str = "en-us+f5"
    rate: int = 165
    pitch: int = 40
    volume: float = 1.0
    player: str = "auto"
    offset: int = 0
    quiet: bool = False


_RANGES: dict[str, tuple[float, float]] = {"rate": (80, 260), "pitch": (0, 99), "volume": (0.1, 1.0), "offset": (0, 1000)}
_CHOICES = {"player": ("auto", "stream", "simpleaudio")}


def read_settings(file: Path | None = None) -> Settings:
    """The settings of a file (default: the printer's); the defaults where there is none. BadSetting names the line."""
    file = file or settings_folder() / FILE
    if not file.exists():
        return Settings()
    text = file.read_text(encoding="utf-8", errors="replace")
    found = _parsed(file, text)
    known = {field.name: type(getattr(Settings(), field.name)) for field in fields(Settings)}
    for key, value in found.items():
        _check(file, text, key, value, known)
    return Settings(**found)


def _parsed(file: Path, text: str) -> dict[str, Any]:
    if sys.version_info >= (3, 11):
        import tomllib
    else:
        import tomli as tomllib
    try:
        return dict(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise BadSetting(f"{file}: {error}: every line is a key, =, and a value") from None


def _check(file: Path, text: str, key: str, value: Any, known: dict[str, type]) -> None:
    line = next((i for i, row in enumerate(text.splitlines(), 1) if row.split("=")[0].strip() == key), 1)
    where = f"{file}:{line}: {key}"
    if key not in known:
        raise BadSetting(f"{where} is not a setting: known are {', '.join(known)}")
    wanted: tuple[type, ...] = (int, float) if known[key] is float else (known[key],)
    if not isinstance(value, wanted) or (isinstance(value, bool) and known[key] is not bool):
        raise BadSetting(f"{where} = {value!r}: write {'true or false' if known[key] is bool else known[key].__name__}")
    if key in _RANGES and not _RANGES[key][0] <= float(str(value)) <= _RANGES[key][1]:
        raise BadSetting(f"{where} = {value}: from {_RANGES[key][0]:g} to {_RANGES[key][1]:g}")
    if key in _CHOICES and value not in _CHOICES[key]:
        raise BadSetting(f"{where} = {value!r}: one of {', '.join(_CHOICES[key])}")


def helper_settings() -> dict[str, Any]:
    """The settings as the sound helper takes them."""
    settings = asdict(read_settings())
    return {
        **settings,
        "offset": -settings["offset"],
        "sounds": str(shipped("sounds")),
        "own": str(settings_folder() / "sounds"),
    }
