"""The session: `advance(bench, happening, at)` gives the bench as it is then, and what is to be heard.

Effects are returned, never called. Undo is replay: the history without its last hand.
"""

from collections import Counter
from dataclasses import dataclass

from assistant.score import words
from assistant.score.cues import Cue, Passage
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.answers import Answer, Done, Refused
from assistant.session.bench import Bench, Told
from assistant.session.copy import Copy
from assistant.session.frozen import replace
from assistant.session.hands import free_for
from assistant.session.next_hand import settled
from assistant.session.passing import beat, fresh_bench, promising
from assistant.session.place import AskedFor, Called, InBox
from assistant.session.promise import promise
from assistant.session.rules import HAPPENINGS
from assistant.session.undo import (
    gone_on_since,
    lights_begun,
    not_wanted,
    out_since,
    overdue,
    stands,
    undone_by,
    unheard,
    void_anyway,
)
from assistant.session.urgency import most_urgent_first
from assistant.session.where_is import where_is

WORTH_FREE = 1_000
"""Less than this (ms) until a hand is wanted is not told: it is over before the words are."""


@dataclass(frozen=True)
class Outcome:
    """A bench, the passages that replace what was promised, the voices (a copy, 0 the bench) to hush, the answer to the hand."""

    bench: Bench
    give: tuple[Passage, ...] = ()
    hush: tuple[int, ...] = ()
    answer: Cue | None = None

    @property
    def refused(self) -> bool:
        """Whether the happening changed nothing."""
        return self.answer is not None and self.answer.kind == "refused"


def open_bench(score: Score) -> Bench:
    """A bench before the first tap, with all that it promises to say."""
    bench = fresh_bench(score)
    return promising(bench, promise(bench, after=-1), bench.said)


def advance(bench: Bench, happening: h.Happening | None, at: int) -> Outcome:
    """The bench at `at` after a happening, or after time alone (ms since it began; an earlier moment counts as now)."""
    at = max(at, bench.now)
    if happening is None:
        return Outcome(beat(bench, at))
    before = settle(bench, happening, at)
    answer = answered(before, happening, at)
    if isinstance(answer, Refused):
        return Outcome(before, answer=Cue(at, "refused", before.score.worded(answer.why)))
    after = answer.bench
    if not isinstance(happening, h.SayAgain | h.HowLong):
        after = promising(after, promise(after), answer.words or _last_said(before))
    give, hush = _changed(before, after, at)
    if isinstance(happening, h.Planned):  # no hand: nothing is answered
        return Outcome(after, give, hush)
    kind = "tell" if isinstance(happening, h.SayAgain | h.HowLong | h.Woke) else _kind(answer)
    return Outcome(after, give, hush, Cue(at, kind, after.score.worded(answer.words), answer.copy))


def _kind(answer: Done) -> str:
    if answer.told_nothing:
        return "refused"
    return "heard" if answer.done else "wait"


def settle(bench: Bench, happening: h.Happening, at: int) -> Bench:
    """Time up to the happening. While nobody listened no pip was heard, so none is taken for done."""
    if isinstance(happening, h.Woke):
        heard = _taken_back(bench, happening.since) if happening.since < bench.now else bench
        return replace(beat(heard, max(heard.now, min(happening.since, at))), now=at)
    return beat(bench, at)


def _taken_back(bench: Bench, since: int) -> Bench:
    """The bench as it is if nobody heard anything after `since`, which is known only now: what hands did stays."""
    before = tuple(told for told in bench.history if told.at <= since)
    again = replay(bench, before, since)
    for told in bench.history[len(before) :]:
        silence = h.Woke(again.now)
        for happening in (silence,) if isinstance(told.happening, h.Woke) else (silence, told.happening):
            again = settle(again, happening, told.at)
            answer = answered(again, happening, told.at)
            again = answer.bench if isinstance(answer, Done) else again
    return promising(again, bench.promised, again.said)  # the desk's, until the answer makes another


def answered(bench: Bench, happening: h.Happening, at: int) -> Answer:
    """What a happening does to a bench that is already at its moment; only the promise is left to be made."""
    if isinstance(happening, h.SayAgain):
        return Done(bench, _last_said(bench)) if _last_said(bench) else Refused(words.NOTHING_SAID)
    if isinstance(happening, h.HowLong):
        return Done(bench, _how_long(bench, at))
    if bench.ended and not isinstance(happening, h.Pick | h.Note | h.Undone):  # a strip is often judged when all is washed up
        return Refused(words.ALL_DONE)
    if isinstance(happening, h.Undo):
        return _undo(bench, at)
    answer = HAPPENINGS[type(happening)](bench, happening, at)
    if isinstance(answer, Refused):
        return answer
    if isinstance(happening, h.Void | h.Moved):
        happening = replace(happening, copy=answer.copy)  # whom it meant is not to be worked out again
    told = Told(at, happening, "" if answer.told_nothing else _did(answer), answer.back)
    if isinstance(happening, h.Woke):  # what was taken back for it is not to be taken back again, and no undo names it
        told = Told(at, h.Woke(max([happening.since, *(past.at for past in bench.history[-1:])])))
    kept = replace(answer.bench, history=(*answer.bench.history, told))
    after = beat(kept, at)
    if isinstance(happening, h.Woke):
        after = replace(after, asks=())  # a question that fell into that time was heard by nobody: it is asked now
    return replace(answer, bench=settled(after, at, told=True))


def _did(answer: Done) -> str:
    """What a happening did, in the words it was answered with: the copy, then the rest."""
    said = answer.words
    if answer.copy is None or words.copy(answer.copy) in said:
        return said
    return f"{words.copy(answer.copy)}, {said}"


def _undo(bench: Bench, at: int) -> Answer:
    """Takes back the last hand, unless a light or a pip has followed it; what is asked then is asked at once."""
    last = next((i for i in reversed(range(len(bench.history))) if undone_by(bench.history[i])), None)
    if last is None:
        return Refused(words.NOTHING_TO_UNDO)
    told = bench.history[last]
    without = replay(bench, (*bench.history[:last], *(one for one in bench.history[last + 1 :] if stands(one))), at)
    both = zip(bench.copies, without.copies, strict=False)
    if any(lights_begun(bench, copy, at) > lights_begun(without, other, at) for copy, other in both):
        return Refused(words.EXPOSED_ALREADY)
    if isinstance(told.happening, h.Another) and not isinstance(bench.copies[-1].place, InBox):
        return Refused(words.ASKED_ALREADY)
    if gone_on_since(bench, told) or void_anyway(without, told):
        return Refused(words.too_late_to_undo(told.did))
    out = {copy.number: since for copy in without.copies if (since := out_since(copy, bench)) is not None}
    lies = replace(without.put(*(without.copy(number).at(AskedFor(since)) for number, since in out.items())), asks=())
    sheet, more = not_wanted(bench, lies), [copy.number for copy in bench.copies[len(without.copies) :]]
    spare = words.sheet_back(sheet) if sheet is not None else words.not_needed(more[-1]) if more else ""
    missed = unheard(replay(bench, bench.history[:last], told.at), without, bench, told.at)
    taken = answered(without, h.Undone(tuple(out.items()), sheet is not None, missed), at)
    assert isinstance(taken, Done)
    what = overdue(taken.bench, missed, at) or told.back or told.did
    return replace(taken, words=words.undone(what, spare, without.held and not bench.held))


def replay(bench: Bench, history: tuple[Told, ...], at: int) -> Bench:
    """The bench that this history makes by `at`, from the beginning; its promise is still to be made."""
    again = fresh_bench(bench.score, bench.rules)
    for told in history:
        again = settle(again, told.happening, told.at)
        answer = answered(again, told.happening, told.at)
        again = answer.bench if isinstance(answer, Done) else again
    return beat(again, at)


def _changed(before: Bench, after: Bench, at: int) -> tuple[tuple[Passage, ...], tuple[int, ...]]:
    """What must be given anew and what must be hushed, so that the desk holds just what is promised now."""
    old = {p.voice: rest for p in before.promised if (rest := tuple(c for c in p.cues if c.at > at))}
    new = {p.voice: p.cues for p in after.promised}
    give = tuple(Passage(v, cues) for v, cues in new.items() if old.get(v) != cues)
    return give, tuple(v for v in old if v not in new)


def _last_said(bench: Bench) -> str:
    past = [c for p in bench.promised for c in p.cues if c.at <= bench.now and c.words]
    return max(past, key=lambda cue: cue.at).words if past else bench.said


def _free_for(bench: Bench, at: int) -> list[str]:
    """How long no hand is wanted, where several copies are on their way."""
    free = free_for(bench, at)
    return [words.free_for(free)] if free is not None and free >= WORTH_FREE else []


def _rests(bench: Bench, copy: Copy) -> bool:
    """Whether a copy lies in water until a hand asks for it: of several that do, only their number is told."""
    return copy.bath is not None and bench.step_of(copy).kind == "hold" and not isinstance(copy.place, Called)


def _how_long(bench: Bench, at: int) -> str:
    if bench.ended:
        return words.ENDED
    lines = _free_for(bench, at) if bench.overlaps else []
    waiting = Counter(bench.step_of(copy).name for copy in bench.living() if _rests(bench, copy))
    told = (copy for copy in bench.living() if not (_rests(bench, copy) and waiting[bench.step_of(copy).name] > 1))
    for copy in most_urgent_first(bench, told):
        if (line := where_is(bench, copy, at)) not in lines:
            lines.append(line)
    lines += [words.resting(count, name) for name, count in waiting.items() if count > 1]
    if not lines:
        return words.ALL_DONE if bench.finished else words.nothing_running(sum(1 for _ in bench.living()))
    return ". ".join(lines)
