"""What gives way when cues meet: from cues with the lengths of their sounds to the moments at which each begins.

Pure. The tone of an act-now cue falls on its moment, always; words that belong to it have ended by then. Two
sentences never overlap and none runs into an act-now tone: a warning is said a little earlier, talk waits and is left
out once it is stale, ticks duck. That white light is safe is never said before it is. Lengths and moments are ms.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from assistant.score.cues import Cue, Rank

BREATH = 120
"""Between two sentences, and between words and a tone (ms): closer they run into one. Common practice, no source."""
EARLIEST = 6_000
"""Words may have ended so much before the moment that they lead to (ms): sooner they would be taken for another one's.
Common practice, no source."""
STALE = 12_000
"""Talk that could not begin by so long after its moment is left out (ms): what it speaks of has passed. Common practice, no
source."""
SOONER_STALE = {"look": 3_000, "agitate": 8_000}
"""Kinds that are wrong sooner than other talk (ms): a look tells a time, a turn has the next one behind it."""
BEHIND = 4_000
"""Words of an act-now tone that found no room before it may follow it so much later (ms): after that they are a new command."""
AFTER_THE_TONE = frozenset({"heard", "refused", "wait", "over", "look"})
"""Kinds whose tone says "listen" and whose words follow it."""
NEVER_BEHIND = frozenset({"count"})
"""Kinds whose words would be wrong once the tone has sounded."""
NEVER_EARLY = frozenset({"safe"})
"""Warnings that are not true before their moment."""

Stretch = tuple[int, int]
"""From and to, ms."""


@dataclass(frozen=True)
class Lengths:
    """How long a cue's tone and its words last, ms; 0 for none."""

    tone: int
    words: int


@dataclass(frozen=True)
class Placed:
    """When a cue's tone and words begin, ms (None: left out), and whether its tone is to be ducked under words."""

    cue: Cue
    tone: int | None
    words: int | None
    ducked: bool = False


class _TimeLine:
    """The time line of what may not be talked over: spans in order that never overlap."""

    def __init__(self, spans: Iterable[Stretch]) -> None:
        self._begins: list[int] = []
        self._ends: list[int] = []
        for begin, end in sorted(spans):
            if self._ends and begin <= self._ends[-1]:
                self._ends[-1] = max(self._ends[-1], end)
            else:
                self._begins.append(begin)
                self._ends.append(end)

    def before(self, end: int, length: int, earliest: int) -> int | None:
        """The latest beginning of a span of this length that ends by `end`; None before `earliest`."""
        begin = end - length
        i = bisect_left(self._begins, end + BREATH) - 1
        while i >= 0 and self._ends[i] + BREATH > begin >= earliest:
            begin = self._begins[i] - BREATH - length
            i -= 1
        return begin if begin >= earliest else None

    def after(self, begin: int, length: int, latest: int) -> int | None:
        """The earliest beginning at or after `begin`; None after `latest`."""
        i = bisect_right(self._ends, begin - BREATH)
        while i < len(self._begins) and self._begins[i] - BREATH < begin + length and begin <= latest:
            begin = self._ends[i] + BREATH
            i += 1
        return begin if begin <= latest else None

    def take(self, begin: int, length: int) -> None:
        i = bisect_left(self._begins, begin)
        self._begins.insert(i, begin)
        self._ends.insert(i, begin + length)

    def meets(self, begin: int, length: int) -> bool:
        i = bisect_right(self._ends, begin)
        return i < len(self._begins) and self._begins[i] < begin + length


def arrange(
    cues: Iterable[tuple[Cue, Lengths]], now: int, speaking: Sequence[Stretch] = (), sounding: Sequence[Stretch] = ()
) -> list[Placed]:
    """Place cues from `now` on, around the words (`speaking`) and act-now tones (`sounding`) already on their way.

    A cue whose tone and words are both None in the result is left out.
    """
    listed = sorted(cues, key=lambda pair: (pair[0].at, pair[0].kind, pair[0].copy or 0))
    acts = [*sounding, *((c.at, c.at + n.tone) for c, n in listed if c.sound.rank is Rank.ACT and n.tone)]
    line = _TimeLine([*speaking, *acts])
    placed: dict[int, Placed] = {}
    waiting = [i for i, (cue, _) in enumerate(listed) if cue.sound.rank is not Rank.TICK]
    for rank in (Rank.ACT, Rank.WARNING):
        for i in reversed(waiting):  # the last first, each as late as it may be: sentences keep the order of their cues
            if listed[i][0].sound.rank is rank and (one := _leading(*listed[i], line, now)):
                placed[i] = one
    for i in sorted(waiting, key=lambda i: (-listed[i][0].sound.rank, i)):
        if i not in placed:
            placed[i] = _following(*listed[i], line, now)
    words = _TimeLine([*speaking, *(span for i, one in placed.items() if (span := _talk(one, listed[i][1])))])
    tones = _TimeLine(acts)
    for i, (cue, lengths) in enumerate(listed):
        if i not in placed:
            heard = not tones.meets(cue.at, max(1, lengths.tone))
            placed[i] = Placed(cue, cue.at if heard else None, None, words.meets(cue.at, lengths.tone))
    return [placed[i] for i in range(len(listed))]


def _leading(cue: Cue, lengths: Lengths, line: _TimeLine, now: int) -> Placed | None:
    """Words that have ended by the cue's moment; None when they have to follow it or find no room."""
    if cue.kind in AFTER_THE_TONE or cue.kind in NEVER_EARLY:
        return None
    tone = cue.at if lengths.tone else None
    if not lengths.words:
        return Placed(cue, tone, None)
    begin = line.before(cue.at, lengths.words, max(now, cue.at - EARLIEST - lengths.words))
    if begin is None and cue.sound.rank is Rank.WARNING:
        begin = line.after(max(now, cue.at - lengths.words), lengths.words, cue.at)
    if begin is None:
        return Placed(cue, tone, None) if cue.kind in NEVER_BEHIND or cue.sound.rank is Rank.WARNING else None
    line.take(begin, lengths.words)
    return Placed(cue, tone, begin)


def _following(cue: Cue, lengths: Lengths, line: _TimeLine, now: int) -> Placed:
    """Words at the cue's moment or later: talk, answers, and what found no room before its tone."""
    fixed = cue.sound.rank is Rank.ACT
    tone = cue.at if lengths.tone else None
    if not lengths.words and (fixed or not lengths.tone):
        return Placed(cue, tone, None)
    lead = lengths.tone + BREATH if lengths.tone and lengths.words else lengths.tone
    if fixed:
        late = STALE if cue.kind in AFTER_THE_TONE else BEHIND
        begin = line.after(max(now, cue.at + lead), lengths.words, cue.at + late)
        if begin is not None:
            line.take(begin, lengths.words)
        return Placed(cue, tone, begin)
    whole = lead + lengths.words
    begin = line.after(max(now, cue.at), whole, cue.at + SOONER_STALE.get(cue.kind, STALE))
    if begin is None:
        return Placed(cue, None, None)
    line.take(begin, whole)
    return Placed(cue, begin if lengths.tone else None, begin + lead if lengths.words else None)


def _talk(placed: Placed, lengths: Lengths) -> Stretch | None:
    return None if placed.words is None else (placed.words, placed.words + lengths.words)
