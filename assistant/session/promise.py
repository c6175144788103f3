"""What will be heard if nobody touches anything: the bench is beaten into the future and its cues are collected.

This is all that the sound desk is ever given: whole, ahead of time. A hand makes a new promise in place of the old
one; time alone never does, so a stalled screen moves no cue.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from assistant.recipe.model import Expose, Tone
from assistant.score import baths, words
from assistant.score.cues import Cue, Passage
from assistant.score.lamp import Mark
from assistant.session.bench import Bench
from assistant.session.copy import Copy
from assistant.session.passing import beat, due
from assistant.session.upkeep import fresh_water, white_light

ASK_AFTER = 2_000
"""A hand is asked for this long after it is wanted, and again after these (ms): common practice, no source."""
ASK_AGAIN = (0, 60_000, 180_000, 600_000)
DONE_AFTER = 4_000


@dataclass
class _Foreseen:
    """Cues by whom they belong to; when something changes, what it would have said later is struck out."""

    cues: dict[object, list[Cue]] = field(default_factory=dict)
    said: list[Cue] = field(default_factory=list)

    def put(self, whose: object, cues: Iterable[Cue], at: int) -> None:
        self.said += [cue for cue in self.cues.pop(whose, []) if cue.at <= at]
        self.cues[whose] = list(cues)

    def all(self) -> Iterator[Cue]:
        yield from self.said
        for cues in self.cues.values():
            yield from cues


def promise(bench: Bench, after: int | None = None) -> tuple[Passage, ...]:
    """The passages of all voices from now on (or `after` a moment, ms), one for each voice that has something to say."""
    now = bench.now if after is None else after
    foreseen, end = _foresee(bench)
    voices: dict[int, list[Cue]] = {}
    for voice, cue in _by_voice(foreseen, end):
        if cue.at > now:
            voices.setdefault(voice, []).append(cue)
    return tuple(Passage(v, tuple(sorted(cues, key=_order))) for v, cues in sorted(voices.items()))


def _order(cue: Cue) -> tuple[int, str, str]:
    return cue.at, cue.kind, cue.words


def _foresee(bench: Bench) -> tuple[_Foreseen, Bench]:
    """Beat the bench from change to change until only a hand could change it."""
    foreseen = _Foreseen()
    seen: dict[int, Copy] = {}
    asked: tuple[tuple[int, ...], int] | None = None
    while True:
        for copy in bench.copies:
            if seen.get(copy.number) != copy:
                _put_copy(foreseen, bench, copy)
                seen[copy.number] = copy
        if asked != (bench.wanted, bench.wanted_since):
            asked = (bench.wanted, bench.wanted_since)
            foreseen.put("ask", _ask(bench), bench.now)
        _put_shared(foreseen, bench)
        if bench.finished and not bench.ended:
            foreseen.put("done", [Cue(_last_move(bench) + DONE_AFTER, "tell", _done(bench))], bench.now)
        moment = due(bench)
        if moment is None:
            return foreseen, bench
        bench = beat(bench, moment)


def _by_voice(foreseen: _Foreseen, end: Bench) -> Iterator[tuple[int, Cue]]:
    for cue in foreseen.all():
        yield (0 if cue.kind == "ask" else cue.copy or 0), cue
    for cue in (*white_light(end), *fresh_water(end)):
        yield 0, cue
    if not any(copy.stays or copy.since is not None for copy in end.copies):
        for mark in end.score.opening:
            yield 0, Cue(mark.offset, mark.kind, mark.words)


# --- one copy, or all together -----------------------------------------------------------------------------------------


def _put_copy(foreseen: _Foreseen, bench: Bench, copy: Copy) -> None:
    if bench.shared(copy):
        foreseen.put(copy.number, [], bench.now)
        return
    step = bench.step_of(copy).kind if copy.live else ""
    marks, start = _marks(bench, copy)
    cues = (Cue(start + m.offset, m.kind, m.words, copy.number, step) for m in marks)
    foreseen.put(copy.number, cues, bench.now)


def _marks(bench: Bench, copy: Copy) -> tuple[tuple[Mark, ...], int]:
    if not copy.live or copy.since is None:
        return (), 0
    step = bench.step_of(copy)
    if isinstance(step, Expose):
        return bench.score.runs[copy.step][copy.run].marks, copy.since
    if copy.called is not None:
        stayed = copy.called - copy.since
        index = None if len(bench.company(copy)) > 1 else copy.number
        return baths.overdue(step.name, index, stayed, copy.target, step.at_most), copy.called
    last = _last_toned(bench) if isinstance(step, Tone) else None
    return bench.score.marks(copy.step, copy.target, bench.following(copy), last), copy.since


def _put_shared(foreseen: _Foreseen, bench: Bench) -> None:
    """A step that all do together is called once, for all, from the moment the last of them is in."""
    sharing = [copy for copy in bench.living() if bench.shared(copy)]
    if not sharing or not bench.all_in(sharing[0].step):
        foreseen.put("together", [], bench.now)
        return
    last = max(sharing, key=lambda copy: copy.since or 0)
    marks, start = _marks(bench, last)
    kind = bench.step_of(last).kind
    foreseen.put("together", (Cue(start + m.offset, m.kind, m.words, None, kind) for m in marks), bench.now)


def _last_toned(bench: Bench) -> tuple[int, int] | None:
    stays = [stay for copy in bench.copies if not copy.void for stay in copy.stays if stay.kind == "tone"]
    last = max(stays, key=lambda stay: stay.to_ms, default=None)
    return (last.copy, last.lasted) if last else None


# --- the bench as a whole ------------------------------------------------------------------------------------------------


def _ask(bench: Bench) -> list[Cue]:
    if not bench.wanted:
        return []
    copy = bench.copy(bench.wanted[0])
    spoken = _asking(bench, copy)
    first = asked_at(bench)
    index, steps = copy.step if copy.since is None else bench.following(copy), bench.plan.recipe.steps
    step = steps[index].kind if index < len(steps) else ""
    named = copy.number if len(bench.wanted) == 1 else None
    return [Cue(first + later, "ask", spoken, named, step) for later in ASK_AGAIN]


def asked_at(bench: Bench) -> int:
    """When the hand that is wanted is first asked for, ms: at the beginning not before the opening words are over."""
    if bench.wanted_since == 0 and bench.copy(bench.wanted[0]).boxed:
        return bench.score.opening_lasts
    return bench.wanted_since + ASK_AFTER


def _asking(bench: Bench, copy: Copy) -> str:
    steps = bench.plan.recipe.steps
    if copy.since is None:
        step = steps[copy.step]
        if isinstance(step, Expose):
            run = bench.score.runs[copy.step][copy.run]
            if copy.run:
                return words.place_for(run.task, copy.number)
            lit_before = any(c.stays for c in bench.copies) and bench.plan.recipe.light == "safe"
            ask = words.place_paper(copy.number, bench.plan.copies, lit_before)
            return f"{ask}. {run.task}" if run.task else ask
        return words.into(step.name, copy.number)
    if bench.following(copy) == len(steps):
        return _last_ask(bench)
    onward = steps[bench.following(copy)]
    if isinstance(onward, Tone):
        last = _last_toned(bench)
        care = () if last else bench.plan.recipe.trays[onward.tray].care
        short = any(stay.kind == "fix" and stay.verdict == "short" for stay in copy.stays)
        asked = words.into_toner(onward.name, copy.number, care, last)
        return f"{asked}. {words.FIXED_SHORT}" if short else asked
    several = len(bench.wanted) > 1
    return words.into(onward.name, None if several else copy.number)


def _last_ask(bench: Bench) -> str:
    """Nothing follows the water the sheets lie in: a strip is judged there, a print lifted."""
    return words.judge(bench.score.totals) if bench.score.totals else words.LIFT_OUT


def _done(bench: Bench) -> str:
    good = sum(1 for copy in bench.copies if copy.done)
    return words.done(good, sum(1 for copy in bench.copies if copy.void and copy.stays))


def _last_move(bench: Bench) -> int:
    return max((stay.to_ms for copy in bench.copies for stay in copy.stays), default=bench.now)
