"""The sessions kept, as the screen looks back on them: each replayed when it is first seen, and not before."""

from collections.abc import Sequence
from typing import overload

from assistant.printing.records_read import record_of, standing
from assistant.printing.refusal import Refusal
from assistant.records.chemistry import InUse, days, through
from assistant.records.file import JournalFault
from assistant.records.journal import Journal
from assistant.records.kept import Session
from assistant.screens.past import Past


class PastSessions(Sequence[Past]):
    """All sessions of a journal that stays open, the last one first."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._sessions = journal.sessions()[::-1]
        self._seen: dict[int, Past] = {}

    def place(self, number: int) -> int:
        """Where the session of a number stands; ValueError where there is none."""
        return [session.number for session in self._sessions].index(number)

    def __len__(self) -> int:
        return len(self._sessions)

    @overload
    def __getitem__(self, at: int) -> Past: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[Past]: ...
    def __getitem__(self, at: int | slice) -> Past | Sequence[Past]:
        if isinstance(at, slice):
            return [self[place] for place in range(*at.indices(len(self)))]
        session = self._sessions[at]
        if session.number not in self._seen:
            self._seen[session.number] = past(self._journal, session)
        return self._seen[session.number]


def past(journal: Journal, session: Session) -> Past:
    """A session as the screen shows it; one that can't be read says why."""
    head = (session.number, session.started, session.title, session.copies, session.lived, session.ended)
    try:
        record = record_of(journal, session)
        baths = standing(journal, list(record.bench.plan.recipe.trays), session.started)
    except (Refusal, JournalFault) as error:
        return Past(*head, bench=None, trouble=str(error))
    mixed = tuple((tray, _before(session, bath)) for tray, bath in baths.items())
    return Past(*head, record.bench, mixed, record.unattended)


def _before(session: Session, bath: InUse) -> str:
    return f"mixed {days(session.started - bath.mixed)} before; until then {through(bath)}"
