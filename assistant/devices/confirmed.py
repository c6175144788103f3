"""Which act-now cues were really sounded: what was promised, held against what the sound helper says of its device.

Pure; all moments in ms since the session began. A cue whose moment passed waits until the helper confirms that its device
took everything at that moment. What it can't confirm went unheard, and the session must not take it for done.
"""

from collections.abc import Iterable

from assistant.score.cues import Cue

DECISIVE = frozenset({"pip", "start", "end", "move", "shade"})
"""Kinds at whose moment something is taken for done: a print is moved on, its light begins or ends, a card is moved."""
LATE = 300
"""A helper that was started meanwhile still sounds what is due for less than this (ms): it leaves out what is 250 late
(`sequencer.LATE`)."""


class Confirmed:
    """What is promised, what waits to be confirmed, and what went unheard."""

    def __init__(self) -> None:
        self._promised: dict[int, list[int]] = {}
        self._waiting: set[int] = set()
        self._unheard: set[int] = set()
        self._until: int | None = None

    def promised(self, voice: int, cues: Iterable[Cue], now: int, silent: bool = False) -> None:
        """From `now` on a voice has just these cues to say. In a silence that is known, a light is given by sight."""
        self.passed(now)
        known = self._promised.get(voice, [])
        counted = [cue.at for cue in cues if cue.kind == "pip" or (cue.kind in DECISIVE and (not silent or cue.at in known))]
        self._promised[voice] = [at for at in counted if at > now]

    def hushed(self, voice: int, now: int) -> None:
        """What was left of a voice is not to be heard."""
        self.passed(now)
        self._promised.pop(voice, None)

    def passed(self, now: int) -> None:
        """What was promised up to `now` should have been heard."""
        for voice, moments in self._promised.items():
            self._waiting.update(at for at in moments if at <= now)
            self._promised[voice] = [at for at in moments if at > now]

    def answered(self, since: int, until: int, missed: Iterable[int], now: int) -> None:
        """The helper's device took all from `since` to `until`, but for what is `missed`."""
        self.passed(now)
        before = since if self._until is None else self._until
        left_out = set(missed) & self._waiting
        left_out |= {at for at in self._waiting if before < at < since}
        self._unheard |= left_out
        self._waiting = {at for at in self._waiting if at > until and at not in left_out}
        self._until = until

    def silent(self, now: int) -> None:
        """There is no sound at present: what should have been heard was not, unless there never was any sound."""
        self.passed(now)
        lost = {at for at in self._waiting if at + LATE < now}
        self._waiting -= lost
        if self._until is not None:
            self._unheard |= lost

    def slept(self, now: int) -> None:
        """The computer slept until `now`: the session's clock says so itself, and nothing of that time is told here."""
        self.passed(now)
        self._waiting.clear()
        self._until = now if self._until is not None else None

    def unheard(self) -> int | None:
        """The moment before the first cue that went unheard, told once; None where all was heard."""
        first = min(self._unheard, default=None)
        self._unheard.clear()
        return None if first is None else first - 1
