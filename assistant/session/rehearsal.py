"""A whole session at once: time jumps from one event to the next, and a printer made of rules plays the hands.

Pure. What is heard is just what the promises in force would have sounded.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Protocol, TypeAlias

from assistant.recipe.model import Expose, Tone
from assistant.score.cues import Cue
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from assistant.session.bench import WINDOW, Bench
from assistant.session.copy import Stay
from assistant.session.passing import due
from assistant.session.promise import asked_at
from assistant.session.taps import place

Hand: TypeAlias = tuple[int, h.Happening]


class Printer(Protocol):
    """Whoever plays the hands of a rehearsal."""

    def next(self, bench: Bench) -> Hand | None:
        """The next hand, if nothing else happens before it; None: no hand moves."""
        ...

    def played(self, hand: Hand) -> None:
        """The hand was played."""
        ...


PLACE_PAPER = 20_000
"""How long a punctual printer takes to lay out a sheet once asked (ms); common practice, no source."""
REACH = 10_000
"""How long for any other hand that is asked for (ms)."""
FIRST_TONE = 20_000
MOST_EVENTS = 20_000


@dataclass(frozen=True)
class Rehearsal:
    """What was heard in a session, in order, the hands that played, and the bench at its end."""

    heard: tuple[Cue, ...]
    hands: tuple[Hand, ...]
    bench: Bench

    @property
    def stays(self) -> tuple[Stay, ...]:
        """Every stay of every copy, by their beginning."""
        return tuple(sorted((s for c in self.bench.copies for s in c.stays), key=lambda s: (s.from_ms, s.copy)))

    @property
    def ends(self) -> int:
        """When the session was over, ms."""
        return max((self.bench.now, *(cue.at for cue in self.heard)))


class DoesNotEnd(RuntimeError):
    """The rehearsal ran into its limit of events; the message says where it was."""


def rehearse(score: Score, printer: Printer) -> Rehearsal:
    """Play a session to its end, or until neither time nor the printer will change anything."""
    bench, heard, hands = open_bench(score), [], []
    heard_until = -1
    for _ in range(MOST_EVENTS):
        moment, hand = due(bench), printer.next(bench)
        if moment is None and hand is None:
            break
        if hand is None or (moment is not None and moment <= hand[0]):
            assert moment is not None
            bench = advance(bench, None, moment).bench
            continue
        at = max(hand[0], bench.now)
        heard += list(promised(bench, heard_until, at))
        outcome = advance(bench, hand[1], at)
        bench, heard_until = outcome.bench, at
        hands.append((at, hand[1]))
        printer.played(hand)
        heard += [outcome.answer] if outcome.answer else []
    else:
        raise DoesNotEnd(f"no end after {MOST_EVENTS} events: {bench.now} ms, {[(c.number, c.step) for c in bench.living()]}")
    rest = bench.now if bench.wanted or any(c.live for c in bench.copies) else bench.now + WINDOW
    return Rehearsal((*heard, *promised(bench, heard_until, rest)), tuple(hands), bench)


def promised(bench: Bench, after: int, until: int) -> list[Cue]:
    """The cues that sound after one moment and by another, if nothing else happens."""
    found = [cue for passage in bench.promised for cue in passage.cues if after < cue.at <= until]
    return sorted(found, key=lambda cue: (cue.at, cue.sound.rank, cue.copy or 0, cue.kind))


@dataclass
class Punctual:
    """A printer who does what is asked, `late` ms after it should be done, and then says when a pip was missed.

    `gap` is how long after every question (ms) the hand comes; None: as long as that hand usually takes.
    """

    late: int = 0
    gap: int | None = None
    told: set[tuple[int, int]] = field(default_factory=set)
    correction: Hand | None = None

    def next(self, bench: Bench) -> Hand | None:
        """The next hand, if nothing else happens before it."""
        if bench.finished:
            return None
        self._notice(bench)
        hands = (self.correction, self._wanted(bench), self._eye(bench))
        return min(filter(None, hands), key=lambda hand: hand[0], default=None)

    def played(self, hand: Hand) -> None:
        """The hand was played."""
        if hand == self.correction:
            self.correction = None

    def _notice(self, bench: Bench) -> None:
        """A move was taken for done on its pip: it is really done late, with a tap in its window or a word after it."""
        for copy in bench.living():
            if not self.late or copy.since is None or copy.moved is None or (copy.number, copy.since) in self.told:
                continue
            self.told |= {(mate.number, mate.since or 0) for mate in bench.company(copy)}
            self.correction = copy.since + self.late, h.Tap() if self.late < WINDOW else h.Moved(copy.number, 0)

    def _wanted(self, bench: Bench) -> Hand | None:
        called = [copy.called for copy in bench.living() if copy.called is not None]
        if called:
            return max(bench.now, min(called)) + self.late, h.Tap()
        if not bench.wanted:
            return None
        copy = bench.copy(bench.wanted[0])
        laying = copy.since is None and isinstance(bench.step_of(copy), Expose)
        takes = self.gap if self.gap is not None else PLACE_PAPER if laying else REACH
        return asked_at(bench) + takes + self.late, h.Tap()

    def _eye(self, bench: Bench) -> Hand | None:
        for copy in bench.living():
            step = bench.step_of(copy)
            if copy.since is None:
                continue
            if isinstance(step, Tone):
                return copy.since + (step.by_eye.earliest + step.by_eye.latest) // 2 + self.late, h.Tap()
            if place(bench, copy, bench.now) == "unseen":
                return copy.since + FIRST_TONE + self.late, h.Tap()
        return None


class Scripted:
    """A printer who plays these hands and no others, in order of time."""

    def __init__(self, hands: Iterable[Hand]) -> None:
        self.left = sorted(hands, key=lambda hand: hand[0])

    def next(self, bench: Bench) -> Hand | None:
        """The next hand of the script."""
        return self.left[0] if self.left else None

    def played(self, hand: Hand) -> None:
        """The hand was played."""
        self.left.pop(0)
