"""Block figures for the one most urgent time: large enough to be read from two metres, drawn with plain blocks."""

_ROWS = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", "###", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", "  #", "  #", "  #"),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    ":": (" ", "#", " ", "#", " "),
    ".": (" ", " ", " ", " ", "#"),
    "+": ("   ", " # ", "###", " # ", "   "),
}
HIGH = 5


def low(text: str) -> list[str]:
    """Figures three rows high, two rows of blocks to a line, for small windows."""
    rows = [*_pixels(text, 2), ""]
    width = max(len(row) for row in rows)
    padded = [row.ljust(width) for row in rows]
    halves = {("#", "#"): "█", ("#", " "): "▀", (" ", "#"): "▄", (" ", " "): " "}
    return [
        "".join(halves[over, under] for over, under in zip(padded[i], padded[i + 1], strict=True))
        for i in range(0, HIGH + 1, 2)
    ]


def large(text: str, size: int = 1) -> list[str]:
    """Figures five rows high for each `size`, every block two columns wide for each."""
    return [row.replace("#", "█") for row in _pixels(text, 2 * size) for _ in range(size)]


def _pixels(text: str, wide: int) -> list[str]:
    return [
        (" " * wide).join("".join(block * wide for block in _ROWS[sign][row]) for sign in text if sign in _ROWS)
        for row in range(HIGH)
    ]
