"""How bright the screen may be, and how a program asks its guard for another brightness.

Four named levels, each a ceiling: ordinary text is 200/255 of it, secondary text 140/255, and black is black at every
level. The wish for a level travels in the program's own output, as an application program command (ECMA-48 APC), which
every terminal ignores and the gate never lets through. It carries a key that only the program was given, so that
nothing a recipe or a library prints can light a dark screen.

    brightness.set_level("work")     True: the screen is black now, and the guard has told the program to paint anew
"""

import os
import sys

LEVELS = {"paper": 0x40, "work": 0x70, "setup": 0xD0, "blackout": 0x00}
"""Level -> the brightest red that may leave the program, as an 8-bit code value.

`paper`: paper is out of its box. `work`: paper is boxed. `setup`: no paper in the room. `blackout`: nothing is painted.
Common practice, no source: a quarter, under a half and four fifths of full red; what paper bears is for a fog test to say.
"""

DEFAULT = "paper"
"""The level where nothing is said: the darkest at which anything is seen."""


def peak(level: str) -> int:
    """The brightest red of a level (0 to 255). ValueError, worded for a printer, for a level that is not one."""
    try:
        return LEVELS[level]
    except KeyError:
        raise ValueError(f"No level is called {level!r}; the levels are {', '.join(LEVELS)}.") from None


GATE = "TRAYCALL_GATE"
"""In the environment of a guarded program: the process that guards it, and the key."""
CAUTION = "TRAYCALL_SCREEN_CAUTION"
"""In the environment of a program in the dark: one sentence on what could not be proved of the terminal, or ""."""
_NAME = "traycall"
BEGUN = "begun"
"""Asked for in the place of a level: a session began, and paper may be out until `lights` is typed."""


def new_key() -> str:
    """A key for one program."""
    return os.urandom(8).hex()


def request(key: str, level: str) -> str:
    """The string that asks for a level, or says `BEGUN`."""
    return f"\x1b_{_NAME};{key};{level}\x1b\\"


def request_in(body: str, key: str) -> str | None:
    """The level asked for, or `BEGUN`, in the body of an application program command; None if it is not ours or lacks the key."""
    name, _, rest = body.partition(";")
    given, _, level = rest.partition(";")
    return level if name == _NAME and key and given == key else None


def is_guarded() -> bool:
    """Whether a supervisor started this process and holds the terminal for it."""
    return bool(_key())


def _key() -> str:
    """The key that the guard gave, "" where nobody guards: the process that started this one has to be the guard."""
    guardian, _, key = os.environ.get(GATE, "").partition(":")
    return key if guardian == str(os.getppid()) else ""


def set_level(level: str) -> bool:
    """Ask the guard for a level of `LEVELS`; False where nobody guards and the program has to keep to it by itself.

    A blackout is held by the guard: whatever is painted meanwhile is lost. ValueError for no such level.
    """
    peak(level)
    return _told(level)


def session_begins() -> bool:
    """Tell the guard that paper may be out from now on: whatever ends the program, the terminal stays dark after it."""
    return _told(BEGUN)


def _told(request_word: str) -> bool:
    key = _key()
    if not key or sys.__stderr__ is None:
        return False
    sys.__stderr__.write(request(key, request_word))  # where Textual paints, so that it comes between two whole paints
    sys.__stderr__.flush()
    return True


def caution() -> str:
    """What the guard could not prove of this terminal: one sentence to show once, "" when all was proved or nobody guards."""
    return os.environ.get(CAUTION, "")
