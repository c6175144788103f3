"""The program's own hand on the brightness of its screen: what it may ask of the process that guards it.

    light.set_level("work")     True: the screen is black now, and the guard has told the program to paint anew
"""

import os
import sys

from assistant.terminal import channel
from assistant.terminal.levels import peak


def set_level(level: str) -> bool:
    """Ask the guard for a level of `LEVELS`; False where nobody guards and the program has to keep to it by itself.

    A blackout is held by the guard: whatever is painted meanwhile is lost. ValueError for no such level.
    """
    peak(level)
    key = channel.guarded_key(os.environ)
    if key is None or sys.__stderr__ is None:
        return False
    sys.__stderr__.write(channel.request(key, level))  # where Textual paints, so that it comes between two whole paints
    sys.__stderr__.flush()
    return True


def caution() -> str:
    """What the guard could not prove of this terminal: one sentence to show once, "" when all was proved or nobody guards."""
    return os.environ.get(channel.CAUTION, "")
