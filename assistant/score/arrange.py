"""What gives way when cues meet: from cues with the lengths of their sounds to the moments at which each begins.

Pure. The tone of an act-now cue falls on its moment, always; words that belong to it have ended by then. Two
sentences never overlap: a warning is said a little earlier, talk waits and is left out once it is stale, ticks duck.
Lengths and moments are ms.
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from assistant.score.cues import Cue, Rank

BREATH = 120
"""Between two sentences, and between words and the tone that they lead to."""
EARLIEST = 6_000
"""A warning may be said so much before its moment."""
STALE = 12_000
"""Talk that could not begin by so long after its moment is left out."""


@dataclass(frozen=True)
class Lengths:
    """How long a cue's tone and its words last; 0 for none."""

    tone: int
    words: int


@dataclass(frozen=True)
class Placed:
    """When a cue's tone and words begin (None: left out), and whether its tone is to be ducked under words."""

    cue: Cue
    tone: int | None
    words: int | None
    ducked: bool = False


class _Speech:
    """The spans already taken by words, in order; they never overlap."""

    def __init__(self, taken: Sequence[tuple[int, int]]) -> None:
        self.taken = sorted(taken)

    def before(self, end: int, length: int, earliest: int) -> int | None:
        """The latest beginning of a span of this length that ends by `end`; None before `earliest`."""
        begin = end - length
        for over_begin, over_end in reversed(self.taken):
            if over_end + BREATH <= begin:
                break
            if over_begin < begin + length + BREATH:
                begin = over_begin - BREATH - length
        return begin if begin >= earliest else None

    def after(self, begin: int, length: int, latest: int) -> int | None:
        """The earliest beginning at or after `begin`; None after `latest`."""
        for over_begin, over_end in self.taken:
            if over_begin >= begin + length + BREATH:
                break
            if over_end + BREATH > begin:
                begin = over_end + BREATH
        return begin if begin <= latest else None

    def take(self, begin: int, length: int) -> None:
        span = (begin, begin + length)
        self.taken.insert(bisect_left(self.taken, span), span)

    def meets(self, begin: int, length: int) -> bool:
        return any(a < begin + length and begin < b for a, b in self.taken)


def arrange(cues: Iterable[tuple[Cue, Lengths]], now: int, speaking: Sequence[tuple[int, int]] = ()) -> list[Placed]:
    """Place cues from `now` on; `speaking` are the spans of words that are already on their way."""
    listed = sorted(cues, key=lambda pair: (-pair[0].sound.rank, pair[0].at, pair[0].kind, pair[0].copy or 0))
    speech = _Speech(speaking)
    placed = [_place(cue, lengths, speech, now) for cue, lengths in listed if cue.sound.rank is not Rank.TICK]
    placed += [
        Placed(cue, cue.at, None, speech.meets(cue.at, lengths.tone))
        for cue, lengths in listed
        if cue.sound.rank is Rank.TICK
    ]
    return sorted(placed, key=lambda one: (one.cue.at, one.cue.kind))


def _place(cue: Cue, lengths: Lengths, speech: _Speech, now: int) -> Placed:
    begin = None
    if lengths.words:
        begin = _words_at(cue, lengths, speech, now)
        if begin is not None:
            speech.take(begin, lengths.words)
    if cue.sound.tone is None:
        return Placed(cue, None, begin)
    if cue.sound.rank is Rank.CHATTER and begin is not None:
        return Placed(cue, max(cue.at, begin - lengths.tone), begin)
    return Placed(cue, cue.at, begin)


def _words_at(cue: Cue, lengths: Lengths, speech: _Speech, now: int) -> int | None:
    if cue.kind in AFTER_THE_TONE:
        return speech.after(cue.at + lengths.tone + BREATH, lengths.words, cue.at + STALE)
    if cue.sound.rank in (Rank.ACT, Rank.WARNING):
        gap = BREATH if cue.sound.tone else 0
        return speech.before(cue.at - gap, lengths.words, max(now, cue.at - EARLIEST - lengths.words))
    lead = lengths.tone + BREATH if cue.sound.tone else 0
    return speech.after(max(cue.at + lead, now), lengths.words, cue.at + STALE)


AFTER_THE_TONE = frozenset({"heard", "refused", "over", "look"})
"""Kinds whose tone says "listen" and whose words follow it."""
