"""A plan as tables: when each sheet goes where, what limits it, what would gain time, what slack and pace cost.

Every gain is planned anew and none is taken from a rule of thumb, so that what is promised is what the plan would do.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from assistant.planning.edition import CannotOverlap, Edition, plan_edition
from assistant.planning.hand_times import Hands
from assistant.planning.hand_work import SECOND, Work
from assistant.trade.wording import to_second

QUICK = 40_000
"""Choices for a plan that only says what something would gain: an eighth of what the plan itself may take."""
SLACKS = (0, 15_000, 30_000)
"""Slack before exact lifts (ms), to be seen beside the printer's own: none, the usual one (`hand_times.Hands`), twice that."""
PACES = (0, 1_000, 2_000, 4_000)
"""Hands from quick to slow (ms), the same way: none, half the usual pace, that, twice."""
WORTH = 30_000
"""A gain below this is not worth another tray, or a change of the light (ms): common practice, no source."""


@dataclass(frozen=True)
class Gain:
    """What would make the finish sooner, in words, and by how much (ms)."""

    what: str
    by: int


def one_by_one(edition: Edition) -> int:
    """When so many copies would be through one after the other with the same hands (ms)."""
    return plan_edition(edition.work, 1).finish * edition.copies


def bottleneck(edition: Edition) -> str:
    """What limits the edition, in words: the tray or the hands that are busy longest for one sheet."""
    work = edition.work
    name, longest = "the hands", _hands(work)
    for visit in work.visits:
        leaves, enters = work.actions[visit.exit], work.actions[visit.entry]
        changed = visit.least + leaves.takes - leaves.touch + work.change(leaves, enters) + enters.touch
        if changed // visit.holds > longest:
            name, longest = f"the {visit.name.lower()}", changed // visit.holds
    return f"{name}: {to_second(longest)} for every sheet"


def _hands(work: Work) -> int:
    """What one sheet costs the hands, drying once for its paper and once for its carrying (ms)."""
    return sum(action.takes for action in work.actions) + 2 * work.hands.change * (work.actions[0].kind == "place")


def gains(edition: Edition) -> Iterator[Gain]:
    """One more place in each tray, and half the light: each planned anew, those that are worth it."""
    work = edition.work
    changed: list[tuple[str, Work]] = []
    for index, visit in enumerate(work.visits):
        visits = (*work.visits[:index], replace(visit, holds=visit.holds + 1), *work.visits[index + 1 :])
        changed.append((f"one more place in the {visit.name.lower()}", replace(work, visits=visits)))
    if work.actions[0].kind == "place":
        first = work.actions[0]
        lit = first.takes - work.hands.place - work.hands.pace
        shorter = replace(first, takes=first.takes - lit // 2 // SECOND * SECOND)
        changed.append(("half the light (one stop wider)", replace(work, actions=(shorter, *work.actions[1:]))))
    for what, other in changed:
        by = edition.finish - plan_edition(other, edition.copies, QUICK).finish
        if by >= WORTH:
            yield Gain(what, by)


def never_turned(edition: Edition) -> list[str]:
    """A line for every bath with a rhythm in which the hands are free for no turn of some sheets: which they are."""
    turned = {(copy, step) for copy, step, _, at in edition.loose if at is not None}
    lines = []
    for visit in edition.work.visits:
        wanted = any(turn.step == visit.step for turn in edition.work.loose)
        lacking = [str(copy + 1) for copy in range(edition.copies) if wanted and (copy, visit.step) not in turned]
        if lacking:
            sheets = f"sheet{'s' * (len(lacking) > 1)} {', '.join(lacking)}"
            lines.append(f"No turn in the {visit.name.lower()}: {sheets}. Move each well as it goes in.")
    return lines


def planned_against(hands: Hands) -> int:
    """How many plans `against` makes."""
    return len({*SLACKS, hands.slack}) * len({*PACES, hands.pace})


def against(work_with: Callable[[Hands], Work], hands: Hands, copies: int) -> Iterator[tuple[int, int, int | None]]:
    """Slack, pace and the finish they lead to, around these hands (ms; None: it cannot be printed so)."""
    for slack in sorted({*SLACKS, hands.slack}):
        for pace in sorted({*PACES, hands.pace}):
            other = replace(hands, slack=slack, pace=pace)
            try:
                yield slack, pace, plan_edition(work_with(other), copies, QUICK).finish
            except CannotOverlap:
                yield slack, pace, None
