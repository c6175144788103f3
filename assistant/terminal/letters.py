"""Which characters may be drawn. What a colour font could draw in a colour of its own is replaced by a plain mark.

No colour instruction reaches an emoji: the font paints it. So every character with the Unicode property Emoji
(UTS #51) goes, bar the digits, `#` and `*`, and with them all private and all pictographic planes.
Joiners, variation selectors and direction marks go too: they are invisible and turn text into pictures.
"""

import re
from unicodedata import east_asian_width

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
