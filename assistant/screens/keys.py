"""The few keys that are not the button, each by its name: what it does, and the words for the help and for the line it opens.

A printer may give every one of them another key; whatever is not among them is a tap.
"""

from collections.abc import Mapping
from typing import NamedTuple

from assistant.session.named_keys import KEYS


class Named(NamedTuple):
    """A key's line in the help; the line that it begins to type, if any, and what is to be typed there."""

    help: str
    types: str = ""
    form: str = ""


NAMES: dict[str, Named] = {
    "help": Named("this help, esc: close"),
    "again": Named("say it again"),
    "how_long": Named("how long, and where all is"),
    "hold": Named("hold the plan, or go on"),
    "undo": Named("undo the last tap"),
    "void": Named("void a sheet: its number, enter", "void ", "a sheet's number, enter"),
    "moved": Named("it went in earlier: seconds, enter", "moved ", "seconds ago, enter"),
    "note": Named("a note, enter", "note ", "your words, enter"),
    "reading": Named("a temperature: developer 19.5, enter", "reading ", "tray degrees, enter"),
    "fresh": Named("a bath mixed fresh: its tray, enter", "fresh ", "a tray's name, enter"),
    "pick": Named("the strip to print by: a number, enter", "pick ", "a strip's number, enter"),
    "another": Named("one more: print, time, enter", "another ", "a print's name, its time, enter"),
    "new_time": Named("another time: 5-8 14s, enter", "time ", "sheets and time, enter"),
    "level": Named("the screen darker, off, on again"),
    "ears": Named("close the ears, or open them"),
    "end": Named("end, press twice"),
}
"""Name -> how it is shown."""


def helped(keys: Mapping[str, str] = KEYS) -> tuple[str, ...]:
    """The keys in whole phrases."""
    lines = (f"{key} {NAMES[name].help}" for name, key in keys.items())
    button = ("any key or click: what `tap` says", "held: undo, and hold the plan")
    return (*button, *lines, "esc leave the line", "close the window: kept for run --resume")
