"""How two reds are written for one kind of terminal: 24-bit, 256 colours, or a palette that we have set.

One shape leaves the program for each kind, always with a reset before it and both colours in it. Nothing else does.
"""

from functools import lru_cache

KINDS = ("true", "256", "16")
"""24-bit colour; the reds among the 256 indexed colours; sixteen colours whose palette is ours."""

RAMP = ((0, 16), (95, 52), (135, 88), (175, 124), (215, 160), (255, 196))
"""(red as xterm defines it, index): the only entries of the 256 that are black or pure red."""


def scaled(red: int, peak: int) -> int:
    """A red of the design scale under a level's ceiling."""
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
