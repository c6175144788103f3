"""What will be heard if nobody touches anything: the bench is beaten into the future and its cues are collected.

This is all that the sound desk is ever given: whole, ahead of time. A hand makes a new promise in place of the old
one; time alone never does, so a stalled screen moves no cue.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import chain
from operator import attrgetter

from assistant.recipe.model import Develop
from assistant.score import baths, words
from assistant.score.cues import Cue, Passage
from assistant.score.lamp import Mark
from assistant.score.score import Score
from assistant.session.asking import asking, last_by_eye, pips, toner
from assistant.session.bench import Bench, ends, last_in, stay_of, turns_of
from assistant.session.copy import Copy
from assistant.session.hands import hands, most_pressing
from assistant.session.limits import warned
from assistant.session.passing import changed, due
from assistant.session.place import Called, InBath, InLight
from assistant.session.room_calls import fresh_water, white_light_calls

DONE_AFTER = 4_000
"""The last words come so long after the last move (ms): the squeegee is told first."""

Marks = tuple[tuple[Mark, ...], int]
"""The marks of a stay, and the moment they count from (ms)."""
SILENT: Marks = ((), 0)
"""A stay of which nothing is heard."""


@dataclass
class _Foreseen:
    """Cues by whom they belong to; when something changes, what it would have said later is struck out."""

    cues: dict[object, list[Cue]] = field(default_factory=dict)
    said: list[Cue] = field(default_factory=list)
    marks: dict[object, Marks] = field(default_factory=dict)
    lights: set[tuple[int, int]] = field(default_factory=set)
    """From and to when a sheet is under the lamp while others are in their baths: no turn is called then."""

    def put(self, whose: object, cues: Iterable[Cue], at: int) -> None:
        self.said += [cue for cue in self.cues.pop(whose, []) if cue.at <= at]
        self.cues[whose] = list(cues)

    def put_marks(self, whose: object, marks: Marks, copy: int | None, step: str, at: int) -> None:
        """Marks of a stay; the same ones again strike out nothing, and other words for the same stay say nothing twice."""
        before = self.marks.get(whose, SILENT)
        if before == marks:
            return
        self.marks[whose] = marks
        stay, begun = marks
        cues = [Cue(begun + offset, kind, words, copy, step) for offset, kind, words in stay]
        reworded = before[0] and before[1] == begun
        self.put(whose, [cue for cue in cues if cue.at > at] if reworded else cues, at)


def promise(bench: Bench, after: int | None = None) -> tuple[Passage, ...]:
    """The passages of all voices from now on (or `after` a moment, ms), one for each voice that has something to say."""
    now = bench.now if after is None else after
    foreseen, end = _foresee(bench)
    voices: dict[int, list[Cue]] = {}
    for voice, cue in (*_by_voice(foreseen, end, now), *_offered(bench)):
        if cue.at > now:
            voices.setdefault(voice, []).append(cue)
    return tuple(Passage(voice, _in_order(bench.score, cues)) for voice, cues in sorted(voices.items()))


def _in_order(score: Score, cues: list[Cue]) -> tuple[Cue, ...]:
    if score.of_film:
        cues = [cue._replace(words=score.worded(cue.words)) for cue in cues]
    return tuple(sorted(cues, key=attrgetter("at", "kind", "words")))


def _foresee(bench: Bench) -> tuple[_Foreseen, Bench]:
    """Beat the bench from change to change until only a hand could change it."""
    foreseen = _Foreseen()
    seen: dict[int, tuple[Copy, bool, int | None]] = {}
    asked: tuple[object, ...] = ()
    white: int | None = None
    while True:
        named = bench.in_company
        for copy in bench.copies:
            now = copy, named, bench.turn(copy)
            if seen.get(copy.number) != now:
                _put_copy(foreseen, bench, copy, named)
                seen[copy.number] = now
        questions = (bench.asks, tuple(pips(bench, ask) for ask in bench.asks))
        if asked != questions:
            again = asked[:1] == questions[:1]
            asked = questions
            cues = [cue for ask in bench.asks for cue in asking(bench, ask) if not again or cue.at > bench.now]
            foreseen.put("ask", cues, bench.now)
        _put_shared(foreseen, bench)
        _put_stacks(foreseen, bench)
        if white != bench.white_since:
            white = bench.white_since
            foreseen.put("white", white_light_calls(bench), bench.now)
        if bench.finished and not bench.ended:
            foreseen.put("done", [Cue(_last_move(bench) + DONE_AFTER, "tell", _done(bench))], bench.now)
        if bench.overlaps:
            lit = ((copy.place.since, ends(bench, copy)) for copy in bench.living() if isinstance(copy.place, InLight))
            foreseen.lights |= {(begun, over) for begun, over in lit if over is not None}
        moment = due(bench)
        if moment is None:
            return foreseen, bench
        bench = changed(bench, moment)


def _by_voice(foreseen: _Foreseen, end: Bench, after: int) -> Iterator[tuple[int, Cue]]:
    for cue in chain(foreseen.said, *foreseen.cues.values()):
        if cue.kind == "agitate" and any(begun <= cue.at < over for begun, over in foreseen.lights):
            continue
        yield (0 if cue.kind in ("ask", "safe") else cue.copy or 0), cue
    for cue in fresh_water(end, after):
        yield 0, cue
    if all(copy.boxed for copy in end.copies):
        for mark in end.score.opening:
            yield 0, Cue(mark.offset, mark.kind, mark.words)


def _offered(bench: Bench) -> Iterator[tuple[int, Cue]]:
    """To go on one at a time, in a gap between the hands' work."""
    for hand in hands(bench, bench.now) if bench.offer is not None else ():
        if hand.what == "alone":
            yield 0, Cue(hand.due, "ask", words.OFFERED)


# --- one copy, or all together -----------------------------------------------------------------------------------------


def _put_copy(foreseen: _Foreseen, bench: Bench, copy: Copy, named: bool) -> None:
    if not isinstance(copy.place, InBath) and not isinstance(copy.place, InLight):
        foreseen.put_marks(copy.number, SILENT, None, "", bench.now)
        return
    alone = not bench.shared(copy) or (bench.apart(copy) is not None and isinstance(copy.place, Called))
    marks = _in_turn(bench, copy) or (_marks(bench, copy, named) if alone else SILENT)
    foreseen.put_marks(copy.number, marks, copy.number, bench.step_of(copy).kind, bench.now)


def _marks(bench: Bench, copy: Copy, named: bool, leads: int | None = None) -> Marks:
    """What a copy's stay sounds like, from its beginning; `named` where several are out and a call says whose it is.

    `leads`: the copy that is the first to leave a bath that all are in.
    """
    place = copy.place
    if isinstance(place, InLight):
        return bench.lights(copy)[place.run].marks, place.since
    if not isinstance(place, InBath):
        return SILENT
    step = bench.step_of(copy)
    if isinstance(place, Called) and bench.overlaps and _others_first(bench, copy):
        return SILENT
    if isinstance(place, Called):
        index = None if len(bench.company(copy)) > 1 else copy.number
        waits, onward = place.alarm - place.at, bench.score.name(bench.following(copy))
        called = _called(bench, copy, index, waits) if onward else ()
        alarm = baths.overdue(step.name, index, place.alarm - place.since, bench.wanted_in(copy), step.at_most)
        late = (Mark(waits + mark.offset, mark.kind, mark.words) for mark in alarm)
        return warned(bench, copy, (*called, *late), place.at, index if named else None), place.at
    last = last_by_eye(bench, copy.step) if step.ends == "eye" else None
    whose = copy.number if named else None
    stay = None if place.target is None else stay_of(bench, copy, place.target)
    marks = bench.score.marks(copy.step, stay, bench.following(copy), last, whose, leads, turns_of(bench, copy))
    if step.ends == "clock" and (question := _toner(bench, copy)):
        marks = tuple(mark._replace(words=question) if mark.kind == "ask" else mark for mark in marks)
    return warned(bench, copy, marks, place.since, whose), place.since


def _in_turn(bench: Bench, copy: Copy) -> Marks | None:
    """What is heard of a copy that follows another into its bath, or out of it; None where it goes its own way."""
    if not bench.plan.apart:
        return None
    onward = bench.score.name(bench.following(copy)) if copy.live else None
    if (turn := bench.turn(copy)) is not None and copy.since is not None and not isinstance(copy.place, Called):
        return (Mark(turn - copy.since, "pip", words.pip(onward, copy.number)),), copy.since
    stack = bench.stack(copy.step) if copy.live and not isinstance(copy.place, Called) else ()
    if len(stack) < 2 or copy.since is None or copy.target is None:
        return None
    first = copy.since == min(since for mate in stack if (since := bench.in_since(mate, copy.step)) is not None)
    return bench.score.in_turn(copy.step, copy.target, bench.following(copy), copy.number, first), copy.since


def _put_stacks(foreseen: _Foreseen, bench: Bench) -> None:
    """A stack of sheets is agitated as one, from when the last of them is in until the first is lifted."""
    for index in bench.plan.apart:
        stack = [copy for copy in bench.stack(index) if copy.since is not None]
        step = bench.plan.recipe.steps[index]
        if len(stack) < 2 or not isinstance(step, Develop):
            continue
        marks = SILENT
        if all(copy.step == index and copy.target is not None for copy in stack):
            first, last = min(stack, key=_since), max(stack, key=_since)
            room = _since(first) + (first.target or 0) - step.drain - _since(last)
            marks = bench.score.rhythm(index, room), _since(last)
        foreseen.put_marks(("stack", index), marks, None, step.kind, bench.now)


def _since(copy: Copy) -> int:
    return copy.since or 0


def _others_first(bench: Bench, copy: Copy) -> bool:
    """Whether another sheet that waits for a hand is to be moved before this one: only the first move is named."""
    waiting = (mate for mate in bench.living() if isinstance(mate.place, Called))
    return min(waiting, key=lambda mate: most_pressing(bench, mate)).number != copy.number


def _called(bench: Bench, copy: Copy, index: int | None, waits: int) -> tuple[Mark, ...]:
    """A sheet whose time is up: where to, until the alarm; before a toner with all that its question says, once."""
    again = baths.called_again(bench.score.name(bench.following(copy)) or "", index, waits)
    question = _toner(bench, copy)
    return tuple(mark._replace(words=question) for mark in again) if question else again


def _toner(bench: Bench, copy: Copy) -> str:
    """What is asked where a toner follows a bath of the clock: cautions, or what the last print took; "" elsewhere."""
    step = bench.following(copy)
    if step not in bench.plan.toners:
        return ""
    return toner(bench, copy, step, None if len(bench.company(copy)) > 1 else copy.number)


def _put_shared(foreseen: _Foreseen, bench: Bench) -> None:
    """A step that all do together is called once for its company, from the moment the last of them is in."""
    for index in bench.plan.together:
        step = bench.plan.recipe.steps[index]
        here = next((copy for copy in bench.living() if copy.bath is not None and copy.step == index), None)
        marks = SILENT
        followed = here is not None and bench.turn(here) is not None  # one has gone, the others follow it on pips of their own
        if here is not None and not followed and (step.ends == "eye" or bench.all_in(index)):
            last = last_in(bench, here)
            leads = here.number if bench.apart(here) is not None and len(bench.beside(here)) > 1 else None
            marks = _marks(bench, here.at(last), named=False, leads=leads)
        foreseen.put_marks(("together", index), marks, None, step.kind, bench.now)


# --- the end -------------------------------------------------------------------------------------------------------------


def _done(bench: Bench) -> str:
    good = sum(1 for copy in bench.copies if copy.done)
    return words.done(good, sum(1 for copy in bench.copies if copy.void and copy.stays))


def _last_move(bench: Bench) -> int:
    return max((stay.to_ms for copy in bench.copies for stay in copy.stays), default=bench.now)
