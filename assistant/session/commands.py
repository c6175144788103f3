"""What can be told to a session by a single key besides the tap: its name, the key it usually has, and what it means.

The one table for every face and for the settings, where each name can be given another key. What only a face does with
a name (help, brightness, a line that is typed) is the face's own.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING

from assistant.session import happenings as h

if TYPE_CHECKING:  # for the settings, which are read before anything is drawn
    from assistant.session.bench import Bench

KEYS: dict[str, str] = {
    "help": "?", "again": "a", "how_long": "l", "hold": "h", "undo": "u", "void": "v", "moved": "m", "note": "n",
    "reading": "t", "fresh": "f", "pick": "p", "another": "s", "new_time": "x", "level": "b", "end": "e",
}  # fmt: skip
"""Name -> its usual key; in the order of how much it is wanted."""

VOICE_KEYS: dict[str, str] = {"ears": "w"}
"""The key of a session worked by voice: it closes the ears, or opens them."""

RESTING = 750
"""A named key that comes again within this time (ms) is a resting glove: common practice, no source."""
JUST_NOW = 5_000
"""A hand needs about so long (ms) to reach a key after it has moved a sheet: common practice, no source."""

TOLD: "dict[str, Callable[[Bench], h.Happening]]" = {
    "again": lambda bench: h.SayAgain(),
    "how_long": lambda bench: h.HowLong(),
    "hold": lambda bench: h.Go() if bench.held else h.HoldPlan(),
    "undo": lambda bench: h.Undo(),
    "void": lambda bench: h.HoldPlan(),
    "moved": lambda bench: h.Moved(None, JUST_NOW),
    "end": lambda bench: h.End(),
}
"""Name -> what its key alone tells the session. A sheet is not voided by one key: on hold, holding asks whether it is."""
