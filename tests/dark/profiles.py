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


_RICH = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}

PROFILES = {
    "capable": Profile(environment=_RICH),
    "light theme": Profile(
        letters=(0, 0, 0), ground=(255, 255, 255), cursor=(0, 0, 0), clears_with_own_ground=True, environment=_RICH
    ),
    "ignores every OSC": Profile(obeys=False, answers=False, environment=_RICH),
    "256 only": Profile(true_colour=False, environment=_RICH),
    "16 that can be set": Profile(true_colour=False, indexed=False, first=SOFT, environment={"TERM": "xterm"}),
}
"""Those that a session runs on. "256 only" says by its environment that it has 24-bit colour, and has not."""

RARE = {
    "256 by name": Profile(true_colour=False, answers=False, obeys=False, environment={"TERM": "xterm-256color"}),
    "the console": Profile(
        letters=(170, 170, 170), ground=(0, 0, 0), cursor=(170, 170, 170), first=PC, obeys=False, answers=False,
        true_colour=False, indexed=False, console=True, environment={"TERM": "linux"},
    ),
}  # fmt: skip
"""Those on which only the hostile program is tried. The first can show no red below its palette's least, 95."""

REFUSED = {
    "16 of its own": Profile(obeys=False, true_colour=False, indexed=False, first=SOFT, environment={"TERM": "xterm"}),
    "a multiplexer": Profile(environment={"TERM": "tmux-256color", "COLORTERM": "truecolor"}),
    "no colours": Profile(environment={"TERM": "dumb"}),
}
"""Those that are refused with a sentence."""
