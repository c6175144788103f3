"""Where a copy is, in words, and why a tap means nothing now: what is not yet asked for, or where the next to be moved is."""

from assistant.planning.longest_ways import FAR
from assistant.score import words
from assistant.session.bench import Bench, ends
from assistant.session.changes import lamp_is_on
from assistant.session.copy import Copy
from assistant.session.hands import Hand, awaited
from assistant.session.next_hand import ready
from assistant.session.place import Called, InBox, InLight, Waiting


def why_nothing(bench: Bench, at: int) -> str:
    """The reason why a tap means nothing now: where the copy is that a hand is wanted for next, or what is not yet asked for."""
    if bench.finished:
        return words.ALL_DONE
    busy = [c for c in bench.living() if c.since is not None and bench.under_way(c)]
    if not busy and (hand := awaited(bench, at)) is not None and hand.what == "begin":
        missing = _missing(bench, hand, at)
        if missing:
            return missing
        return words.not_yet(hand.copies[0] if len(hand.copies) == 1 else None, _name(bench, hand.step))
    if busy:
        return where_is(bench, min(busy, key=lambda copy: _over(bench, copy)), at)
    comes = min(bench.living(), key=_nearness)  # nothing is asked for: on hold, or the plan has no gap for it yet
    return words.not_yet(comes.number, _name(bench, comes.step)) if comes.since is None else where_is(bench, comes, at)


def _over(bench: Bench, copy: Copy) -> tuple[bool, int]:
    """The least is over first; under the lamp a sheet has the hands till then."""
    end = ends(bench, copy)
    return not isinstance(copy.place, InLight), FAR if end is None else end


def _nearness(copy: Copy) -> tuple[bool, bool, bool, int]:
    """The least comes first: a sheet that has had its light, one in its water, one that was asked for, one in its box."""
    return not isinstance(copy.place, Waiting), copy.since is None, isinstance(copy.place, InBox), copy.number


def _missing(bench: Bench, hand: Hand, at: int) -> str:
    """What is missing where copies have not been long enough in the water they wait in; "" where they have."""
    copy = max((bench.copy(number) for number in hand.copies), key=lambda copy: copy.since or 0)
    if copy.bath is None or ready(bench, hand.copies) <= at:
        return ""
    step, index = bench.step_of(copy), None if len(hand.copies) > 1 else copy.number
    return words.too_short_yet(index, step.name, at - copy.bath.since, step.at_least or 0)


def where_is(bench: Bench, copy: Copy, at: int) -> str:
    """One copy's place, and how long it has or has been there, in words."""
    step, end, place = bench.step_of(copy), ends(bench, copy), copy.place
    index = None if bench.shared(copy) and len(bench.company(copy)) > 1 else copy.number
    if isinstance(place, InLight):
        return words.LAMP_IS_ON if lamp_is_on(bench, copy, at) else words.COUNTING_IN
    since = copy.since if copy.since is not None else at
    if isinstance(place, Called):
        return words.waits(index, step.name, at - since, bench.wanted_in(copy), step.at_most)
    if end is not None:
        return words.remaining(index, step.name, end - at)
    return words.staying(index, step.name, at - since)


def _name(bench: Bench, step: int) -> str:
    return bench.score.name(step) or words.OUT
