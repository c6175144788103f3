"""The first bytes that reach the terminal: everything black, before anything heavy is read.

Kept so small that it can run first of all. What is needed to undo it is here too.
"""

from collections.abc import MutableMapping

OWN_COLOURS = (10, 11, 12, 13, 14, 17, 19)
"""xterm's numbers for text, ground, cursor, pointer (two), selection (two); each is set by `OSC n` and reset by `OSC 10n`."""
INDEX_16 = "\x1b[0;38;5;16;48;5;16m"
"""Black on black for any terminal with 256 colours or more; one without 24-bit colour reads it right too."""


def own_colours(letters: int, ground: int = 0) -> str:
    """Set the terminal's own colours: letters, cursor and pointer to a red, the ground to black (0 to 255)."""
    shades = {11: ground, 14: ground, 19: ground}
    return "".join(f"\x1b]{number};rgb:{shades.get(number, letters):02x}/00/00\x1b\\" for number in OWN_COLOURS)


_PALETTE = "\x1b]4;" + ";".join(f"{entry};rgb:00/00/00" for entry in range(16)) + "\x1b\\"
HUSH = "\x1b[?25l\x1b[#P" + own_colours(0) + _PALETTE
"""Cursor off, the terminal's colours pushed on its stack, then black; its sixteen colours too, to be asked for later."""

UNHUSH = "\x1b]104\x1b\\" + "".join(f"\x1b]{100 + number}\x1b\\" for number in OWN_COLOURS) + "\x1b[#Q\x1b[0m\x1b[?25h"
"""The terminal's own colours again."""

PAINT = INDEX_16 + "\x1b[?1049h" + INDEX_16 + "\x1b[H\x1b[2J"
"""The other screen, all black."""

CONSOLE_PALETTE = "".join(f"\x1b]P{entry:x}000000" for entry in range(16))
CONSOLE_FIRST = "\x1b[?25l" + CONSOLE_PALETTE + "\x1b[0;30;40m\x1b[?1049h\x1b[0;30;40m\x1b[H\x1b[2J"
"""The same for the Linux console, which sets its palette in a way of its own."""


LAUNCHED = "TRAYCALL_BLACK"
"""In the environment where `traycall-dark` has painted the other screen black; nothing can be read on it."""


def unlaunched(environment: MutableMapping[str, str]) -> str:
    """What to write before words that are to be read where no guard was had: the first screen again, "" if it is shown."""
    return "\x1b[0m\x1b[?1049l\x1b[?25h" if environment.pop(LAUNCHED, "") else ""


def first(console: bool = False) -> str:
    """What to write first."""
    if console:
        return CONSOLE_FIRST
    return HUSH + PAINT
