"""The screen of a terminal, written for the checker alone: every cell with its colours, judged as it is changed.

Nothing of the gate is used here. What the terminal does by itself (a window grown, a ground that cannot be set) is kept
apart in `own`, since no program can help it.
"""

import unicodedata
from collections import Counter
from dataclasses import dataclass
from functools import cache
from itertools import chain
from typing import NamedTuple

from wcwidth.table_vs16 import VS16_NARROW_TO_WIDE

from tests.dark.profiles import RGB, Profile, full_palette

OWN = ("own",)
"""The colour of a cell that has the window's own."""
_TAKE_PICTURE_FORM = {
    code for first, last in next(iter(VS16_NARROW_TO_WIDE.values())) for code in range(first, last + 1) if code > 0x7F
}
_EMPTY = " \u00a0"


class Cell(NamedTuple):
    letter: str
    letters: tuple
    ground: tuple
    marks: frozenset


BLANK = Cell(" ", OWN, OWN, frozenset())


@dataclass(frozen=True)
class Fault:
    """One thing that lit or could light something, in which phase."""

    phase: str
    kind: str
    what: str


@cache
def is_picture(letter: str) -> bool:
    """Whether a colour font could draw it: has an emoji form, or is a pictograph."""
    code = ord(letter)
    by_itself = unicodedata.east_asian_width(letter) == "W" and unicodedata.category(letter) == "So" and code < 0x2E80
    pictographs = code >= 0x1F000 and not 0x1FB00 <= code < 0x1FC00
    return code in _TAKE_PICTURE_FORM or by_itself or pictographs or code in (0xFE0F, 0x200D, 0x20E3)


class Screen:
    """The screen of one profile. `judging` is off until the program has the other screen, and when the light is on."""

    def __init__(self, width: int, height: int, profile: Profile) -> None:
        self.profile, self.width, self.height = profile, width, height
        self.palette_before = full_palette(list(profile.first))
        for entry, colour in profile.entries.items():
            self.palette_before[entry] = colour
        self.palette = list(self.palette_before)
        self.own_before: dict[int, RGB] = {10: profile.letters, 11: profile.ground, 12: profile.cursor, 17: (70, 100, 200)}
        if profile.border is not None:
            self.own_before[708] = profile.border
        self.own_colours = dict(self.own_before)
        self.title, self.titles = "a shell", list[str]()
        self.stack: list[tuple[list[RGB], dict[int, RGB]]] = []
        self.saved: dict[bool, tuple] = {}
        self.main = [[BLANK] * width for _ in range(height)]
        self.other = [[BLANK] * width for _ in range(height)]
        self.on_other = False
        self.x = self.y = 0
        self.letters = self.ground = OWN
        self.marks: frozenset = frozenset()
        self.cursor_shown = True
        self.swapped = False
        self.modes: set[str] = {"?7"}
        self.judging, self.phase = False, "before"
        self.faults: list[Fault] = []
        self.own: list[Fault] = []
        self.judged = 0

    # what is seen

    @property
    def cells(self) -> list[list[Cell]]:
        return self.other if self.on_other else self.main

    def text(self) -> str:
        """What can be read: letters that are as dark as their ground are not there."""
        letters = {cell: cell.letter if self.seen_apart(cell) else " " for cell in self.different()}
        return "\n".join("".join([letters[cell] for cell in row]).rstrip() for row in self.cells)

    def different(self) -> Counter[Cell]:
        """Every cell of another look, and how many there are: a screen has thousands of cells and some dozens of looks."""
        return Counter(chain.from_iterable(self.cells))

    def seen_apart(self, cell: Cell) -> bool:
        letters, ground = self.seen(cell)
        return letters != ground and "hidden" not in cell.marks

    def rgb(self, colour: tuple, number: int) -> RGB:
        if colour is OWN:
            return self.own_colours[number]
        return self.palette[colour[1]] if colour[0] == "entry" else colour[1:]

    def seen(self, cell: Cell) -> tuple[RGB, RGB]:
        letters, ground = self.rgb(cell.letters, 10), self.rgb(cell.ground, 11)
        if self.profile.console:  # it shows some marks as colours
            for mark, entry in (("italic", 2), ("underlined", 6), ("dim", 8)):
                if mark in cell.marks:
                    letters = self.palette[entry]
        if ("swapped" in cell.marks) != self.swapped:
            letters, ground = ground, letters
        return letters, ground

    def wrong(self, cell: Cell) -> str:
        letters, ground = self.seen(cell)
        if ground[1] or ground[2]:
            return f"ground {ground}"
        inked = cell.letter not in _EMPTY or "underlined" in cell.marks
        if inked and (letters[1] or letters[2]) and "hidden" not in cell.marks:
            return f"letters {letters}"
        return "a picture" if is_picture(cell.letter) else ""

    def lit(self) -> int:
        """How many cells light green or blue now."""
        self.judged += self.width * self.height
        return sum(count for cell, count in self.different().items() if self.wrong(cell))

    def brightest(self) -> int:
        """The brightest red of any cell."""
        seen = [(cell.letter.strip(), *self.seen(cell)) for cell in self.different()]
        return max([ground[0] for _, _, ground in seen] + [letters[0] for inked, letters, _ in seen if inked])

    def fault(self, kind: str, what: str, own: bool = False) -> None:
        if self.judging:
            (self.own if own else self.faults).append(Fault(self.phase, kind, what))

    def whole(self, why: str) -> None:
        """Something changed how every cell looks: judge all of them."""
        lit = self.lit() if self.judging else 0
        if lit:
            self.fault("screen", f"{lit} cells lit after {why}")
        if self.cursor_shown and (any(self.own_colours[12][1:]) or self.profile.brightens_cursor):
            self.fault("cursor", f"shown in {self.own_colours[12]} after {why}")
        if any(self.own_colours.get(708, (0, 0, 0))[1:]):
            self.fault("border", f"in {self.own_colours[708]} after {why}")

    # what changes it

    def resize(self, width: int, height: int) -> None:
        grown = width > self.width or height > self.height
        for rows in (self.main, self.other):
            rows[:] = [[*row, *[BLANK] * width][:width] for row in rows][:height]
            rows += [[BLANK] * width for _ in range(height - len(rows))]
        self.width, self.height = width, height
        self.x, self.y = min(self.x, width - 1), min(self.y, height - 1)
        if grown and self.wrong(BLANK):
            self.fault("grown", f"new cells in the window's ground {self.own_colours[11]}", own=True)

    # what a control function does to it

    def put(self, letter: str) -> None:
        if unicodedata.combining(letter):
            return
        if self.x >= self.width:
            if "?7" in self.modes:
                self.x = 0
                self.line_feed()
            else:
                self.x = self.width - 1
        self.set(self.x, Cell(letter, self.letters, self.ground, self.marks), "painted")
        wide = unicodedata.east_asian_width(letter) in "WF"
        if wide and self.x + 1 < self.width:
            self.set(self.x + 1, Cell(" ", self.letters, self.ground, self.marks), "painted")
        self.x += 2 if wide else 1

    def set(self, x: int, cell: Cell, how: str) -> None:
        self.cells[self.y][x] = cell
        self.judged += 1
        if self.judging and (why := self.wrong(cell)):
            self.fault(how, f"{cell.letter!r} {why}")
        if cell.marks - {"swapped", "hidden"}:
            self.fault("mark", ", ".join(sorted(cell.marks)))

    def new_ground(self) -> Cell:
        cell = Cell(" ", OWN, self.ground, frozenset())
        if self.wrong(cell):
            self.fault("erased", f"ground {self.seen(cell)[1]}")
        return cell

    def erase(self, y: int, start: int, end: int) -> None:
        cell = self.new_ground()
        row = self.cells[y]
        row[max(0, start) : end] = [cell] * len(row[max(0, start) : end])

    def line_feed(self) -> None:
        if self.y < self.height - 1:
            self.y += 1
        else:
            self.cells.pop(0)
            self.cells.append([self.new_ground()] * self.width)

    def switch(self, other: bool) -> None:
        if other == self.on_other:
            return
        self.on_other = other
        if other:
            ground = OWN if self.profile.clears_with_own_ground else self.ground
            self.other[:] = [[Cell(" ", OWN, ground, frozenset())] * self.width for _ in range(self.height)]
            if self.phase == "before":
                self.phase, self.judging = "start", True
        self.whole("the other screen" if other else "the first screen")

    def save(self) -> None:
        self.saved[self.on_other] = (self.x, self.y, self.letters, self.ground, self.marks)

    def restore(self) -> None:
        """The cursor that was saved on this screen, and the pen with it; without one, home and the window's own colours."""
        self.x, self.y, self.letters, self.ground, self.marks = self.saved.get(self.on_other, (0, 0, OWN, OWN, frozenset()))

    def to(self, x: int, y: int) -> None:
        self.x, self.y = max(0, min(self.width - 1, x)), max(0, min(self.height - 1, y))

    def scroll(self, count: int, top: int = 0) -> None:
        for _ in range(min(abs(count), self.height)):
            row = [self.new_ground()] * self.width
            if count > 0:
                self.cells.pop(top)
                self.cells.append(row)
            else:
                self.cells.pop()
                self.cells.insert(top, row)

    def shift(self, count: int, insert: bool) -> None:
        row, x = self.cells[self.y], min(self.x, self.width - 1)
        new = [self.new_ground()] * min(count, self.width - x)
        kept = row[x : self.width - len(new)] if insert else row[x + len(new) :]
        row[x:] = [*new, *kept] if insert else [*kept, *new]
