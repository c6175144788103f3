"""Asks a terminal what it really does, and reads its answers. Knows nothing of what follows from them.

The questions go out when the screen is black and before any program reads the keyboard, since a late answer would be
taken for key presses. The last one (primary device attributes) is answered by every terminal: its answer ends the wait.
"""

import re
import select
import time
from collections.abc import Callable
from typing import NamedTuple

WAIT_MS = 400
_MARK = 7
"""A red no terminal starts with, set without painting anything, to see whether 24-bit colour survives."""

QUESTIONS = (
    "\x1b]10;?\x1b\\\x1b]11;?\x1b\\\x1b]12;?\x1b\\\x1b]4;2;?\x1b\\"  # letters, ground, cursor, the palette's green
    f"\x1b[0;38;2;{_MARK};0;0;48;2;0;0;0m\x1bP$qm\x1b\\"  # which colours are set now?
    "\x1b[>q\x1b[c"  # name and version; device attributes
)
_COLOUR = r"\x1b\]{};rgba?:([0-9a-fA-F]+)/([0-9a-fA-F]+)/([0-9a-fA-F]+)"
_LAST = re.compile(r"\x1b\[\?[\d;]*c")
_LOOKS = re.compile(r"\x1bP[01]\$r([\d;:]*)m")
_SURVIVED = re.compile(rf"38[;:]2[;:]+(?:\d*:)?{_MARK}[;:]0[;:]0(?:\D|\Z)")
_NAME = re.compile(r"\x1bP>\|([^\x1b]*)")


class Answers(NamedTuple):
    """What a terminal said."""

    true_colour: bool | None
    """None: it did not say."""
    red_ground: bool
    """Letters and cursor are pure red and the ground black, as they were set."""
    red_palette: bool
    """The palette's green has become red, as it was set."""
    name: str


def ask(write: Callable[[str], object], read: Callable[[], bytes], keyboard: int) -> Answers | None:
    """Ask, and wait at most `WAIT_MS` for the last answer; None from a terminal that says nothing at all."""
    write(QUESTIONS)
    said = ""
    until = time.monotonic() + WAIT_MS / 1000
    while not _LAST.search(said) and (left := until - time.monotonic()) > 0:
        if select.select([keyboard], [], [], left)[0]:
            came = read()
            if not came:
                break
            said += came.decode("latin-1")
    return understood(said)


def understood(said: str) -> Answers | None:
    """The answers in what a terminal said; keys pressed meanwhile are passed over."""
    if "\x1b" not in said:
        return None
    looks, name = _LOOKS.search(said), _NAME.search(said)
    ground = _colour(said, "11")
    return Answers(
        true_colour=bool(_SURVIVED.search(looks[1])) if looks else None,
        red_ground=ground == (0, 0, 0) and _red(_colour(said, "10")) and _red(_colour(said, "12")),
        red_palette=_red(_colour(said, "4;2")),
        name=name[1] if name else "",
    )


def _colour(said: str, number: str) -> tuple[float, ...] | None:
    found = re.search(_COLOUR.format(number), said)
    return tuple(int(part, 16) / (16 ** len(part) - 1) for part in found.groups()) if found else None


def _red(colour: tuple[float, ...] | None) -> bool:
    return colour is not None and not any(colour[1:])
