"""A whole session at once: the conductor under a clock that jumps from one event to the next, a desk that keeps what would
have been heard, and a printer made of rules who plays the hands.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Protocol

from assistant.conductor.conductor import Conductor
from assistant.conductor.planner import planner_for
from assistant.conductor.twins import NoJournal, RecordingDesk, SetClock
from assistant.planning.hand_times import Hands
from assistant.score.cues import Cue
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.advance import open_bench
from assistant.session.bench import Bench, ends
from assistant.session.changes import SHORT_WINDOW
from assistant.session.copy import Stay
from assistant.session.hands import Hand, hands
from assistant.session.passing import due
from assistant.session.place import Assumed, InLight
from assistant.session.script import Played


class Printer(Protocol):
    """Whoever plays the hands of a rehearsal."""

    def next(self, bench: Bench) -> Played | None:
        """The next hand, if nothing else happens before it; None: no hand moves."""
        ...

    def played(self, hand: Played) -> None:
        """The hand was played."""
        ...


USUAL = Hands()
"""The hands that copies are planned for where nobody names others."""
PLACE_PAPER = 20_000
"""How long a punctual printer takes to lay out a sheet once asked (ms); common practice, no source."""
REACH = 10_000
"""How long for any other hand that is asked for (ms): common practice, no source."""
FIRST_TONE = 20_000
"""After how long the first tone of a rehearsal shows (ms); common practice, no source."""
MOST_EVENTS = 20_000
"""Far more than the longest session has (60 copies, a thousand): a rehearsal that runs in a circle ends."""


@dataclass(frozen=True)
class Rehearsal:
    """What was heard in a session, in order, the hands that played, and the bench at its end."""

    heard: tuple[Cue, ...]
    hands: tuple[Played, ...]
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


def rehearse(score: Score, printer: Printer, hands: Hands = USUAL) -> Rehearsal:
    """Play a session to its end, or until neither time nor the printer will change anything.

    Where copies overlap they are planned for these `hands`. DoesNotEnd after `MOST_EVENTS`.
    """
    clock, desk, hands_played = SetClock(), RecordingDesk(), []
    conductor = Conductor(open_bench(score), clock, desk, NoJournal(), planner_for(score, hands))
    conductor.open()
    for _ in range(MOST_EVENTS):
        moment, hand = due(conductor.bench), printer.next(conductor.bench)
        if moment is None and hand is None:
            break
        if hand is None or (moment is not None and moment <= hand[0]):
            clock.at = moment or 0
            desk.until(clock.at)
            conductor.beat()
            continue
        clock.at = max(hand[0], conductor.bench.now)
        desk.until(clock.at)
        if isinstance(hand[1], h.Woke):
            desk.unheard_since(hand[1].since)
        conductor.tell(hand[1])
        hands_played.append((clock.at, hand[1]))
        printer.played(hand)
    else:
        where = [(copy.number, copy.place) for copy in conductor.bench.living()]
        raise DoesNotEnd(f"no end after {MOST_EVENTS} events: {conductor.bench.now} ms, {where}")
    bench = conductor.bench
    rest = bench.now if any(copy.live for copy in bench.copies) else bench.now + SHORT_WINDOW
    return Rehearsal(tuple(desk.until(rest)), tuple(hands_played), bench)


@dataclass
class Punctual:
    """A printer who does what is asked, `late` ms after it should be done, and then says when a pip was missed.

    One pair of hands: what is wanted while they are at something else comes later by that. `gap` is how long after every
    question (ms) the hand comes; None: as long as that hand usually takes.
    """

    late: int = 0
    gap: int | None = None
    told: set[tuple[int, int]] = field(default_factory=set)
    corrections: list[Played] = field(default_factory=list)
    busy_until: int = 0
    """Until when the hands are at the sheet that was moved last (ms)."""

    def next(self, bench: Bench) -> Played | None:
        """The next hand, if nothing else happens before it."""
        if bench.finished:
            return None
        self._notice(bench)
        found = (*self.corrections[:1], self._hand(bench))
        return min(filter(None, found), key=lambda hand: hand[0], default=None)

    def played(self, hand: Played) -> None:
        """The hand was played."""
        if hand in self.corrections:
            self.corrections.remove(hand)

    def _notice(self, bench: Bench) -> None:
        """A move was taken for done on its pip: it is really done late, with a tap in its window or a word after it."""
        moved = [(copy.place, copy) for copy in bench.living() if isinstance(copy.place, Assumed)]
        for place, copy in sorted(moved, key=lambda one: one[0].since):
            if (copy.number, place.since) in self.told:
                continue
            self.told |= {(mate.number, place.since) for mate in bench.came_with(copy)}
            done = max(place.since + self.late, self._free(bench))
            self.busy_until = max(self.busy_until, done)
            if done > place.since:
                word = h.Tap() if done < place.until else h.Moved(copy.number, 0)
                self.corrections = sorted([*self.corrections, (done, word)], key=lambda hand: hand[0])

    def _free(self, bench: Bench) -> int:
        """When the hands are free: not before the lamp is off, and the sheet before is in its bath."""
        lit = (ends(bench, copy) or 0 for copy in bench.living() if isinstance(copy.place, InLight))
        return max(self.busy_until, *lit, 0)

    def _hand(self, bench: Bench) -> Played | None:
        """The first hand that somebody waits for: a sheet whose time is up, a question, or what the eye sees."""
        moments = [moment for hand in hands(bench, bench.now) if (moment := self._comes(bench, hand)) is not None]
        return (max(bench.now, min(moments) + self.late, self.busy_until), h.Tap()) if moments else None

    def _comes(self, bench: Bench, hand: Hand) -> int | None:
        copy = bench.copy(hand.copies[0])
        step = bench.step_of(copy)
        if hand.what == "begin":
            laying = hand.step < len(bench.plan.recipe.steps) and bench.plan.recipe.steps[hand.step].kind == "expose"
            return hand.due + (self.gap if self.gap is not None else PLACE_PAPER if laying else REACH)
        if hand.what == "moved on":
            return hand.due if hand.latest is None else None
        if hand.what == "first tone":
            return hand.due + FIRST_TONE
        if hand.what == "pull" and step.by_eye is not None:
            return hand.due + (step.by_eye.earliest + step.by_eye.latest) // 2
        return None


class Scripted:
    """A printer who plays these hands and no others, in order of time."""

    def __init__(self, hands: Iterable[Played]) -> None:
        self.left = sorted(hands, key=lambda hand: hand[0])

    def next(self, bench: Bench) -> Played | None:
        """The next hand of the script."""
        return self.left[0] if self.left else None

    def played(self, hand: Played) -> None:
        """The hand was played."""
        self.left.pop(0)
