"""The sessions kept, as the screen looks back on them: each read when it is first seen, and not before."""

from collections.abc import Sequence
from typing import overload

from assistant.history.printed import Printed
from assistant.printing.records_read import record_of
from assistant.records.journal import Journal


class PastSessions(Sequence[Printed]):
    """All sessions of a journal that stays open, the last one first."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self.sessions = journal.sessions()[::-1]
        self._seen: dict[int, Printed] = {}

    def place(self, number: int) -> int:
        """Where the session of a number stands; ValueError where there is none."""
        return [session.number for session in self.sessions].index(number)

    def __len__(self) -> int:
        return len(self.sessions)

    @overload
    def __getitem__(self, at: int) -> Printed: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[Printed]: ...
    def __getitem__(self, at: int | slice) -> Printed | Sequence[Printed]:
        if isinstance(at, slice):
            return [self[place] for place in range(*at.indices(len(self)))]
        session = self.sessions[at]
        if session.number not in self._seen:
            self._seen[session.number] = record_of(self._journal, session)
        return self._seen[session.number]
