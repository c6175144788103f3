"""Since when and until when a device surely took what it was given: what fell outside of it may not have been heard."""

BREAK = 1.0
"""A device that took nothing for longer than this (seconds) has left something out. It holds up to 0.2 s ready, and a busy
computer holds it up for some tenths more without a gap in the sound."""


class Taken:
    """One unbroken stretch of the common clock, seconds."""

    def __init__(self, begin: float) -> None:
        self.since = self.until = begin

    def look(self, taken: float) -> None:
        """The player says until when it was taken from; a leap of this is a break, and a new stretch begins after it."""
        if taken - self.until > BREAK:
            self.since = taken
        self.until = max(self.until, taken)
