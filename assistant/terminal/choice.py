"""Which terminals can be kept dark and how colours are written for them: by name first, then by what they answered.

A refusal is one sentence that says what to do. A doubt is a caution, for the program to show once.
"""

from collections.abc import Mapping
from typing import NamedTuple

from assistant.terminal.probe import Answers

_PLAIN = "or add --plain, which shows text and is not dark"
_TRUE = frozenset(["xterm-kitty", "alacritty", "foot", "xterm-ghostty", "wezterm"])
"""Terminal types (terminfo entries) whose every version has 24-bit colour."""
_SHARING = ("tmux", "screen")
_SHARED = ("TMUX", "STY", "ZELLIJ")
"""What multiplexers put into the environment of what runs in them."""
_UNGUARDED = (
    "The session goes on without a guard: only the program itself keeps to red, and a crash can light the screen. Cover it."
)


class Refused(Exception):
    """This terminal cannot be made dark; the text is the sentence for the printer."""


class Terminal(NamedTuple):
    """How colours are written (see `inks.KINDS`), whether it is the Linux console, and what could not be proved."""

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
