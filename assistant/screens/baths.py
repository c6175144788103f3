"""The baths on the screen: what stands in the trays and what is left of it; a key for what is done with one. Reads no file.

What is done goes to a `Shelf`, which keeps it and answers in words. Its keys are for dry hands.
"""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from assistant.screens.drawing import Row, packed
from assistant.screens.leaf import Leaf, dry_peak
from assistant.terminal.brightness import LEVELS
from assistant.trade.foreign_text import as_text

KEYS = ("esc: leave", "up down: bath", "n: new", "m: mixed anew", "t: top up", "x: retire", "f1: help")
ASKED = {
    "n": "new bath: name, tray, volume, sheets of 8x10 it takes a litre (fixer A, fixer, 3 l, 20 per litre)",
    "m": "mixed anew, now? enter: yes, escape: no",
    "t": "topped up: poured out, poured in (500 ml, 500 ml)",
    "x": "retired: why (spent, too old, ...)",
}
"""Key -> what is asked for in the line below."""


class Shelf(Protocol):
    """The baths, and what can be done with them; every answer is in words."""

    def lines(self) -> Sequence[tuple[str, str]]:
        """Name and state of every bath in use."""
        ...

    def do(self, key: str, name: str, typed: str) -> str:
        """Do what a key stands for with the bath of a name ("" where there is none)."""
        ...


@dataclass(frozen=True)
class Place:
    """Which bath is looked at, what is asked for ("" nothing) and typed so far, and what came of the last work."""

    at: int = 0
    asked: str = ""
    typed: str = ""
    said: str = ""


def draw_baths(lines: Sequence[tuple[str, str]], place: Place, width: int, height: int) -> list[Row]:
    """The rows of the screen, `height` of them; the bath looked at is always among them."""
    rows = [Row(_fitted("Baths in use", width), "dim"), Row("")]
    blocks = [textwrap.wrap(line, max(8, width - 2), subsequent_indent="    ") for _, line in lines]
    foot = [Row(row, "dim") for row in packed(KEYS, width)]
    asked = []
    if place.asked:
        asked = [Row(row, "bright") for row in textwrap.wrap(ASKED[place.asked], width)]
        asked.append(Row(_fitted(f"> {as_text(place.typed)}_", width), "bright"))
    elif place.said:
        asked = [Row(row, "bright") for row in textwrap.wrap(as_text(place.said), width)]
    room = max(1, height - len(rows) - len(foot) - len(asked))
    first = 0
    while sum(map(len, blocks[first : place.at + 1])) > room and first < place.at:
        first += 1
    for number, block in enumerate(blocks[first:], first):
        mark, strength = (">", "bright") if number == place.at else (" ", "text")
        rows += [Row(_fitted(f"{mark if i == 0 else ' '} {row}", width), strength) for i, row in enumerate(block)]  # type: ignore[arg-type]
    if not blocks:
        rows.append(Row(_fitted("None was written down so far: n adds one.", width)))
    kept = rows[: max(0, height - len(foot) - len(asked))]
    blank = [Row("")] * (height - len(kept) - len(asked) - len(foot))
    return [*kept, *blank, *asked, *foot][:height]


def _fitted(text: str, width: int) -> str:
    return packed((text,), width)[0]


class BathsScreen(Leaf[None]):
    """Baths up and down; a key asks for what it needs, enter does it, escape puts the question away."""

    ON_KEYS = (
        "up, down: another bath",
        "n: a new bath: its name, its tray, its volume, what a litre takes",
        "m: it was mixed anew just now: the same name and tray, counted from nothing",
        "t: topped up: what was poured out, and what fresh was poured in",
        "x: retired: poured away, and why",
        "esc or q: leave",
    )

    def __init__(self, shelf: Shelf, peak: int = LEVELS["setup"]) -> None:
        super().__init__(peak)
        self.shelf = shelf
        self.lines = shelf.lines()
        self.place = Place()

    def pressed(self, key: str, character: str | None) -> None:
        """Move, ask, type, do, or leave."""
        place = self.place
        if place.asked:
            self._typed(key, character)
        elif key in ("escape", "ctrl+c", "q"):
            self.exit()
        elif key in ("up", "down") and self.lines:
            self.place = Place((place.at + (1 if key == "down" else -1)) % len(self.lines))
        elif key in ASKED and (self.lines or key == "n"):
            self.place = Place(place.at, asked=key)

    def _typed(self, key: str, character: str | None) -> None:
        place = self.place
        if key in ("escape", "ctrl+c"):
            self.place = Place(place.at)
        elif key == "enter":
            name = self.lines[place.at][0] if self.lines else ""
            said = self.shelf.do(place.asked, name, place.typed)
            self.lines = self.shelf.lines()
            self.place = Place(min(place.at, max(0, len(self.lines) - 1)), said=said)
        elif key == "backspace":
            self.place = replace(place, typed=place.typed[:-1])
        elif character is not None and character.isprintable():
            self.place = replace(place, typed=place.typed + character)

    def rows(self, width: int, height: int) -> list[Row]:
        """The baths as they stand."""
        return draw_baths(self.lines, self.place, width, height)


def show_baths(shelf: Shelf, *, level: str = "setup", gated: bool = False) -> None:
    """Let the printer look at the baths and say what was done with them. Level and gate as in `run_session`."""
    BathsScreen(shelf, dry_peak(level, gated)).run()
