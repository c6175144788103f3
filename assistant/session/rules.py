"""What every happening does to the bench: a table, and a small function for each of its lines.

The rules of a tap are a table of their own, in `taps`. A rule changes nothing on the way to its answer.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from assistant.recipe.model import Develop, Expose
from assistant.score import words
from assistant.session import happenings as h
from assistant.session.bench import Bench, Reading, ends, law_time, move_on
from assistant.session.copy import Copy
from assistant.session.taps import TAPS, Answer, Done, Refused, shift, tapped, where_is, why_nothing
from assistant.trade.quantities import Misread

COLDEST, HOTTEST = 5.0, 40.0
"""A reading outside of these is a slip of the tongue (degrees Celsius)."""


def tap(bench: Bench, happening: h.Tap, at: int) -> Answer:
    """One tap does the next thing; on hold it goes on."""
    meant = tapped(bench, at)
    if meant is not None:
        where, copy = meant
        return TAPS[where](bench, copy, at)
    if bench.held:
        return go(bench, h.Go(), at)
    return Refused(why_nothing(bench, at))


def void(bench: Bench, happening: h.Void, at: int) -> Answer:
    """A sheet is spoiled; while sheets are still exposed, another is printed for it."""
    copy = _named(bench, happening.copy, at)
    if copy is None or not copy.live:
        return Refused(words.NO_SUCH_COPY if copy is None else words.is_over(copy.number, copy.void))
    begun, lit = copy, copy.since
    if lit is not None and isinstance(bench.step_of(copy), Expose):
        begun = _broken_off(bench, copy, lit, at)
    elif lit is not None:
        begun = copy.leave(bench.step_of(copy), at)
    after = bench.put(begun.spoil())
    if copy.boxed or not _before_first_station(bench, copy):
        return Done(after, words.voided(copy.number), copy.number)
    stand_in = Copy(len(bench.copies) + 1)
    said = words.replaces(stand_in.number, copy.number)
    return Done(replace(after, copies=(*after.copies, stand_in)), said, copy.number)


def _broken_off(bench: Bench, copy: Copy, since: int, at: int) -> Copy:
    run = bench.score.runs[copy.step][copy.run]
    on = since + run.count_in
    return replace(copy, target=run.light).leave(bench.step_of(copy), max(at, on), run.name, began=on)


def _before_first_station(bench: Bench, copy: Copy) -> bool:
    return copy.step <= bench.plan.station_after(0)


def _named(bench: Bench, number: int | None, at: int) -> Copy | None:
    if number is not None:
        return bench.copies[number - 1] if 1 <= number <= len(bench.copies) else None
    lit = [c for c in bench.living() if c.since is not None and isinstance(bench.step_of(c), Expose)]
    meant = tapped(bench, at)
    if lit or (meant and not meant[1].boxed):
        return lit[0] if lit else meant[1] if meant else None
    started = [c for c in bench.living() if c.since is not None]
    return max(started, key=lambda c: c.since or 0, default=None)


def moved(bench: Bench, happening: h.Moved, at: int) -> Answer:
    """A move was really made some time ago: of a copy that was called, or the last one of any copy."""
    then = at - happening.ago
    copy = _last_moved(bench, happening.copy)
    if copy is None:
        return Refused(words.NOTHING_MOVED)
    if not copy.live or copy.since is None or isinstance(bench.step_of(copy), Expose):
        return Refused(words.NOTHING_MOVED)
    company = bench.company(copy)
    if copy.called is not None:
        if then <= copy.since:
            return Refused(words.TOO_LONG_AGO)
        return Done(_unheard_by(move_on(bench, company, then), at), copy=copy.number)
    floor = max(_floor(mate) for mate in company)
    if then <= floor or happening.ago < 0:
        return Refused(words.TOO_LONG_AGO)
    return Done(_unheard_by(shift(bench, company, then), at), copy=copy.number)


def _floor(copy: Copy) -> int:
    """A move can't be set back to before this: the beginning of the bath it came from, or the end of its light."""
    if not copy.stays:
        return -1
    last = copy.stays[-1]
    return last.from_ms if last.to_ms == copy.since and last.kind != "expose" else last.to_ms


def _last_moved(bench: Bench, number: int | None) -> Copy | None:
    if number is not None:
        return bench.copies[number - 1] if 1 <= number <= len(bench.copies) else None
    return max((c for c in bench.living() if c.since is not None), key=lambda c: c.since or 0, default=None)


def _unheard_by(bench: Bench, at: int) -> Bench:
    """Copies whose end has now come to lie before `at`: nobody called it, so nobody acted on it; a hand must say."""
    late = [c for c in bench.living() if (end := ends(bench, c)) is not None and end <= at]
    return bench.put(*(replace(c, called=at, moved=None) for c in late))


def woke(bench: Bench, happening: h.Woke, at: int) -> Answer:
    """Nobody was called while nobody listened: an exposure is void, a bath whose end passed waits for a hand."""
    lost = [c for c in bench.living() if c.since is not None and isinstance(bench.step_of(c), Expose)]
    for copy in lost:
        answer = void(bench, h.Void(copy.number), at)
        bench = answer.bench if isinstance(answer, Done) else bench
    bench = replace(_unheard_by(bench, at), wanted=())  # what is wanted is asked for anew
    late = [where_is(bench, c, at) for c in bench.living() if c.called is not None and _speaks(bench, c)]
    said = [words.nobody_listened(at - happening.since), *(words.voided(c.number) for c in lost), *late]
    return Done(bench, ". ".join(said))


def _speaks(bench: Bench, copy: Copy) -> bool:
    return bench.company(copy)[0].number == copy.number


def hold(bench: Bench, happening: h.Hold, at: int) -> Answer:
    """The plan waits; what is in a bath goes on."""
    return Refused(words.ON_HOLD) if bench.held else Done(replace(bench, held=True), words.ON_HOLD)


def go(bench: Bench, happening: h.Go, at: int) -> Answer:
    """The plan goes on."""
    return Done(replace(bench, held=False), words.GOING_ON) if bench.held else Refused(words.NOT_ON_HOLD)


def note(bench: Bench, happening: h.Note, at: int) -> Answer:
    """The printer's own words are kept."""
    return Done(replace(bench, notes=(*bench.notes, (at, happening.words))), words.NOTED)


def end(bench: Bench, happening: h.End, at: int) -> Answer:
    """The first time asks, the second ends; when nothing is left to do once is enough."""
    if bench.ended:
        return Refused(words.ALL_DONE)
    if bench.end_asked is None and not bench.finished:
        return Done(replace(bench, end_asked=at), words.END_ASKED)
    return Done(replace(bench, ended=True, end_asked=None), words.ENDED)


def reading(bench: Bench, happening: h.Reading, at: int) -> Answer:
    """A tray's temperature: the next copies' time follows the recipe's law."""
    if happening.tray not in bench.plan.recipe.trays:
        return Refused(words.NO_SUCH_TRAY)
    if not COLDEST <= happening.celsius <= HOTTEST:
        return Refused(words.NO_SUCH_TEMPERATURE)
    after = replace(bench, readings=(*bench.readings, Reading(at, happening.tray, happening.celsius)))
    try:
        return Done(after, _new_time(bench, happening))
    except Misread:
        return Refused(words.NO_SUCH_TEMPERATURE)


def _new_time(bench: Bench, happening: h.Reading) -> str:
    said = words.temperature(happening.celsius)
    for step in bench.plan.recipe.steps:
        if isinstance(step, Develop) and step.tray == happening.tray and step.temperature_law and step.target:
            rated = bench.plan.recipe.trays[step.tray].temperature
            said = words.new_time(said, step.name, law_time(step.temperature_law, step.target, rated, happening.celsius))
    return said


def pick(bench: Bench, happening: h.Pick, at: int) -> Answer:
    """The strip that the next prints are made by."""
    totals = bench.score.totals
    if totals and not 1 <= happening.strip <= len(totals):
        return Refused(words.no_such_strip(len(totals)))
    if not 1 <= happening.strip <= len(totals):
        return Refused(words.NO_STRIP)
    return Done(replace(bench, picked=happening.strip), words.picked(happening.strip, totals[happening.strip - 1]))


HAPPENINGS: dict[type[Any], Callable[[Bench, Any, int], Answer]] = {
    h.Tap: tap,
    h.Void: void,
    h.Moved: moved,
    h.Woke: woke,
    h.Hold: hold,
    h.Go: go,
    h.Note: note,
    h.End: end,
    h.Reading: reading,
    h.Pick: pick,
}
"""Happening -> what it does. Undo and the two questions are in `advance`, where history and promises are known."""
