"""How bright the screen may be: four named levels. Nothing but the numbers lives here.

A level is a ceiling. Ordinary text is 200/255 of it, secondary text 140/255, and black is black at every level.
"""

LEVELS = {"paper": 0x40, "work": 0x70, "setup": 0xD0, "blackout": 0x00}
"""Level -> the brightest red that may leave the program, as an 8-bit code value.

`paper`: paper is out of its box. `work`: paper is boxed. `setup`: no paper in the room. `blackout`: nothing is painted.
"""

DEFAULT = "paper"


def peak(level: str) -> int:
    """The brightest red of a level (0 to 255). ValueError, worded for a printer, for a level that is not one."""
    try:
        return LEVELS[level]
    except KeyError:
        raise ValueError(f"No level is called {level!r}; the levels are {', '.join(LEVELS)}.") from None
