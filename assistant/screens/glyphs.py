"""Large figures and letters for what must be read from two metres, drawn with half blocks: pure text, no strength.

Figures are strokes in a box of any width and height, all of one width, so that only the figure that changes is painted
anew. Letters are a grid of three by five points. A point is one column wide and half a row high: nearly square, since a cell
of a terminal is about twice as high as it is wide.
"""

from functools import lru_cache

_STROKES = {
    "0": "abcdef", "1": "bc", "2": "abged", "3": "abgcd", "4": "fgbc", "5": "afgcd", "6": "afgedc", "7": "abc",
    "8": "abcdefg", "9": "abcdfg",
}  # fmt: skip
"""Which strokes a figure has: top, right upper, right lower, bottom, left lower, left upper, middle."""
_LETTERS = {
    "A": " # # ##### ## #", "B": "## # ### # ### ", "C": " ###  #  #   ##", "D": "## # ## ## ### ", "E": "####  ## #  ###",
    "F": "####  ## #  #  ", "G": " ###  # ## # ##", "H": "# ## ##### ## #", "I": "### #  #  # ###", "J": "  #  #  ## # # ",
    "K": "# ## ### # ## #", "L": "#  #  #  #  ###", "M": "# ######## ## #", "N": "## # ## ## ## #", "O": " # # ## ## # # ",
    "P": "## # ### #  #  ", "Q": " # # ## ## # ##", "R": "## # ### # ## #", "S": " ###   #   ### ", "T": "### #  #  #  # ",
    "U": "# ## ## ## # ##", "V": "# ## ## ## # # ", "W": "# ## ## ##### #", "X": "# ## # # # ## #", "Y": "# ## # #  #  # ",
    "Z": "###  # # #  ###", "0": "#### ## ## ####", "1": " # ##  #  # ###", "2": "## " "  # # #  ###", "3": "##   # #   ### ",
    "4": "# ## ####  #  #", "5": "####  ##   ### ", "6": " ###  ## # # # ", "7": "###  #  # #  # ", "8": " # # # # # # # ",
    "9": " # # # ##  ### ", " ": " " * 15,
}  # fmt: skip
"""Three points wide and five high, row after row."""
WIDE, HIGH = 3, 5
"""Points of a letter."""
_HALVES = {(True, True): "█", (True, False): "▀", (False, True): "▄", (False, False): " "}


def time(text: str, width: int, rows: int) -> list[str]:
    """A time in figures of this width (columns) and so many rows; signs but figures, colon and plus are left out."""
    thick = stroke(width)
    signs = [_drawn(sign, width, rows, thick) for sign in text if sign in _STROKES or sign in ":+"]
    gap = " " * (2 * thick)
    return [gap.join(sign[y] for sign in signs) for y in range(rows)]


def stroke(width: int) -> int:
    """How thick the strokes of a figure are, in points: an eighth of its width, near the thinnest that a poster is read by."""
    return max(1, (width + 2) // 8)


def time_width(text: str, width: int) -> int:
    """How many columns a time takes."""
    thick = stroke(width)
    wide = {":": thick, "+": max(3, width // 2)}
    return sum(wide.get(sign, width) for sign in text) + 2 * thick * (len(text) - 1)


@lru_cache(maxsize=16)  # the same words second after second
def letters(text: str, size: int = 1) -> list[str]:
    """Words in capitals of `size`; what is no letter is a gap."""
    shapes = [_LETTERS.get(sign, _LETTERS[" "]) for sign in text.upper()]
    lines = (" ".join(shape[row * WIDE : (row + 1) * WIDE] for shape in shapes) for row in range(HIGH))
    points = ["".join(point * size for point in line) for line in lines for _ in range(size)]
    return halved(points)


def letters_width(text: str, size: int = 1) -> int:
    """How many columns words take."""
    return max(0, len(text) * (WIDE + 1) - 1) * size


def letters_rows(size: int = 1) -> int:
    """How many rows words take."""
    return (HIGH * size + 1) // 2


def halved(points: list[str]) -> list[str]:
    """Rows of points, "#" where one is lit, two to a row of text."""
    width = max((len(row) for row in points), default=0)
    even = [row.ljust(width) for row in points] + ([" " * width] if len(points) % 2 else [])
    return [
        "".join(_HALVES[over == "#", under == "#"] for over, under in zip(even[y], even[y + 1], strict=True))
        for y in range(0, len(even), 2)
    ]


@lru_cache(maxsize=64)  # the signs of two sizes of figures: each is drawn every second
def _drawn(sign: str, width: int, rows: int, thick: int) -> list[str]:
    return halved(_sign(sign, width, 2 * rows, thick))


def _sign(sign: str, width: int, high: int, thick: int) -> list[str]:
    if sign == ":":
        lit = {y for at in (high // 3, high * 2 // 3) for y in range(at - thick // 2, at - thick // 2 + thick)}
        return ["#" * thick if y in lit else " " * thick for y in range(high)]
    if sign == "+":
        width = max(3, width // 2)  # a sign and not a digit to be read
        arm, middle = range((width - thick) // 2, (width + thick) // 2), (high - thick) // 2
        across = range(middle, middle + thick)
        shown = range(max(0, middle - (width - thick) // 2), middle + thick + (width - thick) // 2)
        return ["".join("#" if y in across or (x in arm and y in shown) else " " for x in range(width)) for y in range(high)]
    return ["".join("#" if _lit(_STROKES[sign], x, y, width, high, thick) else " " for x in range(width)) for y in range(high)]


def _lit(strokes: str, x: int, y: int, width: int, high: int, thick: int) -> bool:
    middle = (high - thick) // 2
    middle -= middle % 2 if thick % 2 == 0 else 0  # on whole rows where the stroke is as high as one
    upper, lower = y < middle + thick, y >= middle
    left, right = x < thick, x >= width - thick
    return (
        ("a" in strokes and y < thick)
        or ("g" in strokes and upper and lower)
        or ("d" in strokes and y >= high - thick)
        or (upper and (("f" in strokes and left) or ("b" in strokes and right)))
        or (lower and (("e" in strokes and left) or ("c" in strokes and right)))
    )
