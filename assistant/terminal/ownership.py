"""Taking the terminal and giving it back: every instruction that only its owner may send, as text.

The gate drops all of these when the program sends them. Nothing is written here; whoever holds the terminal writes it.
"""

from assistant.terminal import black, inks
from assistant.terminal.pen import TEXT, indexed

UTF8 = "\x1b%G\x1b(B\x0f"
"""Letters are UTF-8 and plain: elsewhere the bytes of a letter could be taken for control codes."""
UPRIGHT = "\x1b[?5l\x1b[?6l\x1b[4l\x1b[r"
"""No reversed screen, no origin, no inserting, no scroll region: leavings of other programs."""
MODES_OFF = "\x1b[?1000l\x1b[?1002l\x1b[?1003l\x1b[?1015l\x1b[?1006l\x1b[?1004l\x1b[?2004l\x1b[?2026l\x1b[<99u\x1b[?7h"
"""Mouse, focus, pasting, held painting and key reports as a shell expects them."""

_POINTER = 120
_ENTRIES_A_STRING = 32


def take(kind: str, peak: int, console: bool = False) -> str:
    """All of the terminal, black, with nothing in its palette but this level's reds."""
    blank = inks.black(kind)
    return blank + UTF8 + UPRIGHT + colours(kind, peak, console) + blank + "\x1b[H\x1b[2J"


def colours(kind: str, peak: int, console: bool = False) -> str:
    """The terminal's own colours and its whole palette, red under this ceiling."""
    if console:
        return "".join(f"\x1b]P{entry:x}{inks.palette_step(entry % 8, peak):02x}0000" for entry in range(16))
    pointer = f"rgb:{inks.scaled(_POINTER, peak):02x}/00/00"
    own = black.own_colours(inks.scaled(TEXT, peak)) + f"\x1b]12;{pointer}\x1b\\\x1b]13;{pointer}\x1b\\"
    entries = [f"{number};rgb:{_entry(kind, number, peak):02x}/00/00" for number in range(256)]
    strings = (entries[at : at + _ENTRIES_A_STRING] for at in range(0, 256, _ENTRIES_A_STRING))
    return own + "".join("\x1b]4;" + ";".join(some) + "\x1b\\" for some in strings)


def _entry(kind: str, number: int, peak: int) -> int:
    if kind == "16" and number < 16:
        return inks.palette_step(number % 8, peak)
    red = max(indexed(number))
    if kind == "256" and number in (index for _, index in inks.RAMP):
        return min(red, peak)  # the entries that are written with: never over the ceiling
    return inks.scaled(red, peak)


def wipe(kind: str) -> str:
    """All black, the cursor home."""
    return inks.black(kind) + "\x1b[H\x1b[2J"


def resign(red: str, cursor: bool) -> str:
    """Leave in the dark, for a shell whose prompt is to land in this red: palette and screen stay, the modes go."""
    return MODES_OFF + red + ("\x1b[?25h" if cursor else "")


def give_back(console: bool = False) -> str:
    """Lights on: colours, screen and cursor as they were."""
    if console:
        return MODES_OFF + "\x1b]R\x1b[0m\x1b[2J\x1b[?1049l\x1b[?25h"
    return MODES_OFF + "\x1b[r" + black.UNHUSH + "\x1b[?1049l\x1b[?25h"
