"""A session's journal that keeps nothing once the program has ended: what tests write into where none of it is about the disk."""

import json

from assistant.history.course import course_of
from assistant.history.printed import Course
from assistant.records.entries import Dated, Entry, LastAlive, happened
from assistant.records.faults import JournalFault
from assistant.session.bench import Bench
from assistant.session.happenings import Happening, as_row


class MemoryJournal:
    """Does what a `SessionJournal` does, without a disk; satisfies `conductor.ports.HappeningsJournal`."""

    def __init__(self, clock: Dated) -> None:
        self._clock = clock
        self._entries: list[Entry] = []
        self._course = Course()
        self._closed = False
        self.mark = self.last = LastAlive(0, clock.wall(), clock.boot, clock.origin)

    def append(self, at: int, happening: Happening, bench: Bench) -> None:
        """Keep one happening at its moment (ms since the session began), and the bench that it made."""
        if at < 0:
            raise JournalFault(f"No moment lies before the session began: {at} ms.")
        self.alive(at, bench)
        name, details = as_row(happening)
        self._entries.append(Entry(at, happened(name, json.dumps(details)), self._clock.wall()))

    def alive(self, at: int, bench: Bench) -> None:
        """The program lives at this moment, and this is how the bench stands."""
        self._live(at)
        self._course = course_of(bench)

    def behind(self) -> bool:
        """Memory waits for nothing."""
        return False

    def trouble(self) -> str:
        """Memory is never full."""
        return ""

    def finish(self, at: int) -> None:
        """The session is over."""
        self._live(at)
        self._closed = True

    def entries(self) -> list[Entry]:
        """What happened so far, in order."""
        return list(self._entries)

    def course(self) -> Course:
        """How the session went, as it was kept last."""
        return self._course

    def leave(self) -> None:
        """Nothing more will be added."""
        self._closed = True

    def _live(self, at: int) -> None:
        if self._closed:
            raise JournalFault("This session is closed: nothing can be added to it.")
        if at >= self.last.at:
            self.last = LastAlive(at, self._clock.wall(), self._clock.boot, self._clock.origin)
