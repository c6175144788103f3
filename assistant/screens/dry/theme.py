"""The dry side's colours: reds on black, whatever a widget asks for.

The theme names the reds. A filter then folds every colour that is left (a toolkit has some of its own for focus, links and
disabled text) onto red by the very rule of the gate, so that what is seen without a gate is what is seen behind one.
"""

from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter
from textual.theme import Theme

from assistant.terminal.colours import Pen, reds

TEXT, SECOND, LINE, GROUND, HOVER = 255, 225, 150, 0x40, 0x20
"""Reds of the design scale: what is read; what is read second, still at 3:1 under level `setup`; frames; a marked row; a row
under the mouse, or marked while the keys are elsewhere."""
FAINT = 0x18
"""Grounds under this are not seen as grounds; they would only light the room."""


def hexed(red: int) -> str:
    """A pure red as a style sheet writes it."""
    return f"#{red:02X}0000"


REDS = Theme(
    name="reds",
    primary=hexed(TEXT),
    secondary=hexed(SECOND),
    foreground=hexed(TEXT),
    background="#000000",
    surface="#000000",
    panel="#000000",
    variables={
        "second": hexed(SECOND),
        "line": hexed(LINE),
        "marked": hexed(GROUND),
        "border-blurred": hexed(LINE),
        "text": hexed(TEXT),
        "block-cursor-background": hexed(GROUND),
        "block-cursor-blurred-background": hexed(HOVER),
        "block-hover-background": hexed(HOVER),
        "input-selection-background": hexed(GROUND),
        "footer-description-foreground": hexed(SECOND),
        "scrollbar": hexed(GROUND),
        "scrollbar-hover": hexed(LINE),
        "scrollbar-active": hexed(LINE),
    },
)
"""What is not named here Textual derives from these; whatever that is, it is folded onto reds."""


class OnlyReds(LineFilter):
    """Folds every colour onto red; `peak` is the brightest red that may be painted, 8-bit."""

    def __init__(self, peak: int) -> None:
        super().__init__()
        self.peak = peak

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same letters in reds, and no attribute that a terminal may show as another colour."""
        letters = (any(map(str.isalnum, text)) for text, _, _ in segments)
        return [
            Segment(text, folded(style or Style.null(), self.peak, SECOND if words else 0), control)
            for words, (text, style, control) in zip(letters, segments, strict=True)
        ]


@lru_cache(maxsize=4096)
def folded(style: Style, peak: int, least: int = 0) -> Style:
    """A style in reds, letters at least at a red of the design scale, all dimmed to a peak.

    Its meta data, by which clicks are told, stay.
    """
    fore, back = reds(Pen(_rgb(style, "color"), _rgb(style, "bgcolor"), bool(style.reverse), bool(style.dim)))
    back = back if back >= FAINT else 0
    if fore != back and least:
        fore = TEXT if back else max(fore, least)
    colours = Style(color=hexed(round(fore * peak / 255)), bgcolor=hexed(round(back * peak / 255)))
    return colours + Style.from_meta(style.meta) if style.meta else colours


def _rgb(style: Style, which: str) -> tuple[int, int, int] | None:
    colour = getattr(style, which)
    if colour is None or colour.is_default:
        return None
    red, green, blue = colour.get_truecolor()
    return red, green, blue
