"""A window's cells while a screen is composed: text put at a place, in one of three strengths, then read off as rows."""

import re
from functools import lru_cache

from assistant.screens.drawing import Row, Strength

_MARKS: dict[Strength, str] = {"bright": "b", "text": "t", "dim": "d"}
_GAP = re.compile(r"(\S) +")


class Canvas:
    """So many columns and rows (cells), empty at first. What does not fit on them is cut off."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self._letters = [[" "] * width for _ in range(height)]
        self._shades = [[" "] * width for _ in range(height)]

    def put(self, x: int, y: int, text: str, strength: Strength = "text") -> None:
        """Text from a place on; spaces leave what is there."""
        if 0 <= y < self.height:
            letters, shades, mark = self._letters[y], self._shades[y], _MARKS[strength]
            for at, letter in enumerate(text, x):
                if letter != " " and 0 <= at < self.width:
                    letters[at], shades[at] = letter, mark

    def right(self, y: int, text: str, strength: Strength = "text") -> None:
        """Text that ends with the window."""
        self.put(self.width - len(text), y, text, strength)

    def block(self, x: int, y: int, lines: list[str], strength: Strength = "text") -> None:
        """Lines below one another."""
        for row, line in enumerate(lines):
            self.put(x, y + row, line, strength)

    def rows(self) -> list[Row]:
        """Every row as it stands."""
        return [_row("".join(letters).rstrip(), "".join(lit)) for letters, lit in zip(self._letters, self._shades, strict=True)]


@lru_cache(maxsize=256)  # most rows of a window are drawn alike every second
def _row(text: str, lit: str) -> Row:
    """A gap is as strong as what it comes after: every change of strength is thirty bytes to the terminal."""
    lit = lit.rstrip()
    return Row(text, _GAP.sub(lambda gap: gap[1] * len(gap[0]), lit.lstrip().rjust(len(lit), lit.lstrip()[0])) if text else "")
