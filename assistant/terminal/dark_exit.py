"""The dark exit: the program is over, the paper may not be. Stays black and red until the printer types `lights`.

Nothing else lights the room: not Ctrl+C, not Enter, not a wrong word. In a blackout the words are not even shown. A session
that was cut off is gone on with by whatever a pedal can send: any key that is no letter, and any click.
"""

import os
import signal

from assistant.terminal import sequences
from assistant.terminal.owner import KEYBOARD, Owner
from assistant.terminal.parser import Keystrokes

WORD = "lights"
"""What is typed when all paper is covered."""
_LETTERS_KEPT = 24
"""Of a line that is typed only so many letters count, the last ones: four times the word."""
_STAYS = ("The screen stays dark.", "When all paper is covered,", f"type  {WORD}  and press Enter.")
"""In lines that fit into forty columns."""
_AGAIN = ("To resume the session, press", "Enter alone, the space bar,", "a pedal, or a mouse button.")
_NO_TAPS = frozenset("\x03\x04\x1a\x1c")
"""Ctrl+C, D, Z and backslash ask for an end, not for going on."""


class Typed:
    """What has been typed on one line, letters only."""

    def __init__(self) -> None:
        self.line = ""
        self._strokes = Keystrokes()

    def take(self, came: bytes) -> list[str]:
        """What these keys have ended or asked for: lines, and "" for anything else that is pressed on an empty line."""
        ended = []
        for key in self._strokes.feed(came):
            if key in "\r\n":
                ended.append(self.line)
                self.line = ""
            elif key in "\x7f\b":
                self.line = self.line[:-1]
            elif key.isascii() and key.isalpha():
                self.line = (self.line + key.lower())[-_LETTERS_KEPT:]
            elif not self.line and key not in _NO_TAPS:
                ended.append("")
        return ended


def stay_dark(owner: Owner, why: str, keep: bool = False, again: bool = False) -> str:
    """Say why it is over and wait: `lights` when the word was typed, `again` on a tap, `gone` without a terminal.

    `keep` leaves on the screen what was said last.
    """
    told = [why, "", *_STAYS, *(_AGAIN if again else ()), ""]
    owner.say(*told, keep=keep)
    if again:
        owner.write(sequences.CLICKS)
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
        for line in typed.take(keys):
            if line == WORD:
                return "lights"
            if again and not line:
                return "again"
        owner.echo(typed.line)
