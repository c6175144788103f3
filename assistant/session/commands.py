"""What each named key tells a session by itself; the keys are in `named_keys`, where the settings give them another place."""

from collections.abc import Callable

from assistant.session import happenings as h
from assistant.session.bench import Bench

JUST_NOW = 5_000
"""A hand needs about so long (ms) to reach a key after it has moved a sheet: common practice, no source."""

TOLD: dict[str, Callable[[Bench], h.Happening]] = {
    "again": lambda bench: h.SayAgain(),
    "how_long": lambda bench: h.HowLong(),
    "hold": lambda bench: h.Go() if bench.held else h.HoldPlan(),
    "undo": lambda bench: h.Undo(),
    "void": lambda bench: h.HoldPlan(),
    "moved": lambda bench: h.Moved(None, JUST_NOW),
    "end": lambda bench: h.End(),
}
"""Name -> what its key alone tells the session. A sheet is not voided by one key: on hold, holding asks whether it is."""
