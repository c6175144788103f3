"""What every screen's rows are made of: a row of text and how strongly it is lit, packing, fitting, spans. Pure."""

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from assistant.trade.foreign_text import as_text

Strength = Literal["bright", "text", "dim"]
"""How strongly letters are lit; `pane.SHADES` has their reds."""


@dataclass(frozen=True)
class Row:
    """One line of text, already fitted to the window, and for every letter of it how strongly it is lit (b, t, d)."""

    text: str = ""
    shades: str = ""


def packed(phrases: Sequence[str], width: int, between: str = "   ") -> list[str]:
    """Phrases set on as few rows as they need; none is broken unless it alone is wider than the window."""
    rows = [""]
    for phrase in phrases:
        longer = f"{rows[-1]}{between}{phrase}" if rows[-1] else phrase
        if len(longer) <= width:
            rows[-1] = longer
        else:
            rows += [fit(phrase, width)]
    return rows if rows[0] else rows[1:] or [""]


def minutes(ms: int) -> str:
    """A span as `m:ss` or `h:mm:ss`; what is left is rounded up, so that 0:00 is the end and not before it."""
    seconds = -(-ms // 1000)
    hours, rest = divmod(max(0, seconds), 3600)
    return f"{hours}:{rest // 60:02}:{rest % 60:02}" if hours else f"{rest // 60}:{rest % 60:02}"


def gone(ms: int) -> str:
    """A span that has gone by, as `minutes` has it: a second counts once it is over."""
    return minutes(ms // 1000 * 1000)


def fit(text: str, width: int) -> str:
    """The text, its end left out where it is wider."""
    return text if len(text) <= width else text[: max(0, width - 1)] + "…"


def wrapped(lines: Sequence[str], width: int) -> list[str]:
    """Lines broken at words, each rest set in by two more than its line; nothing in them acts on the terminal.

    What stands between backquotes is to be copied: it is broken only where it fits no line of its own.
    """
    found = []
    for line in map(as_text, lines):
        inset = " " * (len(line) - len(line.lstrip()) + 2)
        whole = _held(line, width - len(inset))
        rows = textwrap.wrap(whole, width, subsequent_indent=inset, break_on_hyphens=False) or [""]
        found += [row.replace(_BLANK, " ") for row in rows]
    return found


_QUOTED = re.compile(r"\S*`[^`]+`\S*")
_BLANK = "\0"
"""Stands for a blank at which nothing is broken: in no line that `as_text` let through."""


def _held(line: str, width: int) -> str:
    for quoted in _QUOTED.findall(line):
        if len(quoted) <= width:
            line = line.replace(quoted, quoted.replace(" ", _BLANK))
    return line
