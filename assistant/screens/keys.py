"""The few keys that are not the button, each by its name: what it does, and the words for the footer and the help.

A printer may give every one of them another key; whatever is not among them is a tap.
"""

from collections.abc import Mapping
from typing import NamedTuple

from assistant.session.commands import KEYS


class Named(NamedTuple):
    """A key's word in the footer, its line in the help, and the line that it begins to type, if any."""

    label: str
    help: str
    types: str = ""


NAMES: dict[str, Named] = {
    "help": Named("help", "this help"),
    "again": Named("again", "say it again"),
    "how_long": Named("how long", "how long, and where all is"),
    "hold": Named("hold/go", "hold the plan, or go on"),
    "undo": Named("undo", "undo the last tap"),
    "void": Named("void", "void the sheet in hand, or a number: enter", "void "),
    "moved": Named("moved", "it went in so long ago: seconds, enter", "moved "),
    "note": Named("note", "a note, enter", "note "),
    "reading": Named("reading", "a temperature: developer 19.5, enter", "reading "),
    "pick": Named("pick", "the strip to print by: a number, enter", "pick "),
    "another": Named("more", "one more sheet: a print's name, its time, enter", "another "),
    "new_time": Named("time", "another time: 5-8 14s, enter", "time "),
    "level": Named("brightness", "the screen darker, off, on again"),
    "end": Named("end", "end the session, twice"),
}
"""Name -> how it is shown."""


def footer(keys: Mapping[str, str] = KEYS) -> tuple[str, ...]:
    """The keys in a few words each."""
    return ("any key: tap", *(f"{key} {NAMES[name].label}" for name, key in keys.items()))


def helped(keys: Mapping[str, str] = KEYS) -> tuple[str, ...]:
    """The keys in whole phrases."""
    lines = (f"{key} {NAMES[name].help}" for name, key in keys.items())
    button = ("any key or click: what `tap` says", "held: undo, and hold the plan")
    return (*button, *lines, "esc leave the line")
