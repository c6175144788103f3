"""A pedal, as it was once pressed for us: which key it sends, and whether holding it down can be seen.

Learns from touches with their times and keeps what it learned in the printer's settings folder. Reads no keys.
"""

import json
from dataclasses import asdict, dataclass
from itertools import pairwise
from pathlib import Path
from statistics import median
from typing import Literal, NamedTuple

from assistant.buttons.button import QUIET
from assistant.places import settings_folder
from assistant.plain_files import read_text, write_whole

FILE = "pedal.json"
"""Its name in the settings' folder."""
MOST_BYTES = 1_000_000
"""Read of the file at most: some hundred times what one holds."""
_SPARE = 100
"""ms after its first repeat in which a key may still be late: common practice, no source."""
_SLOWEST = 10_000
"""ms: no key repeats more slowly; what a kept file says beyond it was never learned."""

KeyWay = Literal["release", "repeat", "once"]
"""How a key shows that it is held: its release is told, it repeats, or not at all."""


class Touch(NamedTuple):
    """What one event said: the key or mouse button by its name, what it did, and when (ms)."""

    key: str
    kind: Literal["down", "again", "up"]
    at: int


class BadPedal(ValueError):
    """A kept pedal that cannot be read; the message says where and what to do."""


@dataclass(frozen=True)
class Pedal:
    """The key it sends, how holding shows (its release, its repeats, or not at all), first repeat and pace in ms."""

    key: str
    way: KeyWay
    first_repeat: int = 0
    every: int = 0

    @property
    def quiet(self) -> int:
        """How long (ms) it must be quiet before a touch counts: longer than the gap before its first repeat."""
        return max(QUIET, self.first_repeat + _SPARE) if self.way == "repeat" else QUIET

    def described(self) -> str:
        """What it sends and what that means, in one sentence."""
        if self.way == "release":
            return f"It sends {self.key}, and its release is seen: pressing taps, holding holds the plan."
        if self.way == "repeat":
            return (
                f"It sends {self.key} again while it is down, first after {self.first_repeat} ms and then every "
                f"{self.every} ms: pressing taps, holding holds the plan."
            )
        return (
            f"It sends {self.key} once, however long it is down: pressing taps, but holding cannot be seen. "
            "The h key holds the plan; a pedal set to the left mouse button could do it too."
        )


def learned(held: list[Touch]) -> Pedal:
    """What one long press shows. ValueError if there is none in it."""
    downs = [touch for touch in held if touch.kind == "down"]
    if not downs:
        raise ValueError("nothing was pressed")
    key = downs[0].key
    if any(touch.kind == "up" for touch in held):
        return Pedal(key, "release")
    gaps = [later.at - earlier.at for earlier, later in pairwise(downs)]
    if len(gaps) < 3:
        return Pedal(key, "once")
    return Pedal(key, "repeat", gaps[0], round(median(gaps[1:])))


def keep(pedal: Pedal, file: Path | None = None) -> Path:
    """Write it where `kept` finds it; the file."""
    file = file or settings_folder() / FILE
    write_whole(file, json.dumps(asdict(pedal), indent=1).encode() + b"\n")
    return file


def kept(file: Path | None = None) -> Pedal | None:
    """The pedal that was learned last; None if none was. BadPedal if its file is not as it was written."""
    file = file or settings_folder() / FILE
    try:
        values = json.loads(read_text(file, MOST_BYTES))
        pedal = Pedal(**values)
        numbers = (pedal.first_repeat, pedal.every)
        if not isinstance(pedal.key, str) or pedal.way not in ("release", "repeat", "once"):
            raise ValueError("no such pedal")
        if not all(type(number) is int and 0 <= number <= _SLOWEST for number in numbers):
            raise ValueError("no such pace")
    except FileNotFoundError:
        return None
    except (OSError, ValueError, TypeError) as error:
        raise BadPedal(f"{file}: this pedal can't be read ({error}): press it again with `traycall pedal`") from None
    return pedal
