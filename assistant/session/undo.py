"""What an undo meets: whether a hand can still be taken back, and how its sheets lie then.

The taking back itself is replay, in `advance`: the history without its last hand.
"""

from assistant.session import happenings as h
from assistant.session.bench import Bench, Told
from assistant.session.changes import lamp_is_on
from assistant.session.copy import Copy
from assistant.session.hands import most_pressing
from assistant.session.place import AskedFor, Called, InBath, InBox, Over
from assistant.session.where_is import where_is

UNDONE_BY_UNDO = (h.Tap, h.Void, h.Moved, h.NewTime, h.Another, h.Pick, h.Reading)
"""What undo takes back, the last of them first; a hold, a note and a fresh bath stay as they were said."""


def unheard(then: Bench, without: Bench, bench: Bench, since: int) -> tuple[Copy, ...]:
    """The sheets, as they lay when a hand moved them, that a pip would have moved since: in its place nothing was called."""
    found = []
    for lay, goes, was in zip(then.copies, without.copies, bench.copies, strict=False):
        came = _came(goes)
        if came is not None and came > since and (goes.step, came) != (was.step, _came(was)):
            found.append(lay)
    return tuple(found)


def _came(copy: Copy) -> int | None:
    """Since when a sheet has been in its bath, or out of its last one, ms; None elsewhere."""
    return copy.place.since if isinstance(copy.place, InBath | Over) else None


def undone_by(told: Told) -> bool:
    """Whether it is what an undo takes back: a hand whose answer was to wait, and that told nothing, is passed over."""
    return isinstance(told.happening, UNDONE_BY_UNDO) and bool(told.did or told.back)


def stands(told: Told) -> bool:
    """Whether it is still so without the hand before it: what did nothing would do something, and a plan was made with it."""
    return not isinstance(told.happening, (*UNDONE_BY_UNDO, h.Planned))


def void_anyway(without: Bench, told: Told) -> bool:
    """Whether a sheet that was told to be void is so without that too: the plan was held in its light."""
    number = told.happening.copy if isinstance(told.happening, h.Void) else None
    return number is not None and without.copy(number).void


def not_wanted(before: Bench, after: Bench) -> int | None:
    """The sheet that was asked for in place of one that counts again, where no other asks for it: it lies open."""
    if any(isinstance(copy.place, AskedFor) for copy in after.living()):
        return None
    more = before.copies[len(after.copies) :]
    return next((copy.number for copy in more if isinstance(copy.place, AskedFor)), None)


def gone_on_since(bench: Bench, told: Told) -> bool:
    """Whether a pip has moved a sheet on after a hand: then what the hand did can't be told apart from what followed."""
    if isinstance(told.happening, h.NewTime | h.Another | h.Pick | h.Reading) or bench.rules == 1:
        return False
    counting = (copy for copy in bench.copies if not copy.void)
    return any(stay.to_ms > told.at and stay.kind != "expose" for copy in counting for stay in copy.stays)


def out_since(copy: Copy, before: Bench) -> int | None:
    """Since when a sheet that an undo would put into its box is out of it (ms); None where it is in it, or is elsewhere."""
    if not isinstance(copy.place, InBox) or copy.number > len(before.copies):
        return None
    was = before.copy(copy.number).place
    if isinstance(was, InBox):
        return None
    return was.since if isinstance(was, AskedFor) else before.now


def lights_begun(bench: Bench, copy: Copy, at: int) -> int:
    """How many lamp runs have begun to light this sheet."""
    return copy.lit + lamp_is_on(bench, copy, at)


def overdue(bench: Bench, unheard: tuple[Copy, ...], at: int) -> str:
    """Where the sheet is that an undo has left waiting for a hand, the most pressing of several; "" where none is."""
    numbers = {lay.number for lay in unheard}
    waiting = (copy for copy in bench.living() if copy.number in numbers and isinstance(copy.place, Called))
    first = min(waiting, key=lambda copy: most_pressing(bench, copy), default=None)
    return where_is(bench, first, at) if first is not None else ""
