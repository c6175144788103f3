"""Text that somebody else wrote, as it may stand in a line of ours: the one way in which it gets onto paper or terminal.

Letters of every script stay as they are. What would move the cursor, colour the screen, break the line or turn the
reading order of what follows is shown by its name and does nothing.
"""

import unicodedata

_TURNING = {0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)}
"""Signs that turn the order of reading: Unicode Standard Annex 9, explicit directional formatting characters."""
_BYTE_ORDER = 0xFEFF
"""The mark of byte order: in the middle of a text it is not seen, and a name with it is another one."""
_BREAKS = {"\n": " / ", "\r": " ", "\t": " ", "\u2028": " / ", "\u2029": " / "}


def as_text(words: str) -> str:
    """The words on one line, with nothing in them that acts."""
    return "".join(_BREAKS.get(letter) or _shown(letter) for letter in words.replace("\r\n", "\n"))


def _shown(letter: str) -> str:
    if unicodedata.category(letter) in ("Cc", "Cs", "Co", "Cn") or ord(letter) in (*_TURNING, _BYTE_ORDER):
        return ascii(letter)[1:-1]
    return letter
