"""A session that was begun under other rules: what was kept is shown, and it can be ended, or gone on with by hand.

It is never replayed: these rules would make another session of the same happenings.
"""

import sys

from assistant.devices.clock import SessionClock
from assistant.history.printed import Session
from assistant.history.summary import true_times
from assistant.planning.plan import Plan
from assistant.printing.by_hand import ByHand
from assistant.printing.options import on_terminal
from assistant.printing.plain_face import answered
from assistant.printing.recipe_file import frozen_score
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import complain
from assistant.records.journal import Journal
from assistant.session.rules_number import RULES


def gone_on_by_hand(journal: Journal, left: Session) -> bool:
    """Say what was kept of it, and ask what is to become of it; whether it was gone on with, until its end or for now."""
    course, plan = journal.course(left.number), _plan(left)
    called = plan.recipe.called if plan else "copy"
    said = [
        f"Session {left.number}, {left.title}, was begun with traycall {left.program} under other rules (number {left.rules}; "
        f"this program's are {RULES}): it can't be resumed here. Recorded until {left.ended_by:%H:%M:%S}:",
        *(f"  {true_times(sheet, called)}" for sheet in course.sheets),
        *(f"  {called} {sheet.number} in {at.name} since {left.wall(at.since):%H:%M:%S}" for sheet, at in course.left),
        f"That version can still resume it. All its times: traycall records show {left.number}",
    ]
    complain("\n".join(said))
    if not on_terminal():
        return False
    if not any(sheet.state == "not finished" for sheet in course.sheets):
        plan = None
    answer = answered(f"{'h: go on by hand. ' if plan else ''}e: end it for good. Any other key: leave it as it is. ").lower()
    if answer == "e" and answered("e once more ends it for good. Any other key: not yet. ").lower() == "e":
        journal.end(left.number)
    if answer != "h" or plan is None:
        return False
    kept, clock = journal.resume(left.number, SessionClock.resumed)
    if clock.doubt:
        complain(clock.doubt)
    ByHand(kept, plan, clock, sys.stdin).run()
    return True


def _plan(left: Session) -> Plan | None:
    """The way of its sheets through the baths, where this version can read the recipe."""
    try:
        return frozen_score(left.recipe, left.file, left.copies).plan
    except Refusal:
        return None
