"""The bench: all copies and one pair of hands at one moment, and when each stay ends.

How copies go on is in `changes`, what time does to the bench in `passing`, what it asks for in `next_hand`, what a hand
may be about to do in `hands`, what hands and words do in `taps` and `rules`, what will be heard in `promise`.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from assistant.planning.plan import Plan
from assistant.recipe.model import Step, TemperatureLaw
from assistant.score.cues import Passage
from assistant.score.lamp import LampRun
from assistant.score.score import Score
from assistant.session.copy import Copy, TrayReading
from assistant.session.frozen import once, replace
from assistant.session.happenings import Happening, Planned
from assistant.session.place import Called, InBath, InLight, Waiting
from assistant.session.rules_number import RULES
from assistant.trade import temperature

CARRY = 10_000
"""From the end of the light to the developer, where the recipe has it begin on cue (ms): common practice, no source."""


@dataclass(frozen=True)
class Ask:
    """A question put to the printer: these copies are to be taken to `step`, or to its `run`th light.

    `at` is when its words begin (ms); no hand can answer it before. `step` is one past the last where sheets come out.
    """

    copies: tuple[int, ...]
    step: int
    run: int
    at: int


@dataclass(frozen=True)
class Told:
    """A happening that was taken: its moment (ms), what it was, in words what it did ("": nothing) or what undoing it says."""

    at: int
    happening: Happening
    did: str = ""
    back: str = ""


@dataclass
class Ahead:
    """What time alone will do to a bench next: `due` is when (ms), None: nothing; `then` is the bench after it.

    Worked out once, by `passing`, and kept with the bench: a promise, a wake and a beat all ask the same.
    """

    due: int | None
    then: "Bench | None" = None


class LastTap(NamedTuple):
    """A hand's last tap: when it came, the moment that it meant (earlier where it was spoken), ms, and the bench before it."""

    at: int
    then: int
    before: "Bench"


@dataclass(frozen=True)
class Bench:
    """Everything about a session at one moment; equal benches hear and do the same."""

    score: Score = field(repr=False, compare=False)
    copies: tuple[Copy, ...]
    rules: int = RULES
    """The number of the rules it goes by; 1 only while a file of an older program is brought up to date."""
    now: int = 0
    """The moment at which it stands so, ms since the session began."""
    held: bool = False
    """The plan is on hold: no new sheet is begun."""
    end_asked: int | None = None
    """When it was asked whether the session is to end, ms; None: it is not asked now."""
    void_asked: tuple[int, int] | None = None
    """The copy of which was asked whether it is void, and when (ms)."""
    ended: bool = False
    """The printer ended it: nothing is called any more."""
    asks: tuple[Ask, ...] = ()
    """The questions that are open, or will be said presently."""
    white_since: int | None = None
    """From when white light is safe for every sheet that is out, ms; None while it is not, or nothing is out."""
    readings: tuple[TrayReading, ...] = ()
    fresh: tuple[tuple[int, str], ...] = ()
    """When a tray's bath was mixed anew (ms), and which tray."""
    emerged: tuple[tuple[int, int], ...] = ()
    """Copy and the ms from immersion to its first visible tone."""
    notes: tuple[tuple[int, str], ...] = ()
    """The printer's own words, each with its moment (ms)."""
    picked: int | None = None
    """The strip to print by, counted from one."""
    planned: Planned | None = None
    """What the planner decided last; None where copies go one at a time."""
    offer: int | None = None
    """When it is, or was last, offered to go on one at a time, ms."""
    one_by_one: bool = False
    """The printer took that: no further sheet is begun beside another."""
    late: tuple[int, ...] = ()
    """How late hands were, among several copies, for every pip that a tap set right (ms)."""
    last_tap: "LastTap | None" = field(default=None, repr=False, compare=False)
    """What a second tap may say to have been for another sheet."""
    history: tuple[Told, ...] = field(default=(), repr=False)
    """All that was taken, in its order: replay makes the bench from it."""
    promised: tuple[Passage, ...] = field(default=(), repr=False, compare=False)
    """What the sound desk was given last, a passage a voice."""
    said: str = field(default="", repr=False, compare=False)
    """What was said last before the present promise was made."""
    ahead: Ahead | None = field(default=None, init=False, repr=False, compare=False)
    """What comes next, once somebody asked; a bench made from this one begins without."""

    @property
    def plan(self) -> Plan:
        """The plan that is printed."""
        return self.score.plan

    @once
    def all_planned(self) -> tuple[tuple[int, Planned], ...]:
        """All that the planner decided, each with its moment (ms), in its order."""
        return tuple((told.at, told.happening) for told in self.history if isinstance(told.happening, Planned))

    @once
    def finished(self) -> bool:
        """No copy has anything before it."""
        return self.ended or not self._living

    def step_of(self, copy: Copy) -> Step:
        """The step a copy is in, or waits for."""
        return self.score.plan.recipe.steps[copy.place.step]

    def copy(self, number: int) -> Copy:
        """A copy by its number, counted from one; LookupError where there is none."""
        if not 1 <= number <= len(self.copies):
            raise LookupError(number)
        return self.copies[number - 1]

    def lights(self, copy: Copy) -> tuple[LampRun, ...]:
        """The lamp runs of the step a copy is in, by the print it is of and the time it was given."""
        return self.score.lights(copy.step, copy.print, copy.base)

    def put(self, *changed: Copy) -> "Bench":
        """The bench with these copies as they are now."""
        if not changed:
            return self
        by_number = {copy.number: copy for copy in changed}
        return replace(self, copies=tuple(by_number.get(copy.number, copy) for copy in self.copies))

    def living(self) -> Iterator[Copy]:
        """Copies neither void nor done, by number."""
        return iter(self._living)

    @once
    def _living(self) -> tuple[Copy, ...]:
        return tuple(copy for copy in self.copies if copy.live)

    def mixed(self, tray: str | None) -> int:
        """When a tray's bath was mixed anew last, ms; 0 where it is as the session found it."""
        return max((at for at, name in self.fresh if name == tray), default=0)

    @once
    def untoned(self) -> frozenset[int]:
        """The numbers of the copies that are kept as untoned reference: the last ones that are left."""
        if not self.plan.toners or not self.plan.reference:
            return frozenset()
        first = self.plan.toners[0]
        toned = {stay.copy for copy in self.copies for stay in copy.stays if stay.step == first}
        left = [c.number for c in self.copies if not c.void and c.number not in toned and not self._toning(c)]
        return frozenset(left[-self.plan.reference :])

    def _toning(self, copy: Copy) -> bool:
        return copy.bath is not None and self.step_of(copy).kind == "tone"

    def following(self, copy: Copy) -> int:
        """The step after the one a copy is in."""
        plan, onward = self.score.plan, copy.step + 1
        if onward not in plan.toners:  # who is left untoned matters only before a toner
            return onward
        return plan.following(copy.step, copy.number in self.untoned)

    def shared(self, copy: Copy) -> bool:
        """Whether a copy is in a step that all copies do together."""
        return isinstance(copy.place, InBath) and self.step_of(copy).together

    def beside(self, copy: Copy) -> tuple[Copy, ...]:
        """All copies that are in the bath of the same step, a copy itself among them."""
        return tuple(other for other in self.copies if other.bath is not None and other.step == copy.step)

    def company(self, copy: Copy) -> tuple[Copy, ...]:
        """A copy and those that move with it: all in the same step, where that is done together and is not left one by one."""
        return self.beside(copy) if self.shared(copy) and self.apart(copy) is None else (copy,)

    def apart(self, copy: Copy) -> int | None:
        """How far apart (ms) copies leave the bath a copy is in, one by one for the next; None where they do not."""
        return self.plan.apart.get(copy.step + 1) if copy.bath is not None else None

    def turn(self, copy: Copy) -> int | None:
        """When it is a copy's turn to follow the one before it, ms; None: it is not next, or none has gone before it."""
        apart = self.apart(copy) if self.plan.apart else None
        if apart is None or copy.number != self.beside(copy)[0].number:
            return None
        onward = self.following(copy)
        begun = [since for c in self.copies if (since := self.in_since(c, onward)) is not None]
        left = [stay.to_ms for c in self.copies if c.void for stay in c.stays if stay.step == copy.step]  # spoiled in its turn
        return max((*begun, *left)) + apart if begun else None

    def wanted_in(self, copy: Copy) -> int | None:
        """How long a copy that is called was to stay, ms: as planned, or until the turn it waited for; None without a target."""
        place = copy.place
        return place.over - place.since if isinstance(place, Called) and place.target is not None else copy.target

    def stack(self, step: int) -> tuple[Copy, ...]:
        """Copies that go into a bath apart from each other: those that still wait for it, that are in it, that were in it."""
        if step not in self.plan.apart:
            return ()
        return tuple(c for c in self.copies if not c.void and (self._bound_for(c, step) or self.in_since(c, step) is not None))

    def _bound_for(self, copy: Copy, step: int) -> bool:
        return copy.bath is not None and copy.step < step == self.following(copy)

    @once
    def endings(self) -> tuple[int | None, ...]:
        """When the stay of each of the `copies` ends by itself, ms; None as `ends` has it."""
        return tuple(ends(self, copy) for copy in self.copies)

    def in_since(self, copy: Copy, step: int) -> int | None:
        """When a copy went into the bath of a step, ms; None where it was not there."""
        if copy.bath is not None and copy.step == step:
            return copy.since
        return next((stay.from_ms for stay in copy.stays if stay.step == step), None)

    def came_with(self, copy: Copy) -> tuple[Copy, ...]:
        """A copy and those of its company that went in at the same moment."""
        return tuple(mate for mate in self.company(copy) if mate.since == copy.since)

    def all_in(self, step: int) -> bool:
        """Whether every copy that still counts is in this step or beyond it."""
        return all(c.step > step or (c.step == step and c.bath is not None) for c in self.living())

    def under_way(self, copy: Copy) -> bool:
        """Out of its box and not at a station: between two of them, or on the way to the first."""
        return copy.live and not copy.boxed and not (copy.bath is not None and copy.step in self.plan.stations)

    @once
    def in_company(self) -> bool:
        """Whether several copies are on their way, so that a call has to say whose it is."""
        out = [copy for copy in self.living() if self.under_way(copy)]
        if len(out) != 1 or not self.overlaps:
            return len(out) > 1
        return any(copy.stays for copy in self.copies if copy is not out[0])

    @once
    def overlaps(self) -> bool:
        """Whether copies are planned to be in the baths together, and some have not come to where all gather."""
        if self.planned is None:
            return False
        first = self.plan.station_after(0)
        if not any(copy.step < first for copy in self.living()):
            return False
        return not self.one_by_one or sum(1 for copy in self.living() if self.under_way(copy)) > 1

    def room_in(self, step: int, coming: int = 1) -> bool:
        """Whether the tray of a step has room for so many sheets more; out of the last bath there always is."""
        steps = self.plan.recipe.steps
        name = steps[step].tray if step < len(steps) else None
        if name is None:
            return True
        inside = sum(1 for c in self.copies if c.bath is not None and self.step_of(c).tray == name)
        return inside + coming <= self.plan.recipe.trays[name].holds


def ends(bench: Bench, copy: Copy) -> int | None:
    """When a copy's stay ends by itself, ms; None where a hand ends it, or it waits for others."""
    place = copy.place
    if isinstance(place, InLight):
        return place.since + bench.lights(copy)[place.run].lasts
    if isinstance(place, Waiting):
        return place.since + CARRY if place.carried else None
    if not isinstance(place, InBath) or isinstance(place, Called):
        return None
    if (turn := bench.turn(copy)) is not None:
        return turn
    if place.target is None or (bench.apart(copy) is not None and copy.number != bench.beside(copy)[0].number):
        return None
    if not bench.shared(copy):
        return place.since + stay_of(bench, copy, place.target)
    if not bench.all_in(place.step):
        return None
    last = last_in(bench, copy)
    return last.since + (last.target or 0)


def stay_of(bench: Bench, copy: Copy, target: int) -> int:
    """How long a copy stays in its bath (ms): as planned among others, between the recipe's time and its most; else `target`."""
    step = bench.step_of(copy)
    if bench.planned is None or step.kind == "develop":
        return target
    planned = next((ms for number, index, ms in bench.planned.stays if (number, index) == (copy.number, copy.step)), target)
    return max(target, planned if step.at_most is None else min(planned, step.at_most))


def turns_of(bench: Bench, copy: Copy) -> tuple[int, ...] | None:
    """When a copy is turned in its bath, ms after its first touch, as planned; None: as the recipe says."""
    if bench.planned is None:
        return None
    own = (at for number, step, at in bench.planned.turns if (number, step) == (copy.number, copy.step))
    return next(own, next((at for step, at in bench.planned.rhythm if step == copy.step), None))


def drain_of(step: Step) -> int:
    """How long a sheet drains at the end of a step, ms; nothing drains under the light."""
    return 0 if step.kind == "expose" else step.drain


def last_in(bench: Bench, copy: Copy) -> InBath:
    """Of all copies in the bath of a copy the place of the one that went in last: its time counts for all."""
    places = [mate.place for mate in bench.beside(copy) if isinstance(mate.place, InBath)]
    return max(places, key=lambda place: place.since)


def target_of(bench: Bench, step: int) -> int | None:
    """How long a step is to last for a copy that goes in now, ms: the recipe's time, by the tray's last reading."""
    found = bench.plan.recipe.steps[step]
    if found.ends != "clock" or found.kind == "expose":
        return None
    if found.apart is not None and (first := _first_in(bench, step)) is not None:
        return first.target  # what the first got all get, or they would not come out as they went in
    law, read = found.temperature_law, [r.celsius for r in bench.readings if r.tray == found.tray]
    if law is None or not read or found.target is None or found.kind != "develop":
        return found.target
    rated = bench.plan.recipe.trays[found.tray].temperature
    return law_time(law, found.target, rated, read[-1])


def _first_in(bench: Bench, step: int) -> Copy | None:
    return next((copy for copy in bench.copies if copy.bath is not None and copy.step == step), None)


def law_time(law: TemperatureLaw, target: int, rated: float | None, celsius: float) -> int:
    """The time at a temperature by a recipe's law, ms; Misread where the law gives none."""
    if law.points is not None:
        return temperature.time_between(law.points, celsius)
    assert law.coefficient is not None
    return temperature.time_at(target, rated or temperature.RATED, celsius, law.coefficient)
