"""What every happening does to the bench: a table, and a small function for each of its lines.

The rules of a tap are a table of their own, in `taps`. A rule changes nothing on the way to its answer.
"""

from collections.abc import Callable
from typing import Any

from assistant.recipe.fields import MOST_COPIES
from assistant.score import words
from assistant.session import happenings as h
from assistant.session.answers import Answer, Done, Refused
from assistant.session.bench import Bench, LastTap, law_time
from assistant.session.changes import change, lamp_is_on, last_bath, unheard_by, window
from assistant.session.copy import Copy, TrayReading
from assistant.session.frozen import replace
from assistant.session.hands import most_pressing, named_last
from assistant.session.passing import beat
from assistant.session.place import AskedFor, Called, InBath, InBox, InLight
from assistant.session.spoiling import VOID_ASKED, voided
from assistant.session.taps import handed_over, in_order, laid_rather, laid_too_late, tapped
from assistant.session.where_is import where_is, why_nothing
from assistant.trade import temperature
from assistant.trade.quantities import Misread

ALL_THROUGH = 2 * 3_600_000
"""What is under way by itself is through by then (ms): far longer than all baths before the first gathering together."""
PUT_BACK = 20_000
"""White light waits so long (ms) for a sheet to be put back into its box: a dark bag or a safe of paper is opened and shut
in it. Common practice, no source."""


def tap(bench: Bench, happening: h.Tap, at: int) -> Answer:
    """One tap does the next thing; on hold it goes on."""
    if (other := handed_over(bench, at)) is not None:
        return replace(other, bench=replace(other.bench, last_tap=None), back=words.FIRST_TAP_STANDS)
    then = at - max(0, happening.ago)
    done = laid_rather(bench, at, then) or (in_order(bench, at) if then == at else None) or tapped(bench, at, then)
    if done is not None:
        before = replace(bench, last_tap=None, promised=()) if bench.overlaps else None
        if before is None and done.bench.last_tap is None:
            return done
        return replace(done, bench=replace(done.bench, last_tap=LastTap(at, then, before) if before is not None else None))
    if bench.held and not _closed_since(bench, then, at):
        return go(bench, h.Go(), at)
    return laid_too_late(bench, at) or Refused(why_nothing(bench, at))


def _closed_since(bench: Bench, then: int, at: int) -> bool:
    """Whether something a tap could have answered at `then` has closed since: what it was meant for is not known any more."""
    baths = [c.place.since + window(bench, c.step, c) for c in bench.living() if isinstance(c.place, InBath)]
    by_hand = [told for told in bench.history if not isinstance(told.happening, h.Planned)]
    asked = [told.at + VOID_ASKED for told in by_hand[-1:] if isinstance(told.happening, h.HoldPlan)]
    return any(then <= closed < at for closed in (*baths, *asked))


def void(bench: Bench, happening: h.Void, at: int) -> Answer:
    """A sheet is spoiled; while sheets are still exposed, another is printed for it."""
    copy = named_last(bench, at) if happening.copy is None else _numbered(bench, happening.copy)
    if copy is None or not copy.live:
        return Refused(words.NO_SUCH_COPY if copy is None else words.is_over(copy.number, copy.void))
    return voided(bench, copy, at)


def _numbered(bench: Bench, number: int) -> Copy | None:
    return bench.copies[number - 1] if 1 <= number <= len(bench.copies) else None


def moved(bench: Bench, happening: h.Moved, at: int) -> Answer:
    """A move was really made some time ago: of a copy that was called, or the last one of any copy."""
    then = at - happening.ago
    copy = _last_moved(bench, at) if happening.copy is None else _numbered(bench, happening.copy)
    if copy is None or not isinstance(copy.place, InBath):
        return Refused(words.NOTHING_MOVED)
    if isinstance(copy.place, Called):
        if then <= copy.place.since:
            return Refused(words.TOO_LONG_AGO)
        return _moved(bench, unheard_by(change(bench, copy, "moved on", then), at), copy, bench.following(copy), happening.ago)
    floor = max(_floor(mate) for mate in bench.came_with(copy))
    if then <= floor or happening.ago < 0:
        return Refused(words.TOO_LONG_AGO)
    return _moved(bench, unheard_by(change(bench, copy, "set right", then), at), copy, copy.step, happening.ago)


def _moved(before: Bench, after: Bench, copy: Copy, step: int, ago: int) -> Done:
    """What was said of a move, as it was taken: of which copy, where several are out, into what, and how long ago (ms)."""
    alone = len(before.company(copy)) == 1
    index = copy.number if alone and (before.in_company or after.in_company) else None
    said = words.moved(index, before.score.name(step) or words.OUT, max(0, ago))
    onward = step != copy.step
    back = words.still_in(copy.number if alone else None, before.step_of(copy).name) if onward else words.as_it_went_in(index)
    return Done(after, said, copy.number, back=back)


def _floor(copy: Copy) -> int:
    """A move can't be set back to before this: the beginning of the bath it came from, or the end of its light."""
    if not copy.stays:
        return -1
    came_from = last_bath(copy)
    return came_from.from_ms if came_from is not None else copy.stays[-1].to_ms


def _last_moved(bench: Bench, at: int) -> Copy | None:
    """The copy that the voice named last, if it has moved; else the one that moved last."""
    named = named_last(bench, at)
    if named is not None and named.bath is not None and bench.under_way(named):
        return named
    return max((c for c in bench.living() if c.bath is not None), key=lambda c: c.since or 0, default=None)


def woke(bench: Bench, happening: h.Woke, at: int) -> Answer:
    """Nobody was called while nobody listened: an exposure is void, a bath whose end passed waits for a hand."""
    lost = [c for c in bench.living() if isinstance(c.place, InLight)]
    for copy in lost:
        bench = voided(bench, copy, at).bench
    bench = unheard_by(bench, at)
    called = [c for c in bench.living() if isinstance(c.place, Called) and _speaks(bench, c)]
    if bench.overlaps and called:  # one move after the other: only the first is named
        called = [min(called, key=lambda copy: most_pressing(bench, copy))]
    late = [where_is(bench, c, at) for c in called]
    said = [words.nobody_listened(at - happening.since), *(words.voided(c.number) for c in lost), *late]
    return Done(bench, ". ".join(said))


def _speaks(bench: Bench, copy: Copy) -> bool:
    return bench.company(copy)[0].number == copy.number


def hold(bench: Bench, happening: h.HoldPlan, at: int) -> Answer:
    """The plan waits; what is in a bath goes on, but a light that has not begun never comes, and one that has is over.

    On hold, it asks whether the sheet in hand is void; a tap answers that.
    """
    if bench.held:
        return _ask_void(bench, at)
    said, lit = [], [copy for copy in bench.living() if isinstance(copy.place, InLight)]
    for copy in lit:
        if lamp_is_on(bench, copy, at):
            spoilt = voided(bench, copy, at)
            bench = spoilt.bench
            said += [words.LIGHT_OFF, spoilt.words]
        else:
            bench = change(bench, copy, "stopped", at)
            said += [words.NO_LIGHT]
    last = _last_in_the_water(bench, at) if bench.overlaps else []
    return Done(replace(bench, held=True), ". ".join([*said, words.ON_HOLD, *last]), lit[0].number if lit else None)


def _last_in_the_water(bench: Bench, at: int) -> list[str]:
    """When the last of the sheets that are out will be where all gather; nothing while one still waits for its bath."""
    station = bench.plan.station_after(0)
    out = [copy.number for copy in bench.living() if bench.under_way(copy) and copy.step < station]
    end = beat(replace(bench, held=True), at + ALL_THROUGH)
    arrived = [since for number in out if (since := end.in_since(end.copy(number), station)) is not None]
    name = bench.score.name(station)
    return [words.through(max(arrived) - at, name)] if name and arrived and len(arrived) == len(out) else []


def _ask_void(bench: Bench, at: int) -> Answer:
    copy = named_last(bench, at)
    if copy is None:
        return Refused(words.ON_HOLD)
    return Done(replace(bench, void_asked=(copy.number, at)), words.void_asked(copy.number), copy.number)


def go(bench: Bench, happening: h.Go, at: int) -> Answer:
    """The plan goes on."""
    if not bench.held:
        return Refused(words.NOT_ON_HOLD)
    return Done(replace(bench, held=False, void_asked=None), words.GOING_ON, back=words.ON_HOLD_AGAIN)


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
    if not temperature.COLDEST <= happening.celsius <= temperature.HOTTEST:  # else it is a slip of the tongue
        return Refused(words.NO_SUCH_TEMPERATURE)
    after = replace(bench, readings=(*bench.readings, TrayReading(at, happening.tray, happening.celsius)))
    try:
        return Done(after, _new_time(bench, happening), back=words.TEMPERATURE_AS_BEFORE)
    except Misread:
        return Refused(words.NO_SUCH_TEMPERATURE)


def _new_time(bench: Bench, happening: h.Reading) -> str:
    said = words.temperature(happening.celsius)
    developing = [step for step in bench.plan.recipe.steps if step.kind == "develop"]
    first = len(developing) == 1 and all(copy.boxed for copy in bench.copies)
    for step in developing:
        if step.tray == happening.tray and step.temperature_law and step.target:
            rated = bench.plan.recipe.trays[step.tray].temperature
            ms = law_time(step.temperature_law, step.target, rated, happening.celsius)
            said = words.first_time(said, ms) if first else words.new_time(said, step.name, ms)
            if temperature.warnings(happening.celsius, step.temperature_law.points):
                cold = happening.celsius < temperature.STANDSTILL
                said = f"{said}. {words.doubtful(cold, step.temperature_law.points is not None)}"
    return said


def fresh(bench: Bench, happening: h.Fresh, at: int) -> Answer:
    """A tray's bath is another from now on: what came before in it tells nothing of the next sheet."""
    name = next((tray for tray in bench.plan.recipe.trays if tray.casefold() == happening.tray.casefold()), None)
    if name is None:
        return Refused(words.NO_SUCH_TRAY)
    return Done(replace(bench, fresh=(*bench.fresh, (at, name))), words.fresh(name))


def pick(bench: Bench, happening: h.Pick, at: int) -> Answer:
    """The strip that the next prints are made by."""
    totals = bench.score.totals
    if totals and not 1 <= happening.strip <= len(totals):
        return Refused(words.no_such_strip(len(totals)))
    if not 1 <= happening.strip <= len(totals):
        return Refused(words.NO_STRIP)
    back = words.NONE_PICKED if bench.picked is None else words.picked(bench.picked, totals[bench.picked - 1])
    return Done(replace(bench, picked=happening.strip), words.picked(happening.strip, totals[happening.strip - 1]), back=back)


def new_time(bench: Bench, happening: h.NewTime, at: int) -> Answer:
    """Sheets that have had no light yet are given another base exposure; burns and dodges follow it."""
    step = next((i for i, one in enumerate(bench.plan.recipe.steps) if one.kind == "expose" and one.strip is None), None)
    wanted = [copy for copy in bench.living() if happening.first <= copy.number <= happening.last and copy.boxed]
    if step is None or not wanted:
        return Refused(words.NO_SHEET_LEFT)
    changed = [replace(copy, base=happening.ms) for copy in wanted]
    try:
        assert all(bench.score.lights(step, copy.print, copy.base) for copy in changed)
    except Misread as error:
        return Refused(str(error))
    numbers = [copy.number for copy in changed]
    return Done(bench.put(*changed), words.new_exposure(numbers, happening.ms), back=words.as_before(numbers))


def another(bench: Bench, happening: h.Another, at: int) -> Answer:
    """One more sheet of a print, while sheets are still exposed: it is asked for in its turn."""
    names, step = [one.name for one in bench.plan.recipe.prints], bench.plan.recipe.steps[0]
    of = [name.casefold() for name in names] or [""]
    if happening.print.casefold() not in of:
        return Refused(words.no_such_print(names))
    if not _still_exposing(bench):
        return Refused(words.NO_MORE)
    if (full := _full(bench)) is not None:
        return Refused(full)
    if happening.ms is not None and (step.kind != "expose" or step.strip is not None):
        return Refused(words.NO_TIME_HERE)
    one = Copy(len(bench.copies) + 1, print=of.index(happening.print.casefold()), base=happening.ms)
    try:
        assert step.kind != "expose" or bench.score.lights(0, one.print, one.base)
    except Misread as error:
        return Refused(str(error))
    mates = sum(1 for copy in bench.copies if copy.print == one.print and not copy.void) + 1
    name = names[one.print] if names else ""
    said = words.another(one.number, name, mates, mates, one.base)
    return Done(replace(bench, copies=(*bench.copies, one)), said, back=words.not_needed(one.number))


def _still_exposing(bench: Bench) -> bool:
    """Whether no sheet has gone on from the first station, and what is done together there has not begun."""
    station, steps = bench.plan.station_after(0), bench.plan.recipe.steps
    begun = station < len(steps) and steps[station].together and bench.all_in(station)
    return not bench.finished and not begun and all(copy.step <= station for copy in bench.copies if not copy.void)


def _full(bench: Bench) -> str | None:
    """Where one sheet more would find no room: a tray in which all gather, or the session itself."""
    sheets = sum(1 for copy in bench.copies if not copy.void)
    for step in (bench.plan.recipe.steps[station] for station in bench.plan.stations):
        if step.tray is not None and sheets >= bench.plan.recipe.trays[step.tray].holds:
            return words.no_room(step.name, bench.plan.recipe.trays[step.tray].holds)
    return words.NO_MORE if sheets >= MOST_COPIES else None


def planned(bench: Bench, happening: h.Planned, at: int) -> Answer:
    """The planner has decided; nobody is told but the session."""
    spoken = bench.offer if bench.offer is not None and bench.offer <= at else None
    return Done(replace(bench, planned=happening, offer=happening.offer if happening.offer is not None else spoken))


def undone(bench: Bench, happening: h.Undone, at: int) -> Done:
    """A hand was taken back: its sheets lie where they were left, and what is wanted now is asked anew."""
    out = dict(happening.out)
    open_now = (one.at(AskedFor(out[one.number])) for one in bench.copies if one.number in out and isinstance(one.place, InBox))
    white = max(bench.white_since or 0, at + PUT_BACK) if happening.put_back else bench.white_since
    unheard = (lay for lay in happening.unheard if lay.number <= len(bench.copies) and _was_there(bench, lay))
    return Done(unheard_by(replace(bench.put(*open_now, *unheard), asks=(), white_since=white), at), "")


def _was_there(bench: Bench, lay: Copy) -> bool:
    """Whether a sheet did come where it lay when a hand was taken back: another hand may have been taken back since."""
    copy = bench.copy(lay.number)
    if copy.void or copy.stays[: len(lay.stays)] != lay.stays:
        return False
    return lay.bath is None or bench.in_since(copy, lay.step) == lay.since


HAPPENINGS: dict[type[Any], Callable[[Bench, Any, int], Answer]] = {
    h.Tap: tap,
    h.Void: void,
    h.Moved: moved,
    h.Woke: woke,
    h.HoldPlan: hold,
    h.Go: go,
    h.Note: note,
    h.End: end,
    h.Reading: reading,
    h.Fresh: fresh,
    h.NewTime: new_time,
    h.Another: another,
    h.Pick: pick,
    h.Planned: planned,
    h.Undone: undone,
}
"""Happening -> what it does. Undo and the two questions are in `advance`, where history and promises are known."""
