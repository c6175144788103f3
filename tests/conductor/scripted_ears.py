"""Ears that hear a script: what a conductor is tried with where no voice is to be recognised."""

from collections.abc import Callable, Iterable

from assistant.session.heard import Heard, SpokenNote
from assistant.session.said import OPENS


class ScriptedEars:
    """Hear these phrases and no others, each when its words are over."""

    def __init__(self, script: Iterable[Heard]) -> None:
        self._left = sorted(script, key=lambda one: one.end)
        self._hand_on: Callable[[Heard], None] = lambda heard: None
        self._allowed: frozenset[str] = frozenset()
        self._deaf: list[tuple[int, int]] = []
        self._open = True
        self.dictates = ""
        """What is said when a note is taken, "" nothing."""

    def listen(self, heard: Callable[[Heard], None]) -> None:
        """Hand every phrase to this."""
        self._hand_on = heard

    def allow(self, names: frozenset[str]) -> None:
        """Hear only these."""
        self._allowed = names

    def deaf(self, begin: int, end: int) -> None:
        """Hear nothing between these moments."""
        self._deaf.append((begin, end))

    def passes_over(self, at: int) -> bool:
        """Whether it hears nothing then."""
        return any(begin <= at < end for begin, end in self._deaf)

    def take_down(self, file: str, noted: Callable[[SpokenNote | None], None]) -> None:
        """A note of these words, said at once."""
        noted(SpokenNote(self.dictates, file) if self.dictates else None)

    def open(self) -> None:
        """Hear what is allowed."""
        self._open = True

    def close(self) -> None:
        """Hear only that they are to be opened."""
        self._open = False

    def trouble(self) -> str:
        """Nothing can go wrong here."""
        return ""

    def due(self) -> int | None:
        """When the next phrase of the script is over, ms."""
        return self._left[0].end if self._left else None

    def until(self, at: int) -> None:
        """Hear all that is over by a moment (ms)."""
        while self._left and self._left[0].end <= at:
            one = self._left.pop(0)
            allowed = self._allowed if self._open else self._allowed & OPENS
            if one.name in allowed and not any(one.begin < end and begin < one.end for begin, end in self._deaf):
                self._hand_on(one)
