"""A journal that never turns a printer out: what cannot be kept now is held in memory and tried again.

With sheets in the developer a full disk is no reason to stop; the face says plainly that nothing is being kept.
"""

from assistant.records.faults import JournalFault
from assistant.records.session_journal import SessionJournal
from assistant.session.bench import Bench
from assistant.session.happenings import Happening


class BufferedJournal:
    """A session's journal for the time of the session; satisfies `conductor.ports.Journal` and raises only at the end."""

    def __init__(self, kept: SessionJournal) -> None:
        self._kept = kept
        self._waiting: list[tuple[int, Happening, Bench]] = []
        self._fault = ""

    def append(self, at: int, happening: Happening, bench: Bench) -> None:
        """Write one happening and the bench that it made, and before it all that still waits."""
        self._waiting.append((at, happening, bench))
        self._write()

    def alive(self, at: int, bench: Bench) -> None:
        """The program lives at this moment; while happenings wait they are tried again instead."""
        self._write()
        if not self._waiting:
            try:
                self._kept.alive(at, bench)
            except JournalFault as fault:
                self._fault = str(fault)

    def trouble(self) -> str:
        """Why the session is not being kept, "" when it is."""
        return f"Not being kept: {self._fault}" if self._fault else ""

    def finish(self, at: int, bench: Bench) -> None:
        """End the session as the bench stands; JournalFault when some of it could not be kept."""
        self._write()
        if self._waiting:
            raise JournalFault(f"Happenings that could not be kept: {len(self._waiting)}. {self._fault}")
        self._kept.alive(at, bench)
        self._kept.finish(at)

    def _write(self) -> None:
        try:
            while self._waiting:
                self._kept.append(*self._waiting[0])
                del self._waiting[0]
            self._fault = ""
        except JournalFault as fault:
            self._fault = str(fault)
