"""The keys that are not the button, each by its name: the one table for every face, for the settings, and for the voice.

What a name tells the session is `commands`; what only a face does with a name (help, brightness, a line that is typed) is the
face's own.
"""

KEYS: dict[str, str] = {
    "help": "?", "again": "a", "how_long": "l", "hold": "h", "undo": "u", "void": "v", "moved": "m", "note": "n",
    "reading": "t", "fresh": "f", "pick": "p", "another": "s", "new_time": "x", "level": "b", "end": "e",
}  # fmt: skip
"""Name -> its usual key; in the order of how much it is wanted."""

VOICE_KEYS: dict[str, str] = {"ears": "w"}
"""The key of a session worked by voice: it closes the ears, or opens them."""

RESTING = 750
"""A named key that comes again within this time (ms) is a resting glove: common practice, no source."""
TOO_SOON = "too soon to count: press it again"
"""Said of such a key: where no release is reported, a glove that rests on it sends the same as one that presses it twice."""
