"""What a hand may be about to do: for which copies, when it is due, and from when to when a tap means it.

Pure, and the one place that says whose a tap is; only a second tap soon after a first among several sheets is judged by what
the first was taken for (`taps.handed_over`, `taps.in_order`). Face, refusal, answer and undo all read the same values.

A tap belongs to the copies of the last act-now call (a pip, a lift, an alarm) while its window is open; else to the
question that was spoken last. Whether a sheet is void is asked as urgently as a pip calls, and that the plan is on hold is
said so: the later counts, and a pip from before the hold means no tap any more, so that one resumes the plan. Where copies
are planned together every question is a call like the others, and is said again after another's pip. Measured over two
hundred simulated evenings with several sheets in flight: five spoiled, where the place of a copy alone had decided
twenty-eight.
"""

from collections.abc import Iterator
from typing import NamedTuple

from assistant.planning.longest_ways import FAR
from assistant.score.baths import REPEAT
from assistant.session.asking import said_last
from assistant.session.bench import Ask, Bench, drain_of, ends
from assistant.session.changes import SOONEST, last_bath
from assistant.session.copy import Copy
from assistant.session.happenings import HoldPlan
from assistant.session.place import AskedFor, Assumed, Called, InBath, InBox, Over
from assistant.session.spoiling import VOID_ASKED

FOR_HANDS = frozenset({"lift", "pip", "agitate", "ask", "over", "look"})
"""Cues for which a hand is wanted."""


class Hand(NamedTuple):
    """One thing a hand may be about to do.

    `what` is its line in the table of taps; `step` is where it leads. It is `due` at a moment, and a tap means it from
    `earliest` to `latest` (None: until it is done); `called` is when the voice called for it last. All moments in ms.
    `act_now`: its moment is commanded, not asked for.
    """

    what: str
    copies: tuple[int, ...]
    step: int
    due: int
    earliest: int
    latest: int | None
    called: int
    act_now: bool

    def open(self, at: int) -> bool:
        """Whether a tap at this moment may mean it."""
        return self.earliest <= at and (self.latest is None or at <= self.latest)


def hands(bench: Bench, at: int) -> tuple[Hand, ...]:
    """All that hands may be about to do at a moment, or will be asked for next; a company of copies once.

    The moment may lie a little before the bench's own, for what was said in words: a sheet that a pip has moved since
    was about to be moved then.
    """
    found: list[Hand] = []
    for copy in bench.living():
        hand = _of_copy(bench, copy, at)
        if hand is not None and hand not in found:
            found.append(hand)
    return (*found, *(_asked(bench, ask, at) for ask in bench.asks), *_void_asked(bench), *_offered(bench))


def meant(bench: Bench, at: int) -> Hand | None:
    """What a tap at this moment means; None: nothing."""
    return next(iter(likeliest(bench, at)), None)


def likeliest(bench: Bench, at: int) -> list[Hand]:
    """All that a tap at this moment may mean, the likeliest first."""
    return sorted((hand for hand in hands(bench, at) if hand.open(at)), key=lambda hand: _weight(bench, hand, at), reverse=True)


def awaited(bench: Bench, at: int) -> Hand | None:
    """What a hand will be wanted for next, where no tap means anything yet."""
    coming = [hand for hand in hands(bench, at) if hand.earliest > at]
    return min(coming, key=lambda hand: hand.earliest, default=None)


def free_for(bench: Bench, at: int) -> int | None:
    """How long no hand is wanted, ms, by what is promised; None while one is, or none will be. A sheet that drains is held."""
    if any(hand.open(at) and not hand.act_now for hand in hands(bench, at)) or any(drains(bench, c, at) for c in bench.living()):
        return None
    wanted = (cue.at for passage in bench.promised for cue in passage.cues if cue.at > at and cue.kind in FOR_HANDS)
    return min((moment - at for moment in wanted), default=None)


def drains(bench: Bench, copy: Copy, at: int) -> bool:
    """Whether a sheet has been called out of its bath and drains above it until its pip."""
    end = ends(bench, copy) if isinstance(copy.place, InBath) else None
    return end is not None and end - drain_of(bench.step_of(copy)) <= at < end


def _weight(bench: Bench, hand: Hand, at: int) -> tuple[bool, int, tuple[int, ...]]:
    """The last call first; of two calls at one moment the more pressing.

    Among others a question is a call too, and a lift is none yet: its pip is counted down to, so that hardly anybody taps
    before it, and a tap that falls into the drain is the slow answer to a question. A sheet is not moved into a full tray.
    """
    copy = bench.copy(hand.copies[0])
    pressing = most_pressing(bench, copy)
    answers = hand.what in ("void", "alone")  # asked once, and soon too late to answer
    call = hand.act_now or answers
    if bench.overlaps:
        full = isinstance(copy.place, Called) and into_full(bench, copy)
        answers = answers or (hand.what == "begin" and at >= done_soonest(bench, hand))
        call = answers or (hand.act_now and hand.due <= at and not full)
    return call, hand.called, tuple(-part for part in pressing)


def done_soonest(bench: Bench, hand: Hand) -> int:
    """Before this no hand has done what a question asks for (ms): a tap that can be another sheet's is that sheet's."""
    ask = bench.planned.ask if bench.planned is not None else None
    if ask is None or ((ask.copy,), ask.step) != (hand.copies, hand.step):
        return hand.due
    place = bench.copy(ask.copy).place
    return (place.since if isinstance(place, AskedFor) else hand.due) + ask.soonest


def into_full(bench: Bench, copy: Copy) -> bool:
    """Whether a sheet in a bath would come into a tray that has no room for it."""
    return copy.bath is not None and not bench.room_in(bench.following(copy))


def most_pressing(bench: Bench, copy: Copy) -> tuple[int, int, int, int]:
    """Of several sheets that wait for a hand the least of these goes first.

    First those whose next tray has room, of them a development, then who is nearest its most.
    """
    step = bench.step_of(copy)
    most = step.at_most if copy.live else None
    return into_full(bench, copy), step.kind != "develop", (copy.since or 0) + (most if most is not None else FAR), copy.number


def _of_copy(bench: Bench, copy: Copy, at: int) -> Hand | None:
    place = copy.place
    if not isinstance(place, InBath):
        return None
    step = bench.step_of(copy)
    if step.ends == "others" and not isinstance(place, Assumed | Called):
        return None
    company, onward = tuple(mate.number for mate in bench.company(copy)), bench.following(copy)
    if isinstance(place, Assumed) and at <= place.until and not _held_since(bench, place.since, at):
        came = tuple(mate.number for mate in bench.came_with(copy))
        came_from = last_bath(copy)
        drain = drain_of(bench.plan.recipe.steps[came_from.step]) if came_from is not None else 0
        called = place.since if at >= place.since else place.since - drain
        earliest, latest = _soonest(place.since, drain), place.until
        return Hand("set right", came, copy.step, place.since, earliest, latest, called, True)
    if isinstance(place, Called):
        last = place.at if at < place.alarm else at - (at - place.alarm) % REPEAT
        drain = drain_of(step)
        called = last if at >= place.at else place.at - drain
        return Hand("moved on", company, onward, place.at, _soonest(place.at, drain), None, called, True)
    if step.ends == "eye":
        return Hand("pull", company, onward, place.since, place.since, None, place.since, False)
    if step.kind == "develop" and step.factor and place.target is None:
        return Hand("first tone", company, copy.step, place.since, place.since, None, place.since, False)
    end = ends(bench, copy)
    if end is not None and step.kind != "expose":
        lift = end - step.drain
        earliest = lift if bench.rules == 1 else _soonest(end, step.drain)  # by the first rules the whole drain
        return Hand("moved on", company, onward, end, earliest, end, lift, True)
    return None


def _held_since(bench: Bench, pip: int, at: int) -> bool:
    """Whether the plan is on hold, and that was said after this pip."""
    held = (told.at for told in bench.history if isinstance(told.happening, HoldPlan)) if bench.held else ()
    return any(pip < told <= at for told in held)


def _soonest(end: int, drain: int) -> int:
    """From when before the end of its bath a hand can move a sheet on: in the drain, and not so soon that it cuts the bath."""
    return max(end - drain, end - SOONEST)


def _asked(bench: Bench, ask: Ask, at: int) -> Hand:
    return Hand("begin", ask.copies, ask.step, ask.at, ask.at, None, said_last(bench, ask, at), False)


def _void_asked(bench: Bench) -> Iterator[Hand]:
    if bench.void_asked is not None and bench.copy(bench.void_asked[0]).live:  # its last bath may have ended since
        number, at = bench.void_asked
        yield Hand("void", (number,), bench.copy(number).step, at, at, at + VOID_ASKED, at, False)


def _offered(bench: Bench) -> Iterator[Hand]:
    """To go on one at a time, for every sheet that is still in its box."""
    at, boxed = bench.offer, tuple(copy.number for copy in bench.living() if copy.boxed)
    if at is not None and boxed and bench.overlaps and not bench.one_by_one:
        yield Hand("alone", boxed, 0, at, at, at + VOID_ASKED, at, False)


def named_last(bench: Bench, at: int) -> Copy | None:
    """The copy that the voice named last, or called for: what a word without a number is about. None: nothing is out."""
    moments = [(moment, copy) for copy in bench.living() if (moment := _named(bench, copy, at)) is not None]
    return max(moments, key=lambda pair: (pair[0], -pair[1].number), default=(0, None))[1]


def _named(bench: Bench, copy: Copy, at: int) -> int | None:
    if isinstance(copy.place, InBox | Over) or (bench.rules == 1 and copy.boxed):
        return None
    calls = [copy.place.since, *(ask.at for ask in bench.asks if ask.at <= at and ask.copies == (copy.number,))]
    hand = _of_copy(bench, copy, at)
    if hand is not None and hand.called <= at:
        calls.append(hand.called)
    return max(calls)
