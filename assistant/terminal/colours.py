"""What a program wants its next letters to look like, reduced to one red for the letters and one for the ground.

Reads every way of naming a colour (ECMA-48 SGR with ISO 8613-6 colours, in semicolons or colons) and knows nothing
of terminals. Reds here are on the design scale, 0 to 255; the level dims them later, in `sequences`. Which characters may
be drawn is said here too: no colour instruction reaches an emoji, the font paints it, so every character with the Unicode
property Emoji (UTS #51) goes, bar the digits, `#` and `*`, and with them all private and all pictographic planes.
Joiners, variation selectors and direction marks go as well: they are invisible and turn text into pictures.
"""

import re
from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple
from unicodedata import east_asian_width

RGB = tuple[int, int, int]
"""Red, green and blue, 0 to 255 each."""

TEXT = 200
"""Ordinary text, on the design scale: under the brightest, so that what is bright stands out."""
GROUND_MOST = 64
"""The lightest ground: a filled stripe lights more than all the text of a screen, so grounds stay a quarter."""
APART = 90
"""Two colours that fold onto one red are drawn at least this far apart on a ground that is not black, to be read on it. Common
practice, no source."""
DIM = 0.66
"""What is painted faint keeps so much of its distance from its ground: two thirds, as terminals draw it."""
_CUBE = (0, 95, 135, 175, 215, 255)
"""The six levels of each colour in the cube of 256 colours."""


class Pen(NamedTuple):
    """The look asked for; None is the terminal's own colour."""

    fore: RGB | None = None
    back: RGB | None = None
    swapped: bool = False
    dim: bool = False
    hidden: bool = False


_SWITCHES: dict[int, Callable[[Pen], Pen]] = {
    0: lambda pen: Pen(),
    2: lambda pen: pen._replace(dim=True),
    22: lambda pen: pen._replace(dim=False),
    7: lambda pen: pen._replace(swapped=True),
    27: lambda pen: pen._replace(swapped=False),
    8: lambda pen: pen._replace(hidden=True),
    28: lambda pen: pen._replace(hidden=False),
    39: lambda pen: pen._replace(fore=None),
    49: lambda pen: pen._replace(back=None),
}
"""The codes heeded, colours apart. Bold, italic, underline and blinking are not: some terminals show them as other colours."""


def indexed(number: int) -> RGB:
    """The colour of an index: the sixteen by their names, then xterm's cube and greys."""
    if number == 8:
        return (110, 110, 110)
    if number < 16:
        full = 190 if number < 8 else 255
        return (full if number & 1 else 0, full if number & 2 else 0, full if number & 4 else 0)
    return xterm_colour(number)


def xterm_colour(number: int) -> RGB:
    """An entry from 16 on, as xterm defines it: a cube of six steps, then greys."""
    if number < 232:
        red, rest = divmod(number - 16, 36)
        return (_CUBE[red], _CUBE[rest // 6], _CUBE[rest % 6])
    grey = 8 + 10 * (min(number, 255) - 232)
    return (grey, grey, grey)


@lru_cache(maxsize=4096)
def after(pen: Pen, parameters: str) -> Pen:
    """The pen after one SGR instruction, `parameters` being what stands between `CSI` and `m`."""
    groups = parameters.split(";")
    at = 0
    while at < len(groups):
        parts = _numbers(groups[at].split(":"))
        if parts[0] in (38, 48, 58):
            if len(parts) == 1:
                parts += _numbers(groups[at + 1 : at + 5])
                at += {2: 4, 5: 2}.get(parts[1] if len(parts) > 1 else 0, 1)
            elif len(parts) > 5 and parts[1] == 2:
                del parts[2]  # the colon form may name a colour space before red, green and blue
            pen = _coloured(pen, parts)
        else:
            pen = _switched(pen, parts[0])
        at += 1
    return pen


def _numbers(words: list[str]) -> list[int]:
    return [int(word) if word.isdecimal() and len(word) < 7 else 0 for word in words]


def _coloured(pen: Pen, parts: list[int]) -> Pen:
    colour: RGB | None = None
    if len(parts) >= 5 and parts[1] == 2:
        colour = (min(255, parts[2]), min(255, parts[3]), min(255, parts[4]))
    elif len(parts) >= 3 and parts[1] == 5:
        colour = indexed(min(255, parts[2]))
    if parts[0] == 38:
        return pen._replace(fore=colour)
    return pen._replace(back=colour) if parts[0] == 48 else pen


def _switched(pen: Pen, code: int) -> Pen:
    if code in _SWITCHES:
        return _SWITCHES[code](pen)
    if 30 <= code <= 37 or 90 <= code <= 97:
        return pen._replace(fore=indexed(code - 30 if code < 90 else code - 82))
    if 40 <= code <= 47 or 100 <= code <= 107:
        return pen._replace(back=indexed(code - 40 if code < 100 else code - 92))
    return pen


@lru_cache(maxsize=4096)
def reds(pen: Pen) -> tuple[int, int]:
    """The red of the letters and the red of the ground, 0 to 255 on the design scale."""
    fore = TEXT if pen.fore is None else max(pen.fore)
    back = 0 if pen.back is None else max(pen.back)
    one_colour = pen.fore is not None and pen.fore == (pen.back or (0, 0, 0))
    if pen.swapped:
        fore, back = back, fore
    if pen.dim:
        fore = round(back + (fore - back) * DIM)
    back = min(back, GROUND_MOST)
    if pen.hidden or one_colour:
        return back, back
    return (max(fore, back + APART) if back else fore), back


_CLASS = (
    "[\u00a9\u00ae\u203c\u2049\u20e3\u2122\u2139\u2194-\u2199\u21a9\u21aa\u231a\u231b\u2328\u23cf\u23e9-\u23f3"
    "\u23f8-\u23fa\u24c2\u25aa\u25ab\u25b6\u25c0\u25fb-\u25fe\u2600-\u27bf\u2934\u2935\u2b05-\u2b07\u2b1b\u2b1c"
    "\u2b50\u2b55\u3030\u303d\u3297\u3299\ue000-\uf8ff\U0001f000-\U0001faff\U0001fc00-\U0001ffff"
    "\U000e1000-\U0010ffff]"
)
_COLOURED = re.compile(f"{_CLASS}\ufe0f?(?:\u200d{_CLASS}\ufe0f?)*")
"""A picture, with the selector that asks for its coloured form and all that is joined to it."""
_INVISIBLE = re.compile(
    "[\u00ad\u061c\u180b-\u180f\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufe00-\ufe0f\ufeff\ufff9-\uffff"
    "\ud800-\udfff\U000e0000-\U000e0fff]"
)
_LIKENESS = {
    "\u25b6": ">", "\u25c0": "<", "\u276f": ">", "\u276e": "<", "\u2190": "<", "\u2192": ">",
    "\u2713": "v", "\u2714": "v", "\u2717": "x", "\u2716": "x", "\u00a9": "c", "\u00ae": "r",
    "\u2139": "i", "\u26a0": "!", "\u203c": "!", "\u25aa": "\u2022",
}  # fmt: skip


def _plain(coloured: re.Match[str]) -> str:
    letter, more = coloured[0][0], len(coloured[0]) > 1
    mark = _LIKENESS.get(letter, "*")
    return mark * 2 if more or east_asian_width(letter) in "WF" else mark


def drawable(text: str) -> str:
    """The text with nothing in it that a font could colour; columns are kept (a wide picture becomes two marks)."""
    if text.isascii():
        return text
    return _INVISIBLE.sub("", _COLOURED.sub(_plain, text))
