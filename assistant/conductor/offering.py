"""The offer to go on one at a time, for hands that are too late for the plan of several copies again and again."""

from dataclasses import replace

from assistant.planning.following import Followed
from assistant.planning.hand_work import Work
from assistant.session.bench import Bench
from assistant.session.changes import SHORT_WINDOW
from assistant.session.copy import Copy
from assistant.session.happenings import Planned
from assistant.session.next_hand import ASK_AFTER
from assistant.session.place import Assumed
from assistant.session.spoiling import VOID_ASKED

TOO_OFTEN = 3
"""More often than this the hands may be too late for the order that was planned before it is offered to go one at a time.

Of twenty simulated editions of eight each, hands that answered after 8 s came over it in all, after 4 s in eight, after 2 s in
three, after half a second in none; one more, and the offer comes when the edition is nearly through.
"""


def with_offer(bench: Bench, work: Work, copies: list[Copy], found: Followed, planned: Planned) -> Planned:
    """The plan with the offer to go on one at a time in the next gap of the hands, once they were late too often.

    Nobody is called in that gap, nothing is asked, and no late move of before is told in it, so that a yes is not taken for
    anything else; the next sheet waits for it.
    """
    boxed = {c for c, copy in enumerate(copies) if copy.boxed}
    if bench.one_by_one or len(boxed) < 2 or any(ask.at <= bench.now for ask in bench.asks):
        return planned
    made = [plan for _, plan in bench.all_planned]
    since = next((i for i in reversed(range(len(made))) if (at := made[i].offer) is not None and at <= bench.now), -1)
    if sum(one.anew for one in (*made[since + 1 :], planned)) <= TOO_OFTEN:
        return planned
    at = max([bench.now + ASK_AFTER, *(copy.place.since + SHORT_WINDOW for copy in copies if isinstance(copy.place, Assumed))])
    rows = ((row[k], action) for c, row in enumerate(found.starts) if c not in boxed for k, action in enumerate(work.actions))
    for begun, action in sorted(rows, key=lambda one: one[0]):
        if begun >= at + VOID_ASKED + ASK_AFTER:
            break
        at = max(at, begun + action.takes + (SHORT_WINDOW if action.kind == "move" else 0))
    ask = planned.ask
    if ask is not None and ask.copy in {copies[c].number for c in boxed}:
        ask = replace(ask, opens=max(ask.opens, at + VOID_ASKED + ASK_AFTER))
    return replace(planned, ask=ask, offer=at)
