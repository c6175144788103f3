"""How a sheet gets from one place to the next: every way there is, in one table.

A sheet lies in its box until the voice has asked for it; then it counts as out. A hand begins its light, or its first
bath where no lamp is used; the lamp ends by itself, and the sheet waits for its next light or to be carried to its
bath. In a bath it stays until the time of that bath is up. Then it is taken to be moved into the next one, on the pip,
and for a while (`window`: half a minute, less in a short bath) a tap may still say that it goes in now: the stay behind
it and all that follows are set right.
But where a hand begins what follows, where the next tray is full, or where nobody heard the pip, it is only called, and
stays where it is until a hand says that it has moved. Where an eye ends a bath (the toner) or the others are waited for
(the holding water) no time is ever up: only a hand moves it. After its last bath it is over; it may be spoiled at any
time before, and is never asked for again.

Sheets that share a bath leave it together: what is done with one is done with its company. They may have gone in one by
one, so a move is set right only for those that made it together. But where the next bath wants them apart, the first is
begun as the recipe says and every other follows the one before it on a pip.
"""

from collections.abc import Callable
from typing import TypeAlias

from assistant.session.bench import Bench, ends, target_of
from assistant.session.copy import Copy, Stay
from assistant.session.frozen import replace
from assistant.session.place import AskedFor, Assumed, Called, InBath, InBox, InLight, Over, Waiting

WINDOW = 30_000
"""After a pip, a tap within this time says when it was really done (ms): whoever is called away comes back after half a
minute. In a shorter bath the next call ends it: a tap then belongs to that. Measured by `python -m tests.bench late_hands`:
with half of it a third more of the editions that are printed one at a time fail."""
SHORT_WINDOW = 15_000
"""The same where all gather, or wait for a hand (ms): its time is not counted, and what is asked next waits for this. Long
enough for a sheet that was drained first and let slip once. Common practice, no source."""
SOONEST = 5_000
"""A tap in the drain moves a sheet on only so long before its pip (ms): sooner it would cut the bath, and is most likely
meant for something else. Common practice, no source."""
PATIENCE = 15_000
"""A copy that only a hand can move becomes an alarm after this time (ms): common practice, no source."""

Change: TypeAlias = Callable[[Bench, Copy, int], Bench]
"""What happens to a copy at a moment (ms) -> the bench after it."""


def asked(bench: Bench, copy: Copy, at: int) -> Bench:
    """The voice asks for its paper."""
    return bench.put(copy.at(AskedFor(at)))


def laid(bench: Bench, copy: Copy, at: int) -> Bench:
    """It lies under the lamp, and its light has to wait."""
    assert isinstance(copy.place, AskedFor)
    return bench.put(copy.at(replace(copy.place, laid=True)))


def begun(bench: Bench, copy: Copy, at: int) -> Bench:
    """A hand begins its light, or its bath."""
    place = copy.place
    run = place.run if isinstance(place, Waiting) else 0
    if copy.boxed:
        copy = _answering(bench, copy)
    if bench.step_of(copy).ends == "light":
        return bench.put(copy.at(InLight(place.step, run, at)))
    return bench.put(copy.at(InBath(place.step, at, target_of(bench, place.step))))


def _answering(bench: Bench, copy: Copy) -> Copy:
    return replace(copy, asked=next((ask.at for ask in bench.asks if copy.number in ask.copies), None))


def light_over(bench: Bench, copy: Copy, at: int) -> Bench:
    """The lamp is off: it waits for its next light, or for the bath."""
    place = copy.place
    assert isinstance(place, InLight)
    runs = bench.lights(copy)
    lit = lit_until(bench, copy, at)
    if place.run + 1 < len(runs):
        return bench.put(lit.at(Waiting(place.step, place.run + 1, at)))
    onward = bench.plan.recipe.steps[place.step + 1]
    return bench.put(lit.at(Waiting(place.step + 1, 0, at, carried=onward.begin == "on cue")))


def lit_until(bench: Bench, copy: Copy, at: int) -> Copy:
    """The copy with its light behind it, over or broken off at `at`; the light began after the count-in."""
    place = copy.place
    assert isinstance(place, InLight)
    run = bench.lights(copy)[place.run]
    on = place.since + run.count_in
    return copy.with_stay(bench.step_of(copy), on, max(at, on), run.name, run.light)


def lamp_is_on(bench: Bench, copy: Copy, at: int) -> bool:
    """Whether the count-in of a sheet under the lamp is over."""
    place = copy.place
    return isinstance(place, InLight) and at >= place.since + bench.lights(copy)[place.run].count_in


def stopped(bench: Bench, copy: Copy, at: int) -> Bench:
    """Its count-in is broken off: it has had no light, and waits as it did before."""
    place = copy.place
    assert isinstance(place, InLight)
    return bench.put(copy.at(Waiting(place.step, place.run, at) if copy.stays else AskedFor(at)))


def carried(bench: Bench, copy: Copy, at: int) -> Bench:
    """From the lamp into the bath, on its cue."""
    return bench.put(copy.at(Assumed(copy.step, at, target_of(bench, copy.step), at + window(bench, copy.step, copy))))


def window(bench: Bench, step: int, *moving: Copy) -> int:
    """How long after its pip a tap says when a sheet really went into the bath of a step, ms.

    One at a time it is over before a tap may end that bath; among several copies only the last to be where all gather keeps
    nobody waiting. By the first rules it was short everywhere.
    """
    if bench.rules == 1:
        return SHORT_WINDOW
    if bench.overlaps:
        first, numbers = bench.plan.station_after(0), {copy.number for copy in moving}
        others = any(copy.step < first for copy in bench.living() if copy.number not in numbers)
        return WINDOW if others or step < first else SHORT_WINDOW
    target = None if step in bench.plan.stations else target_of(bench, step)
    return SHORT_WINDOW if target is None else max(SHORT_WINDOW, min(WINDOW, target - SOONEST))


def time_up(bench: Bench, copy: Copy, at: int) -> Bench:
    """The time of its bath is over: taken to be in the next one, or called where only a hand can say so."""
    steps, onward, company = bench.plan.recipe.steps, bench.following(copy), bench.company(copy)
    by_hand = onward < len(steps) and steps[onward].begin == "by hand" and bench.turn(copy) is None
    if by_hand or (onward < len(steps) and not bench.room_in(onward, len(company))):
        return _call(bench, company, at, at, patient=True)
    return _go_on(bench, company, at, assumed=True)


def called(bench: Bench, copy: Copy, at: int) -> Bench:
    """Its time was up while nobody was called: a hand has to say that it has moved, and the alarm begins."""
    over = ends(bench, copy)
    return _call(bench, bench.company(copy), at, at if over is None else over, patient=False)


def _call(bench: Bench, company: tuple[Copy, ...], at: int, over: int, patient: bool) -> Bench:
    now_called = []
    for mate in company:
        place = mate.place
        assert isinstance(place, InBath)
        most = bench.step_of(mate).at_most or 0
        alarm = max(at + PATIENCE, place.since + most) if patient else at
        now_called.append(mate.at(Called(place.step, place.since, place.target, at, alarm, over)))
    return bench.put(*now_called)


def to_be_carried(bench: Bench, copy: Copy, at: int) -> Bench:
    """Nobody heard that it was to be carried to its bath: a hand begins that."""
    assert isinstance(copy.place, Waiting)
    return bench.put(copy.at(replace(copy.place, carried=False)))


def window_over(bench: Bench, copy: Copy, at: int) -> Bench:
    """No hand said otherwise: it went in on its pip."""
    place = copy.place
    assert isinstance(place, Assumed)
    return bench.put(copy.at(InBath(place.step, place.since, place.target)))


def moved_on(bench: Bench, copy: Copy, at: int) -> Bench:
    """A hand moves it on now."""
    return _go_on(bench, bench.company(copy), at, assumed=False)


def _go_on(bench: Bench, company: tuple[Copy, ...], at: int, assumed: bool) -> Bench:
    moved = []
    for mate in company:
        place, onward = mate.place, bench.following(mate)
        assert isinstance(place, InBath)
        left = mate.with_stay(bench.step_of(mate), place.since, at, target=place.target)
        if onward == len(bench.plan.recipe.steps):
            moved.append(left.at(Over(onward, at, void=False)))
        else:
            target = target_of(bench, onward)
            until = at + window(bench, onward, *company)
            moved.append(left.at(Assumed(onward, at, target, until) if assumed else InBath(onward, at, target)))
    return bench.put(*moved)


def set_right(bench: Bench, copy: Copy, at: int) -> Bench:
    """It went in at `at` and not when it was taken to: the stay behind it and all that follows are set right."""
    moved = []
    for mate in bench.came_with(copy):
        place = mate.place
        assert isinstance(place, InBath)
        moved.append(replace(_reopened(bench, mate, at), place=InBath(place.step, at, place.target)))
    return bench.put(*moved)


def _reopened(bench: Bench, copy: Copy, at: int) -> Copy:
    """The copy with its last stay ending at `at`, where it ended when the present one began."""
    last = last_bath(copy)
    if last is None:
        return copy
    back = replace(copy, place=InBath(last.step, last.from_ms, last.target_ms), stays=copy.stays[:-1])
    return back.with_stay(bench.plan.recipe.steps[last.step], last.from_ms, at, target=last.target_ms)


def last_bath(copy: Copy) -> Stay | None:
    """The bath it came from into the present one; None where it came from the lamp or from its box."""
    last = copy.stays[-1] if copy.stays else None
    return last if last is not None and last.to_ms == copy.since and last.kind != "expose" else None


def seen(bench: Bench, copy: Copy, at: int, target: int) -> Bench:
    """Its first tone was seen: now its time is known (ms)."""
    assert isinstance(copy.place, InBath)
    return bench.put(copy.at(InBath(copy.step, copy.place.since, target)))


def spoiled(bench: Bench, copy: Copy, at: int) -> Bench:
    """It no longer counts; what it was in ends now."""
    place = copy.place
    if isinstance(place, AskedFor):
        copy = _answering(bench, copy)
    elif isinstance(place, InLight):
        copy = lit_until(bench, copy, at)
    elif isinstance(place, InBath):
        copy = copy.with_stay(bench.step_of(copy), place.since, at, target=place.target)
    return bench.put(copy.spoiled(at))


CHANGES: dict[tuple[type, str], Change] = {
    (InBox, "asked"): asked,
    (AskedFor, "laid"): laid,
    (AskedFor, "begun"): begun,
    (InLight, "time up"): light_over,
    (InLight, "stopped"): stopped,
    (Waiting, "begun"): begun,
    (Waiting, "time up"): carried,
    (Waiting, "called"): to_be_carried,
    (Assumed, "window over"): window_over,
    (Assumed, "set right"): set_right,
    (Assumed, "time up"): time_up,  # a bath shorter than the window
    (Assumed, "moved on"): moved_on,  # a little early, out of a bath as short as that, once a hold has ended the window for a tap
    (Assumed, "called"): called,
    (InBath, "set right"): set_right,
    (InBath, "time up"): time_up,
    (InBath, "moved on"): moved_on,  # by a hand: a little early, by eye, or with the others
    (InBath, "called"): called,
    (Called, "moved on"): moved_on,
    (InBox, "spoiled"): spoiled,
    (AskedFor, "spoiled"): spoiled,
    (Waiting, "spoiled"): spoiled,
    (InLight, "spoiled"): spoiled,
    (InBath, "spoiled"): spoiled,
    (Assumed, "spoiled"): spoiled,
    (Called, "spoiled"): spoiled,
}
"""Where a sheet is, and what happens to it -> what becomes of the bench. There is no other way from place to place."""


def change(bench: Bench, copy: Copy, what: str, at: int) -> Bench:
    """The bench after `what` has happened to a copy at `at` (ms); KeyError where that can't happen in its place."""
    return CHANGES[type(copy.place), what](bench, copy, at)


def unheard_by(bench: Bench, at: int) -> Bench:
    """Copies whose end has now come to lie before `at`: nobody called it, so nobody acted on it; a hand must say."""
    for number in [copy.number for copy in bench.living()]:
        copy = bench.copy(number)
        end = ends(bench, copy)
        if end is not None and end <= at:
            bench = change(bench, copy, "called", at)
    return bench
