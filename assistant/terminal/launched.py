"""What `traycall-dark` leaves behind it: the other screen painted black, and the program told so in its environment.

Every call looks here before it prints, so what speaks with a terminal is read only where one was painted.
"""

import os
from collections.abc import MutableMapping

LAUNCHED = "TRAYCALL_BLACK"
"""In the environment where `traycall-dark` has painted the other screen black; nothing can be read on it."""
_PATIENCE = 2.0
"""Seconds for which a screen that takes nothing is waited for, as `owner` does: its window may be stopped."""


def readable_again(environment: MutableMapping[str, str]) -> None:
    """Before words where no guard was had: the first screen again where `traycall-dark` has painted the other one black.

    A terminal that was dark before stays so, and the words are red.
    """
    if environment.pop(LAUNCHED, ""):
        _uncover()


def _uncover() -> None:
    import termios
    import tty

    from assistant.terminal import sequences
    from assistant.terminal.brightness import DEFAULT, LEVELS
    from assistant.terminal.capabilities import COLOURS, ask, understood
    from assistant.terminal.colours import TEXT
    from assistant.terminal.owner import KEYBOARD
    from assistant.terminal.screen_queue import open_screen, write_all

    screen, lines = open_screen(), termios.tcgetattr(KEYBOARD)
    tty.setraw(KEYBOARD, termios.TCSAFLUSH)
    said = ask(lambda text: write_all(screen, text, _PATIENCE), lambda: os.read(KEYBOARD, 4096), KEYBOARD, COLOURS + "\x1b[c")
    answers = understood(said)
    found_dark = answers is not None and answers.taken
    write_all(screen, sequences.ink("true", LEVELS[DEFAULT], TEXT, 0) if found_dark else sequences.FIRST_SCREEN, _PATIENCE)
    termios.tcsetattr(KEYBOARD, termios.TCSADRAIN, lines)
    os.close(screen)
