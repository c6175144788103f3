"""The real program with a hand of the checker inside it: keys that ask for a level, and one on which it fails.

Run as `planted.py guarded WORDS` or `planted.py bare WORDS`, the words being those of the command `traycall`. After a
fault the guard offers to go on with the session, as it does for the real command.
"""

import contextlib
import ctypes
import os
import sys
from pathlib import Path

from assistant.cli.main import main
from assistant.terminal import brightness
from assistant.terminal.guard import guard

LEVELS = {"f5": "paper", "f6": "work", "f7": "setup", "f8": "blackout"}
NOISE = "\x1b[32mgreen\x1b[0m \x1b[48;2;0;0;255mblue\x1b[m \u2705 \x1b[1;97mbright\x1b[m"


def noise() -> None:
    """Write past the screen: on both outputs, and on the terminal by its name."""
    os.write(1, NOISE.encode())
    os.write(2, NOISE.encode())
    with contextlib.suppress(OSError):
        Path("/dev/tty").write_text(NOISE)


def plant() -> None:
    """Give the session's screen its keys more."""
    from textual import events

    from assistant.screens.app import SessionApp

    itself = SessionApp.on_event

    async def on_event(app, event):
        key = event.key if isinstance(event, events.Key) else ""
        if key in LEVELS:
            assert brightness.set_level(LEVELS[key]) == brightness.is_guarded()
        elif key == "f9":
            raise RuntimeError(f"a fault on purpose {NOISE}")
        elif key == "f10":
            ctypes.string_at(0)
        elif key == "f11":
            noise()
        else:
            await itself(app, event)

    SessionApp.on_event = on_event


def run(how: str, *words: str) -> int:
    """The command behind a guard, or without one."""
    if how == "guarded":
        again = [sys.executable, __file__, "bare", "run", "--resume", "--silent", "--guard"]
        return guard([sys.executable, __file__, "bare", *words], "paper", again)
    plant()
    return main(list(words))


if __name__ == "__main__":
    raise SystemExit(run(*sys.argv[1:]))
