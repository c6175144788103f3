"""The dry side before a session: which recipe, in how many copies, and what it will need. Prints nothing itself."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, replace

from assistant.planning.briefing import needed
from assistant.planning.plan import CannotPlan, make_plan
from assistant.recipe.model import Recipe
from assistant.screens.drawing import Row, packed
from assistant.screens.leaf import Leaf, dry_peak, page_of
from assistant.terminal.brightness import LEVELS

KEYS = (
    "enter: print", "esc: leave", "up down: recipe", "+ -: copies", "space: read on", "r: calculate", "c: baths",
    "l: look back", "s: sound check", "b: brightness", "f1: help",
)  # fmt: skip
ELSEWHERE = {"r": "reckon", "c": "baths", "l": "look back", "s": "sound check"}
"""Keys that lead to another room of the dry side, and back to the same card."""
LISTED = 3
"""So many recipes are listed at least; more, up to a fifth of its rows, where the window is high."""
MORE = {"right": 1, "plus": 1, "left": -1, "minus": -1}
"""Keys that ask for a copy more or less."""
COPIES = (1, 60)
"""From and to how many copies a session prints."""
_LEVELS = tuple(LEVELS)


@dataclass(frozen=True)
class Offered:
    """A recipe that can be chosen, and the name it is called by; with complaints it can't be printed as it is."""

    name: str
    recipe: Recipe | None
    complaints: tuple[str, ...] = ()

    @property
    def copies(self) -> int:
        """The recipe's own number."""
        return self.recipe.sheets if self.recipe else 1


@dataclass(frozen=True)
class Chosen:
    """What the printer wants printed, and how bright the screen may be meanwhile."""

    name: str
    copies: int
    level: str = "paper"


@dataclass(frozen=True)
class Card:
    """What is shown: the recipe looked at, in how many copies, from which row of its card on; the session's brightness."""

    at: int = 0
    copies: int = 1
    read: int = 0
    level: str = "paper"
    said: str = ""
    """What came of a visit elsewhere."""


@dataclass(frozen=True)
class Elsewhere:
    """Another room of the dry side is wanted; the card is come back to."""

    room: str
    card: Card


def lines(offered: Offered, copies: int) -> list[str]:
    """What is needed for so many copies, or why they can't be printed."""
    if offered.recipe is None:
        return ["This recipe can't be printed as it is:", *offered.complaints]
    try:
        return [*offered.complaints, *needed(make_plan(offered.recipe, copies))]
    except CannotPlan as error:
        return [str(error)]


def possible(offered: Offered, copies: int) -> bool:
    """Whether so many copies can be printed."""
    try:
        return offered.recipe is not None and make_plan(offered.recipe, copies) is not None
    except CannotPlan:
        return False


def draw_card(offered: Sequence[Offered], card: Card, width: int, height: int) -> list[Row]:
    """The rows of the dry side, `height` of them; a card longer than the window is read in pages."""
    shown = max(LISTED, height // 5)
    first = max(0, min(card.at - shown // 2, len(offered) - shown))
    rows = [Row(f"What is printed? {card.at + 1} of {len(offered)}"[:width], "dim")]
    if card.said:
        rows.append(Row(card.said[:width], "bright"))
    rows += [_listed(offered[i], i == card.at, width) for i in range(first, min(first + shown, len(offered)))]
    rows += [Row(f"copies: {card.copies}   brightness beside the trays: {card.level}"[:width], "bright"), Row("")]
    text = _wrapped(lines(offered[card.at], card.copies), width)
    foot = [Row(row, "dim") for row in packed(KEYS, width)]
    room = max(1, height - len(rows) - len(foot))
    rows += page_of([Row(one) for one in text], card.read, room, "space")
    rows += [Row("")] * (height - len(foot) - len(rows))
    return [*rows[: height - len(foot)], *foot]


def _listed(one: Offered, looked_at: bool, width: int) -> Row:
    title = one.recipe.title if one.recipe else "has faults"
    text = f"{'>' if looked_at else ' '} {one.name}: {title}"
    return Row(text if len(text) <= width else text[: width - 1] + "…", "bright" if looked_at else "dim")


def _wrapped(found: list[str], width: int) -> list[str]:
    return [row for line in found for row in textwrap.wrap(line, width, subsequent_indent="    ") or [""]]


class DrySide(Leaf[Chosen | Elsewhere]):
    """Choose a recipe and a number of copies; ends with a `Chosen`, an `Elsewhere`, or None when the printer leaves."""

    ON_KEYS = (
        "up, down: another recipe; those of this folder stand first, then those that came with the program",
        "+ and -, or right and left: a copy more or less",
        "space: the next page of the card",
        "enter: print it; a recipe with faults can't be printed, and its card says why",
        "b: how bright the screen will be beside the trays (setup, work: no paper out; paper; blackout)",
        "r: calculate exposures, strips, mixes, temperatures, capacity, washing",
        "c: chemistry: the baths, what went through them, topping up",
        "l: look back on what was printed",
        "s: hear the sound check again",
        "esc or q: leave",
    )

    def __init__(self, offered: Sequence[Offered], peak: int = LEVELS["setup"], card: Card | None = None) -> None:
        super().__init__(peak)
        if not offered:
            raise ValueError("There is no recipe to choose from.")
        self.offered = offered
        self.card = card or Card(copies=offered[0].copies)

    def pressed(self, key: str, character: str | None) -> None:
        """Move, choose, go elsewhere or leave."""
        self.card = card = replace(self.card, said="")
        looked_at = self.offered[card.at]
        if key in ("escape", "ctrl+c", "q"):
            self.exit()
        elif key == "enter" and possible(looked_at, card.copies):
            self.exit(Chosen(looked_at.name, card.copies, card.level))
        elif key in ELSEWHERE:
            self.exit(Elsewhere(ELSEWHERE[key], card))
        elif key in ("up", "down"):
            at = (card.at + (1 if key == "down" else -1)) % len(self.offered)
            self.card = replace(card, at=at, copies=self.offered[at].copies, read=0)
        elif key in MORE:
            self.card = replace(card, copies=min(max(card.copies + MORE[key], COPIES[0]), COPIES[1]), read=0)
        elif key == "space":
            self.card = replace(card, read=card.read + 1)
        elif key == "b":
            self.card = replace(card, level=_LEVELS[(_LEVELS.index(card.level) + 1) % len(_LEVELS)])

    def rows(self, width: int, height: int) -> list[Row]:
        """The card looked at."""
        return draw_card(self.offered, self.card, width, height)


def choose(
    offered: Sequence[Offered], card: Card | None = None, *, level: str = "setup", gated: bool = False
) -> Chosen | Elsewhere | None:
    """Let the printer choose before any paper is out, `card` looked at first; None where they leave.

    Level and gate as in `run_session`.
    """
    return DrySide(offered, dry_peak(level, gated), card).run()
