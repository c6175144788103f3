"""The private channel by which a program asks the gate for another level: a string in its own output.

It is an application program command (ECMA-48 APC), which every terminal ignores and the gate never lets through. It
carries a key that only the program was given, so that nothing a recipe or a library prints can light a dark screen.
"""

import os
from collections.abc import Mapping

GATE = "TRAYCALL_GATE"
"""In the environment of a guarded program: the process that guards it, and the key."""
CAUTION = "TRAYCALL_SCREEN_CAUTION"
"""In the environment of a program in the dark: one sentence on what could not be proved of the terminal, or ""."""
_NAME = "traycall"


def new_key() -> str:
    """A key for one program."""
    return os.urandom(8).hex()


def request(key: str, level: str) -> str:
    """The string that asks for a level."""
    return f"\x1b_{_NAME};{key};{level}\x1b\\"


def read(body: str, key: str) -> str | None:
    """The level asked for by the body of an application program command; None if it is not ours or lacks the key."""
    name, _, rest = body.partition(";")
    given, _, level = rest.partition(";")
    return level if name == _NAME and key and given == key else None


def guarded_key(environment: Mapping[str, str]) -> str | None:
    """The key, if the process that started this one is the one that guards it; otherwise None: nobody guards us."""
    guardian, _, key = environment.get(GATE, "").partition(":")
    return key or None if guardian == str(os.getppid()) else None
