"""What a terminal can do: its name's promise, what it says when asked, and whether it can be kept dark.

The questions go out when the screen is black and before any program reads the keyboard, since a late answer would be
taken for key presses. The last one (primary device attributes) is answered by every terminal: its answer ends the wait. A
refusal is one sentence that says what to do. A doubt is a caution, for the program to show once.
"""

import re
import select
import time
from collections.abc import Callable, Mapping
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


_PLAIN = "or add --plain, which shows text and is not dark"
_TRUE = frozenset(["xterm-kitty", "alacritty", "foot", "xterm-ghostty", "wezterm"])
"""Terminal types (terminfo entries) whose every version has 24-bit colour."""
_SHARING = ("tmux", "screen")
_SHARED = ("TMUX", "STY", "ZELLIJ")
"""What multiplexers put into the environment of what runs in them."""
_UNGUARDED = (
    "The session continues without a guard: the program keeps to red, but a crash can light the screen. Cover it."
)


class Refused(Exception):
    """This terminal cannot be made dark; the text is the sentence for the printer."""


class Terminal(NamedTuple):
    """How colours are written (see `sequences.KINDS`), whether it is the Linux console, and what could not be proved."""

    kind: str
    console: bool = False
    obeys: bool = False
    """It said itself that its own colours are red on black now."""
    caution: str = ""


def by_name(environment: Mapping[str, str]) -> Terminal:
    """The likely kind of terminal. Refused: one that shares its window, or has no colours to set."""
    name = environment.get("TERM", "")
    if any(environment.get(mark) for mark in _SHARED) or name.startswith(_SHARING):
        raise _shared()
    if name in ("", "dumb", "unknown"):
        raise Refused(
            f"This terminal (TERM={name}) has no colours that could be made red: "
            f"start traycall in a terminal window of its own, {_PLAIN}."
        )
    if name == "linux":
        return Terminal("16", console=True, obeys=True)
    if environment.get("COLORTERM", "").lower() in ("truecolor", "24bit") or name.endswith("-direct") or name in _TRUE:
        return Terminal("true")
    return Terminal("256" if "256color" in name else "16")


def settled(likely: Terminal, answers: Answers | None) -> Terminal:
    """The kind of terminal after it has been asked. Refused: sixteen colours of its own that cannot be set."""
    if likely.console:
        return likely
    if answers is None:
        answers = Answers(None, False, False, "")
    if answers.name.lower().startswith(_SHARING):
        raise _shared()
    kind = likely.kind
    if answers.true_colour is not None:
        kind = "true" if answers.true_colour else "256" if kind == "true" else kind
    if kind == "16" and not answers.red_palette:
        raise Refused(
            "This terminal has sixteen colours of its own, and its red may hold green: "
            f"use one with 256 colours (and TERM=xterm-256color), {_PLAIN}."
        )
    return Terminal(kind, obeys=answers.red_ground, caution="" if answers.red_ground else _UNPROVED)


def unguarded(asked: bool | None, refused: Refused | None = None) -> str:
    """What to say before a session that nobody guards; Refused, again, where a guard was asked for by name.

    `asked`: True with `--guard`, False with `--no-guard`, None where the printer said nothing and a guard is wished for.
    """
    if refused is not None and asked:
        raise refused
    return f"{refused} {_UNGUARDED}" if refused is not None else _UNGUARDED


_UNPROVED = (
    "This terminal did not say that its own colours are black now: "
    "set its background, border and pointer to black in its settings, or cover the screen."
)


def _shared() -> Refused:
    return Refused(
        "This window is shared by a multiplexer, whose status line and borders stay lit: "
        f"start traycall in a terminal window without it, {_PLAIN}."
    )
