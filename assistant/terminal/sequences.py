"""Every control sequence that only the owner of the terminal may send, as text: colours, taking it, giving it back.

The gate drops all of these when the program sends them. Nothing is written here; whoever owns the terminal writes it. One
shape of colour instruction leaves for each kind of terminal, always with a reset before it and both colours in it.
"""

from functools import lru_cache

from assistant.terminal.capabilities import LAST_RED, THEMED, Colours
from assistant.terminal.colours import TEXT, indexed, xterm_colour

KINDS = ("true", "256", "16")
"""24-bit colour; the reds among the 256 indexed colours; sixteen colours whose palette is ours."""

RAMP = ((0, 16), (95, 52), (135, 88), (175, 124), (215, 160), (255, 196))
"""(red as xterm defines it, index): the only entries of the 256 that are black or pure red."""


def scaled(red: int, peak: int) -> int:
    """A red of the design scale under a level's ceiling; both, and what comes of them, 0 to 255."""
    return round(red * peak / 255)


def palette_step(step: int, peak: int) -> int:
    """The red of entry 0 to 7 in a palette of our own."""
    return round(peak * step / 7)


@lru_cache(maxsize=4096)
def ink(kind: str, peak: int, fore: int, back: int) -> str:
    """The colour instruction for letters and ground (design scale) on this kind of terminal under this ceiling."""
    if kind == "true":
        return f"\x1b[0;38;2;{scaled(fore, peak)};0;0;48;2;{scaled(back, peak)};0;0m"
    seen = fore != back
    if kind == "256":
        return f"\x1b[0;38;5;{_index(fore, peak, seen)};48;5;{_index(back, peak, False)}m"
    return f"\x1b[0;3{_step(fore, seen)};4{_step(back, False)}m"


def black(kind: str) -> str:
    """Nothing on nothing."""
    return ink(kind, 0, 0, 0)


def _index(red: int, peak: int, letters: bool) -> int:
    """Never brighter than the ceiling where the terminal keeps its own reds, but letters stay letters."""
    wanted = scaled(red, peak)
    if not wanted:
        return 16
    within = [entry for entry in RAMP if entry[0] <= peak] or [RAMP[0]]
    index = min(within, key=lambda entry: abs(entry[0] - wanted))[1]
    return 52 if letters and index == 16 else index


def _step(red: int, letters: bool) -> int:
    step = round(red * 7 / 255)
    return 1 if letters and red and not step else step


OWN_COLOURS = (10, 11, 12, 13, 14, 17, 19)
"""xterm's numbers for text, ground, cursor, pointer (two), selection (two); each is set by `OSC n` and reset by `OSC 10n`."""
INDEX_16 = "\x1b[0;38;5;16;48;5;16m"
"""Black on black for any terminal with 256 colours or more; one without 24-bit colour reads it right too."""


def own_colours(letters: int, ground: int = 0) -> str:
    """Set the terminal's own colours: letters, cursor and pointer to a red, the ground to black (0 to 255)."""
    shades = {11: ground, 14: ground, 19: ground}
    return "".join(f"\x1b]{number};rgb:{shades.get(number, letters):02x}/00/00\x1b\\" for number in OWN_COLOURS)


_PALETTE = "\x1b]4;16;rgb:00/00/00;" + ";".join(f"{entry};rgb:00/00/00" for entry in range(16)) + "\x1b\\"
BORDER = 708
"""The inner border in rxvt-unicode, which does not follow the ground."""
HUSH = "\x1b[?25l\x1b[#P" + _PALETTE + own_colours(0) + f"\x1b]{BORDER};rgb:00/00/00\x1b\\"
"""Cursor off, the terminal's colours pushed on its stack, then black: entry 16 first, which is painted with and which some
themes have given another colour."""
TITLED = "\x1b[22;2t\x1b]2;traycall\x1b\\"
"""The window's title kept on its stack (XTWINOPS), then our own: one word that never changes, since a bar that changes lights."""
UNTITLED = "\x1b[23;2t"
"""The title that was kept."""
POP = "\x1b[#Q" + UNTITLED
"""The colours that were pushed last, off the stack and set again (XTPOPCOLORS), and the title that stood before."""

UNHUSH = "\x1b]104\x1b\\" + "".join(f"\x1b]{100 + number}\x1b\\" for number in OWN_COLOURS) + POP
"""The terminal's own colours again."""

PAINT = INDEX_16 + "\x1b[?1049h" + INDEX_16 + "\x1b[H\x1b[2J"
"""The other screen, all black."""

CONSOLE_PALETTE = "".join(f"\x1b]P{entry:x}000000" for entry in range(16))
CONSOLE_FIRST = "\x1b[?25l" + CONSOLE_PALETTE + "\x1b[0;30;40m\x1b[?1049h\x1b[0;30;40m\x1b[H\x1b[2J"
"""The same for the Linux console, which sets its palette in a way of its own."""


FIRST_SCREEN = "\x1b[0m\x1b[?1049l\x1b[0m\x1b[?25h"
"""The first screen again, in its own colours: leaving the other one restores the pen that was saved on entering it, black."""


def first(console: bool = False) -> str:
    """What to write first."""
    if console:
        return CONSOLE_FIRST
    return HUSH + PAINT + TITLED


UTF8 = "\x1b%G\x1b(B\x0f"
"""Letters are UTF-8 and plain: elsewhere the bytes of a letter could be taken for control codes."""
UPRIGHT = "\x1b[?5l\x1b[?6l\x1b[4l\x1b[r"
"""No reversed screen, no origin, no inserting, no scroll region: leavings of other programs."""
CLICKS = "\x1b[?1000h\x1b[?1006h"
"""Mouse buttons are reported."""
MODES_OFF = "\x1b[?1000l\x1b[?1002l\x1b[?1003l\x1b[?1015l\x1b[?1006l\x1b[?1004l\x1b[?2004l\x1b[?2026l\x1b[<99u\x1b[?7h"
"""Mouse, focus, pasting, held painting and key reports as a shell expects them."""

_POINTER = 120
"""The pointer's red on the design scale, before it is scaled to what the level allows: under the text's, so it hides none."""
_ENTRIES_A_STRING = 32
"""So many entries of the palette are set by one string: eight set all, and none has over half a kilobyte."""


def take(kind: str, peak: int, console: bool = False) -> str:
    """All of the terminal, black, with nothing in its palette but this level's reds."""
    blank = black(kind)
    return blank + UTF8 + UPRIGHT + colours(kind, peak, console) + blank + "\x1b[H\x1b[2J"


def colours(kind: str, peak: int, console: bool = False) -> str:
    """The terminal's own colours and its whole palette, red under this ceiling."""
    if console:
        return "".join(f"\x1b]P{entry:x}{palette_step(entry % 8, peak):02x}0000" for entry in range(16))
    pointer = f"rgb:{scaled(_POINTER, peak):02x}/00/00"
    own = own_colours(scaled(TEXT, peak)) + f"\x1b]12;{pointer}\x1b\\\x1b]13;{pointer}\x1b\\"
    entries = [f"{number};rgb:{_entry(kind, number, peak):02x}/00/00" for number in range(256)]
    strings = (entries[at : at + _ENTRIES_A_STRING] for at in range(0, 256, _ENTRIES_A_STRING))
    return own + "".join("\x1b]4;" + ";".join(some) + "\x1b\\" for some in strings)


def _entry(kind: str, number: int, peak: int) -> int:
    if kind == "16" and number < 16:
        return palette_step(number % 8, peak)
    red = max(indexed(number))
    if kind == "256" and number in (index for _, index in RAMP):
        return min(red, peak)  # the entries that are written with: never over the ceiling
    return scaled(red, peak)


def wipe(kind: str) -> str:
    """All black, the cursor home."""
    return black(kind) + "\x1b[H\x1b[2J"


def resign(red: str) -> str:
    """Leave in the dark, for a shell whose prompt is to land in this red: palette and screen stay, the modes go.

    The cursor stays hidden: some terminals draw one that is hardly brighter than its ground in a bright colour of their own.
    """
    return MODES_OFF + red


def give_back(console: bool = False) -> str:
    """Lights on: colours, screen and cursor as they were."""
    if console:
        return MODES_OFF + "\x1b]R\x1b[0m\x1b[2J" + FIRST_SCREEN
    return MODES_OFF + "\x1b[r" + UNHUSH + FIRST_SCREEN


def set_again(wanted: Colours, found: Colours) -> str:
    """What brings colours back that no reset brought back: those that are wanted and were not found.

    A terminal that keeps the last red of the cube knows no reset: all of the cube and the greys are set too, as xterm has them.
    """
    lost = {number: shade for number, shade in wanted.items() if found.get(number) != shade}
    cube = {f"4;{entry}": xterm_colour(entry) for entry in range(THEMED, 256)} if f"4;{LAST_RED}" in lost else {}
    border = {str(BORDER): lost["11"]} if "11" in lost else {}
    return "".join(f"\x1b]{number};rgb:{r:02x}/{g:02x}/{b:02x}\x1b\\" for number, (r, g, b) in (cube | lost | border).items())
