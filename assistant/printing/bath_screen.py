"""The baths of the records behind their screen: what is typed there is read as the commands read it."""

from collections.abc import Sequence

from assistant.history.baths import Bath
from assistant.printing import bath_work as work
from assistant.printing.records_read import wall_now
from assistant.printing.refusal import Refusal
from assistant.records.baths import NoBath
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from assistant.screens.dry.outside import CantDo
from assistant.trade import quantities as q


class BathShelf:
    """The baths of a journal that stays open; satisfies `screens.dry.outside.Shelf`."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal

    def lines(self) -> Sequence[tuple[str, str]]:
        """Name and state of every bath in use."""
        try:
            return list(work.listed(self._journal))
        except JournalFault as error:
            raise CantDo(str(error)) from None

    def do(self, key: str, name: str, typed: Sequence[str]) -> str:
        """Do what a key stands for, with what was written for it; CantDo where that is refused."""
        try:
            return " ".join(self._done(key, name, typed))
        except (Refusal, NoBath, JournalFault, q.Misread) as error:
            raise CantDo(str(error)) from None

    def _done(self, key: str, name: str, typed: Sequence[str]) -> list[str]:
        now, words = wall_now(), [" ".join(part.split()) for part in typed]
        if key == "m":
            return work.mixed(self._journal, name, now)
        if key == "x":
            return work.retire(self._journal, name, words[0], now)
        if key == "t":
            return work.top_up(self._journal, name, q.parse_volume(words[0]), q.parse_volume(words[1]), now)
        called, tray, volume, lasts = words
        millilitres = q.parse_volume(volume) if volume else None
        bath = Bath(0, called, "bath", called, None, millilitres, q.parse_lasts(lasts) if lasts else None, None, now)
        return work.add(self._journal, bath, tray or called)
