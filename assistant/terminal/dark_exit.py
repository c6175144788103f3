"""The dark exit: the program is over, the paper may not be. Stays black and red until the printer types `lights`.

Nothing else lights the room: not Ctrl+C, not Enter, not a wrong word. In a blackout the words are not even shown.
"""

import os
import re
import signal

from assistant.terminal.owner import KEYBOARD, Owner

WORD = "lights"
_STAYS = f"The screen stays dark. When all paper is covered, type  {WORD}  and press Enter."
_AGAIN = "To resume the session, press Enter alone."
_SEQUENCE = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~]|O.|.)?")


class Typed:
    """What has been typed on one line, letters only."""

    def __init__(self) -> None:
        self.line = ""

    def take(self, keys: str) -> list[str]:
        """The lines that these keys have ended."""
        ended = []
        for key in _SEQUENCE.sub("", keys):
            if key in "\r\n":
                ended.append(self.line)
                self.line = ""
            elif key in "\x7f\b":
                self.line = self.line[:-1]
            elif key.isascii() and key.isalpha():
                self.line = (self.line + key.lower())[-24:]
        return ended


def stay_dark(owner: Owner, why: str, keep: bool = False, again: bool = False) -> str:
    """Say why it is over and wait: `lights` when the word was typed, `again` on a bare Enter, `gone` without a terminal.

    `keep` leaves on the screen what was said last.
    """
    told = [why, "", _STAYS, *([_AGAIN] if again else []), ""]
    owner.say(*told, keep=keep)
    typed = Typed()
    if not owner.terminal.obeys:  # a window that grows shows its own ground
        signal.signal(signal.SIGWINCH, lambda *_: owner.say(*told, typed.line))
    while True:
        try:
            keys = os.read(KEYBOARD, 256)
        except OSError:
            keys = b""
        if not keys:
            return "gone"
        for line in typed.take(keys.decode("latin-1")):
            if line == WORD:
                return "lights"
            if again and not line:
                return "again"
        owner.echo(typed.line)
