"""From keys and mouse buttons of a terminal to the one button, and to named keys that are only still down. No widget here.

What a press means in the session is the hand's; which key is which is the face's.
"""

from textual import events

from assistant.buttons.one_button import OneButton
from assistant.session.named_keys import RESTING


def waited(pressed: float) -> int:
    """How long a key has waited to be looked at (ms): a terminal that stops reading holds the screen up, not the hand."""
    now = events.Event().time  # by the clock that stamps keys, which is not the same one on every system
    return max(0, int((now - pressed) * 1000))


class Touches:
    """Which key is down as the button, and which named key came last."""

    def __init__(self, hand: OneButton) -> None:
        self.hand = hand
        self.releases = False
        """Whether the terminal reports that a key is let go."""
        self._down = ""
        self._named, self._last = "", -RESTING

    def touch(self, key: str, at: int, *, releases: bool) -> None:
        """A key or mouse button that is the button went down."""
        if self._down and (key != self._down or releases):
            self.hand.lost()  # that it was let go was not heard, or a glove rests on it: another key is not deaf for that
        self._down, self._named = key, ""  # one that closed an empty line is the button from here on, held or not
        self.hand.down(at, releases=releases)

    def again(self, key: str, at: int) -> None:
        """A key is reported to be still down."""
        if key == self._down:
            self.hand.again(at)

    def let_go(self, key: str, at: int) -> None:
        """A key or mouse button is reported to have gone up."""
        if key == self._down:
            self._down = ""
            self.hand.up(at)

    def lost(self) -> None:
        """The keys go to another window."""
        self._down = ""
        self.hand.lost()

    def still_down(self, key: str, at: int, named: bool) -> bool:
        """Whether a named key, or one that ended a typed line, is only still down: it must not act again, or become a tap."""
        return (named or key == self._named) and self.resting(key, at)

    def resting(self, key: str, at: int) -> bool:
        """Whether a key that is not the button, or ended a typed line, is only still down."""
        resting = key == self._named and at - self._last < RESTING
        self._named, self._last = key, at
        return resting
