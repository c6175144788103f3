"""What one copy asks of the hands on its way to the first station: every action, how long it takes, what it waits for.

A sheet is laid and lit, carried into the first bath, turned at its times, lifted, drained and moved on. The lamp and
the baths work by themselves; only the hands are wanted everywhere. Spans are whole ms; hand times are counted in whole
seconds, because nobody's hands keep tenths.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from assistant.planning.constraints import Constraint
from assistant.planning.hand_times import Hands
from assistant.planning.plan import Plan
from assistant.recipe.model import Agitate, Develop, Expose, Fix, Tone, Wet, WetStep
from assistant.trade.quantities import format_span

SECOND = 1000  # ms
LOOK_AT_FIRST = 20_000
"""Copy one is looked at in white light for about so long before the next sheet is wanted (ms): common practice, no source."""
PER_ACTION = 3_000
"""Kept in hand in a soft bath for every movement of the hands planned within it (ms): below it late hands add up. Measured on
simulated editions: with 1.4 s an action up to 67 % of them failed, with 3.3 s at most 12."""
BEFORE_LIFT = 2_000
"""No turn is called so shortly before the lift (ms): the lift turns the sheet. Common practice, no source."""


@dataclass(frozen=True)
class Action:
    """One thing the hands do for a copy: in which step of the recipe, and how long it takes them (ms).

    `touch` is how long after its beginning the sheet first touches its next bath. `dry` says whether the hands must be
    dry before it and are dry after it. `exact`: it ends a bath that ends on its second. `mark`, `room` and `later`: a turn's
    time in its bath, and how much sooner and later it may be.
    """

    kind: Literal["place", "carry", "turn", "move", "watch"]
    step: int
    takes: int
    touch: int = 0
    dry: tuple[bool, bool] = (False, False)
    exact: bool = False
    mark: int = 0
    room: int = 0
    later: int = 0


@dataclass(frozen=True)
class Visit:
    """A copy's stay in one tray: the actions that begin and end it (their places), and its limits (ms; `most` None: none)."""

    step: int
    name: str
    tray: str
    holds: int
    entry: int
    exit: int
    least: int
    most: int | None

    @property
    def exact(self) -> bool:
        """Whether it ends on its second."""
        return self.most == self.least

    @property
    def window(self) -> int | None:
        """From its least to its most, ms; None where it has no most."""
        return None if self.most is None else self.most - self.least

    def kept(self, slack: int, inside: int) -> int:
        """What is kept in hand before its most, ms, with so many actions of the hands within it; at most half the window."""
        wanted = max(slack, PER_ACTION * inside)
        return wanted if self.window is None else min(wanted, self.window // 2 // SECOND * SECOND)


@dataclass(frozen=True)
class LooseTurn:
    """A turn in a bath with room in its time: done where the hands are free, at most `room` from its `mark` (ms), or left out."""

    step: int
    mark: int
    room: int
    takes: int


@dataclass(frozen=True)
class Work:
    """All that one copy asks of the hands, in its order; `gate`: an action, and the ms after its touch when copy one was seen."""

    hands: Hands
    actions: tuple[Action, ...]
    visits: tuple[Visit, ...]
    gate: tuple[int, int] | None
    loose: tuple[LooseTurn, ...] = ()

    @property
    def lit(self) -> bool:
        """Whether a sheet is lit before its first bath: then it lies exposed, and no other is laid before it is carried."""
        return self.actions[0].kind == "place"

    def change(self, before: Action, after: Action) -> int:
        """Between two actions the hands are dried, or cross over: how long, ms."""
        return self.hands.change if before.dry[1] != after.dry[0] else 0

    def apart(self, before: Action, after: Action) -> int:
        """The least between two actions of different copies, ms: none is touched within the slack before another's exact lift."""
        return max(self.change(before, after), self.hands.slack if after.exact else 0)

    def turns(self, visit: Visit) -> range:
        """The turns within a stay, by their places among the actions."""
        return range(visit.entry + 1, visit.exit)

    def constraints(self, kept: Mapping[int, int] | None = None) -> list[Constraint]:
        """What holds within one copy; `kept`: step -> what is kept in hand there, ms (default: the slack)."""
        found = [self._after(i) for i in range(1, len(self.actions))]
        for visit in self.visits:
            found += self._stay(visit, (kept or {}).get(visit.step, visit.kept(self.hands.slack, 0)))
            for turn in self.turns(visit):
                found += self._turn(visit, turn)
        return found

    def _after(self, index: int) -> Constraint:
        before, after = self.actions[index - 1 : index + 1]
        least = before.takes + self.change(before, after)
        says = f"{_DOES[before.kind]}: {format_span(least)} of hands"
        return Constraint(index - 1, index, least, 0, says, "quicker hands (pace, and the recipe's hands)")

    def _stay(self, visit: Visit, kept: int) -> list[Constraint]:
        shift = self.actions[visit.entry].touch - self.actions[visit.exit].touch
        name, step = visit.name.lower(), visit.step + 1
        least = f"{name}: at least {format_span(visit.least)}"
        found = [Constraint(visit.entry, visit.exit, shift + visit.least, 0, least, f"a shorter time in step {step}")]
        if visit.most is not None:
            most = visit.most - (0 if visit.exact else kept)
            says = f"{name}: exactly {format_span(most)}" if visit.exact else f"{name}: at most {format_span(visit.most)}"
            if most < visit.most:
                says += f" less {format_span(visit.most - most)} kept in hand"
            found.append(Constraint(visit.exit, visit.entry, -shift - most, 0, says, f"a longer most in step {step}"))
        return found

    def _turn(self, visit: Visit, index: int) -> list[Constraint]:
        turn, touch = self.actions[index], self.actions[visit.entry].touch
        says = f"{visit.name.lower()}: a turn at {format_span(turn.mark)}"
        mend = f"agitate less often in step {visit.step + 1}"
        return [
            Constraint(visit.entry, index, touch + turn.mark - turn.room, 0, says, mend),
            Constraint(index, visit.entry, -touch - turn.mark - turn.later, 0, says, mend),
        ]


_DOES = {"place": "laying and light", "carry": "carrying", "turn": "a turn", "move": "draining and moving", "watch": "looking"}


def one_at_a_time(plan: Plan) -> str:
    """Why copies of this recipe must go one at a time, in words; "" where they may overlap."""
    trays: dict[str, str] = {}
    if plan.apart:
        return "its sheets are in one bath together as it is"
    if plan.recipe.prints:
        return "several negatives in one session: their lights differ"
    for step in _leg(plan):
        if isinstance(step, Develop) and step.target is None:
            return f"{step.name.lower()} is ended by eye or by the first tone: its end is not known beforehand"
        if isinstance(step, Develop) and step.begin == "on cue" and not trays:
            return f"{step.name.lower()} begins by itself after the light: write begin: by hand"
        if trays and step.kind == "expose":
            return f"{step.name.lower()} after a bath: its moment is not known beforehand"
        if step.ends == "others":
            return f"{step.name.lower()} is ended by a hand: let it gather all copies"
        if trays and step.begin == "by hand":
            return f"{step.name.lower()} begins by hand: leave out `begin`"
        if isinstance(step, Tone):
            return f"{step.name.lower()} before all copies gather: let the hold before it gather them"
        if isinstance(step, Wet):
            holds = plan.recipe.trays[step.tray].holds
            if step.tray in trays and holds < plan.copies:
                return f"{trays[step.tray]} and {step.name.lower()} share the tray `{step.tray}`: give each its own"
            trays[step.tray] = step.name.lower()
    return "" if trays else "there is no bath before the copies gather"


def _leg(plan: Plan) -> tuple[Expose | WetStep, ...]:
    """The steps before the first station."""
    return plan.recipe.steps[: plan.station_after(0)]


def work_of(plan: Plan, hands: Hands, lights: Mapping[int, tuple[int, ...]]) -> Work:
    """The work of one copy to the first station; `lights`: step -> how long each time of the lamp is (ms), count-in and all."""
    return _Writer(plan, hands).written(lights)


class _Writer:
    def __init__(self, plan: Plan, hands: Hands) -> None:
        self.plan, self.hands = plan, hands
        self.actions: list[Action] = []
        self.visits: list[Visit] = []
        self.gate: tuple[int, int] | None = None
        self.loose: list[LooseTurn] = []

    def written(self, lights: Mapping[int, tuple[int, ...]]) -> Work:
        for index, step in enumerate(_leg(self.plan)):
            if isinstance(step, Expose):
                self._place(index, lights[index])
            else:
                self._stay(index, step)
        return Work(self.hands, tuple(self.actions), tuple(self.visits), self.gate, tuple(self.loose))

    def _place(self, index: int, runs: tuple[int, ...]) -> None:
        """Laid and lit in one go; every further time of the lamp is begun anew, with a card or a tool in hand."""
        again = (self.hands.change + self.hands.pace) * (len(runs) - 1)
        takes = _whole(self.hands.place + self.hands.pace + sum(runs) + again)
        self.actions.append(Action("place", index, takes, dry=(True, True)))

    def _stay(self, index: int, step: WetStep) -> None:
        if not self.visits:
            takes = _whole(self.hands.carry + self.hands.pace)
            self.actions.append(Action("carry", index, takes, takes, (True, False)))
        entry = len(self.actions) - 1
        least, most = _limits(step)
        self._turns(index, step, least, most)
        drain = min(_whole(step.drain), least)
        if isinstance(step, Fix) and self.gate is None and isinstance(self.plan.recipe.steps[0], Expose):
            self.gate = (entry, step.light_safe + LOOK_AT_FIRST) if self.plan.recipe.first == "alone" else None
        exact = most == least
        self.actions.append(Action("move", index, drain + _whole(self.hands.pace), drain, exact=exact))
        tray = self.plan.recipe.trays[step.tray]
        self.visits.append(Visit(index, step.name, step.tray, tray.holds, entry, len(self.actions) - 1, least, most))

    def _turns(self, index: int, step: WetStep, least: int, most: int | None) -> None:
        """The recipe's turns; where they follow each other without a pause each lasts until the next.

        A sheet that is watched, or moved all the time, has the hands from its first touch to its lift. An exact bath is
        turned in one rhythm, whatever the hands do besides, and no turn is put off into the slack before the sheet's own lift:
        hands that are called away at it would be late for that too. Elsewhere turns fill what the hands have left.
        """
        agitate, lift = step.agitate, max(least, step.target or 0) - step.drain
        if isinstance(step, Tone) or agitate == "all the time":
            pace = _whole(self.hands.pace)
            self.actions.append(Action("watch", index, max(0, lift - pace), mark=pace))
        elif isinstance(agitate, Agitate):
            for mark in range(agitate.every, lift - BEFORE_LIFT, agitate.every):
                takes = min(_whole(self.hands.turn + self.hands.pace), agitate.every, lift - mark + agitate.room)
                room = agitate.room // SECOND * SECOND
                if least == most:
                    clear = max(0, lift - self.hands.slack - takes - mark) // SECOND * SECOND
                    self.actions.append(Action("turn", index, takes, mark=mark, room=room, later=min(room, clear)))
                else:
                    self.loose.append(LooseTurn(index, mark, room, takes))


def _whole(ms: int) -> int:
    return -(-ms // SECOND) * SECOND


def _limits(step: WetStep) -> tuple[int, int | None]:
    """The least and the most of a stay; what ends on its second has both alike."""
    if isinstance(step, Develop):
        assert step.target is not None
        return step.target, step.target
    if isinstance(step, Tone):
        return step.by_eye.latest, step.by_eye.latest
    return step.at_least or step.target or 0, step.at_most
