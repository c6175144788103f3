"""The few keys that are not the button, each by its name: what it does, and the words for the footer and the help.

A printer may give every one of them another key; whatever is not among them is a tap.
"""

from collections.abc import Mapping
from typing import NamedTuple


class Named(NamedTuple):
    """A key's usual place, its word in the footer, its line in the help, and the line that it begins to type, if any."""

    usual: str
    label: str
    help: str
    types: str = ""


NAMES: dict[str, Named] = {
    "help": Named("?", "help", "this help"),
    "again": Named("a", "again", "say it again"),
    "how_long": Named("l", "how long", "how long, and where all is"),
    "hold": Named("h", "hold/go", "hold the plan, or go on"),
    "undo": Named("u", "undo", "undo the last tap"),
    "void": Named("v", "void", "void the sheet in hand, or a number: enter", "void "),
    "moved": Named("m", "moved", "it went in so long ago: seconds, enter", "moved "),
    "note": Named("n", "note", "a note, enter", "note "),
    "reading": Named("t", "reading", "a temperature: developer 19.5, enter", "reading "),
    "pick": Named("p", "pick", "the strip to print by: a number, enter", "pick "),
    "level": Named("b", "brightness", "the screen darker, off, on again"),
    "end": Named("e", "end", "end the session, twice"),
}
"""Name -> what it is; the order is that of the footer, the most wanted first."""
USUAL: dict[str, str] = {name: named.usual for name, named in NAMES.items()}


def footer(keys: Mapping[str, str] = USUAL) -> tuple[str, ...]:
    """The keys in a few words each."""
    return ("any key: tap", *(f"{key} {NAMES[name].label}" for name, key in keys.items()))


def helped(keys: Mapping[str, str] = USUAL) -> tuple[str, ...]:
    """The keys in whole phrases."""
    lines = (f"{key} {NAMES[name].help}" for name, key in keys.items())
    button = ("any key or click: what `tap` says", "held: undo, and hold the plan")
    return (*button, *lines, "esc leave the line")
