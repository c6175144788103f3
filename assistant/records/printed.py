"""A session as it was printed: its entries replayed on the bench, until the last moment the program surely lived.

The same machine that ran the session tells what became of it; nothing that can be derived is kept. How a record
looks on paper is `edition`'s.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from assistant.records.kept import Entry, Session
from assistant.score.score import Score
from assistant.session.advance import replay
from assistant.session.bench import Bench
from assistant.session.copy import Copy, Stay
from assistant.session.happenings import Woke
from assistant.session.passing import fresh_bench


@dataclass(frozen=True)
class Printed:
    """A session, what happened in it, and its bench as it stood at the end."""

    session: Session
    entries: tuple[Entry, ...]
    bench: Bench

    @property
    def stays(self) -> tuple[Stay, ...]:
        """Every finished stay of every copy, by their beginning."""
        return tuple(sorted((s for c in self.bench.copies for s in c.stays), key=lambda s: (s.from_ms, s.copy)))

    @property
    def toned(self) -> tuple[Stay, ...]:
        """The stays in the toner in the order pulled, along which the bath tired."""
        return tuple(stay for stay in self.stays if stay.kind == "tone" and stay.verdict != "void")

    @property
    def unattended(self) -> tuple[tuple[int, int], ...]:
        """From when to when nobody was called: a crash, or a sleeping computer."""
        return tuple((e.happening.since, e.at) for e in self.entries if isinstance(e.happening, Woke))

    @property
    def left(self) -> tuple[Copy, ...]:
        """Copies that were still in a bath when the record ends."""
        return tuple(copy for copy in self.bench.living() if copy.since is not None)

    def trays_of(self, copy: Copy) -> dict[str, int]:
        """Tray -> when this sheet first touched its bath."""
        first: dict[str, int] = {}
        for stay in copy.stays:
            if stay.tray is not None:
                first.setdefault(stay.tray, stay.from_ms)
        tray = getattr(self.bench.step_of(copy), "tray", None) if copy.live and copy.since is not None else None
        if tray is not None and copy.since is not None:
            first.setdefault(tray, copy.since)
        return first


def printed(session: Session, score: Score, entries: Iterable[Entry]) -> Printed:
    """What became of a session, by the score of its frozen recipe."""
    kept = tuple(entries)
    until = session.lived if session.ended is None else session.ended
    history = tuple((entry.at, entry.happening) for entry in kept)
    return Printed(session, kept, replay(fresh_bench(score), history, until))


def state(copy: Copy) -> str:
    """What became of a sheet, in a word or two."""
    return "void" if copy.void else "done" if copy.done else "not begun" if copy.boxed else "not finished"
