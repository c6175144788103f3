"""Kinds of terminal that the checker plays: what each obeys, misreads and answers. Shares nothing with the gate.

Palettes: xterm's own, the one of the PC's text screen, and a soft one as terminal themes have.
"""

from dataclasses import dataclass, field

RGB = tuple[int, int, int]

XTERM = [
    (0, 0, 0), (205, 0, 0), (0, 205, 0), (205, 205, 0), (0, 0, 238), (205, 0, 205), (0, 205, 205), (229, 229, 229),
    (127, 127, 127), (255, 0, 0), (0, 255, 0), (255, 255, 0), (92, 92, 255), (255, 0, 255), (0, 255, 255), (255, 255, 255),
]  # fmt: skip
PC = [
    (0, 0, 0), (170, 0, 0), (0, 170, 0), (170, 85, 0), (0, 0, 170), (170, 0, 170), (0, 170, 170), (170, 170, 170),
    (85, 85, 85), (255, 85, 85), (85, 255, 85), (255, 255, 85), (85, 85, 255), (255, 85, 255), (85, 255, 255), (255, 255, 255),
]  # fmt: skip
SOFT = [
    (12, 12, 12), (197, 15, 31), (19, 161, 14), (193, 156, 0), (0, 55, 218), (136, 23, 152), (58, 150, 221), (204, 204, 204),
    (118, 118, 118), (231, 72, 86), (22, 198, 12), (249, 241, 165), (59, 120, 255), (180, 0, 158), (97, 214, 214), (242,) * 3,
]  # fmt: skip


def full_palette(first: list[RGB]) -> list[RGB]:
    """Sixteen colours, the cube and the greys."""
    steps = (0, 95, 135, 175, 215, 255)
    cube = [(red, green, blue) for red in steps for green in steps for blue in steps]
    return [*first, *cube, *((8 + 10 * i,) * 3 for i in range(24))]


@dataclass(frozen=True)
class Profile:
    """One kind of terminal. Colours given are what its window has before any program."""

    letters: RGB = (204, 204, 204)
    ground: RGB = (30, 30, 30)
    cursor: RGB = (0, 255, 0)
    first: list[RGB] = field(default_factory=lambda: XTERM)
    obeys: bool = True
    """Whether its own colours and palette can be set (OSC)."""
    answers: bool = True
    """Whether it answers anything at all."""
    true_colour: bool = True
    indexed: bool = True
    """Whether it knows 256 colours."""
    console: bool = False
    """Whether it is the Linux console."""
    clears_with_own_ground: bool = False
    """Whether the other screen comes up in the window's ground rather than in the colour that is set."""
    environment: dict[str, str] = field(default_factory=dict)
    entries: dict[int, RGB] = field(default_factory=dict)
    """Entries of the palette from 16 on that a theme has changed."""
    own: tuple[int, ...] = (10, 11, 12, 17)
    """The own colours that can be set."""
    tells_own: bool = True
    """Whether it answers for its own colours, and not for its palette alone."""
    resets: bool = True
    """Whether its colours can be reset; elsewhere they are only set."""
    stack: bool = False
    """Whether it has a stack for colours (XTPUSHCOLORS)."""
    keyboard: bool = False
    """Whether it knows the progressive keyboard protocol."""
    restores_on_u: bool = False
    """Whether it takes a question of that protocol for "restore the cursor", pen and all."""
    border: RGB | None = None
    """The inner border, where it does not follow the ground."""
    brightens_cursor: bool = False
    """Whether a cursor with too little contrast to its ground is drawn in the configured colour of letters."""
    late: bool = False
    """Whether its answers come only when the checker lets them."""
    utf8: bool = True
    """Whether it reads UTF-8 before it is told to."""


_RICH = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}

PROFILES = {
    "capable": Profile(environment=_RICH),
    "light theme": Profile(
        letters=(0, 0, 0), ground=(255, 255, 255), cursor=(0, 0, 0), clears_with_own_ground=True, environment=_RICH
    ),
    "ignores every OSC": Profile(obeys=False, answers=False, environment=_RICH),
    "256 only": Profile(true_colour=False, environment=_RICH),
    "16 that can be set": Profile(true_colour=False, indexed=False, first=SOFT, environment={"TERM": "xterm"}),
    "a stack of colours": Profile(letters=(0, 0, 0), ground=(255, 255, 255), stack=True, keyboard=True, environment=_RICH),
    "a themed palette": Profile(entries={16: (0, 90, 120), 17: (9, 99, 9), 18: (40, 44, 52)}, environment=_RICH),
    "st": Profile(
        own=(10, 11, 12), resets=False, restores_on_u=True, environment={"TERM": "st-256color", "COLORTERM": "truecolor"}
    ),
    "urxvt": Profile(
        letters=(0, 0, 0), ground=(255, 255, 255), cursor=(0, 0, 0), own=(10, 11, 12, 708), border=(255, 255, 255),
        tells_own=False, resets=False, true_colour=False, environment={"TERM": "rxvt-unicode-256color", "COLORFGBG": "0;15"},
    ),
    "alacritty": Profile(own=(10, 11, 12), brightens_cursor=True, environment={"TERM": "alacritty", "COLORTERM": "truecolor"}),
    "answers late": Profile(late=True, keyboard=True, environment=_RICH),
}  # fmt: skip
"""Those that a session runs on; the named ones as the real programs behaved when they were asked.

"256 only" says by its environment that it has 24-bit colour, and has not.
"""

RARE = {
    "256 by name": Profile(true_colour=False, answers=False, obeys=False, environment={"TERM": "xterm-256color"}),
    "the console": Profile(
        letters=(170, 170, 170), ground=(0, 0, 0), cursor=(170, 170, 170), first=PC, obeys=False, answers=False,
        true_colour=False, indexed=False, console=True, environment={"TERM": "linux"},
    ),
    "not in UTF-8": Profile(utf8=False, environment=_RICH),
}  # fmt: skip
"""Those on which only the hostile program is tried. The first can show no red below its palette's least, 95."""

REFUSED = {
    "16 of its own": Profile(obeys=False, true_colour=False, indexed=False, first=SOFT, environment={"TERM": "xterm"}),
    "a multiplexer": Profile(environment={"TERM": "tmux-256color", "COLORTERM": "truecolor"}),
    "no colours": Profile(environment={"TERM": "dumb"}),
}
"""Those that are refused with a sentence."""
