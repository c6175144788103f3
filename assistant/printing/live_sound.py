"""Sounds outside of a session, through the printer's own desk: tones to learn by, a voice to try, the sound check."""

import time
from collections.abc import Iterable, Iterator

from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.printing.text_out import complain
from assistant.score.cues import Cue, Passage

FIRST, LAST = 800, 1.0
"""The first cue comes so long after the sound is ready (ms): more than a sound is handed over ahead. After the last one the
desk is closed so many seconds later, and lets it end."""
OPENING = 10_000
"""An output that has not answered by then has none (ms): a helper has 8 s to start, and is then given up."""


class NoSound(RuntimeError):
    """Nothing can be heard; the message says why."""


class FromNow:
    """A session that begins when it is made, for sounds without one."""

    def __init__(self) -> None:
        self._zero = time.monotonic()

    def now(self) -> int:
        """Whole ms since it began."""
        return round((time.monotonic() - self._zero) * 1000)

    def to_monotonic(self, at: int) -> float:
        """Seconds of `time.monotonic()` at a moment of it."""
        return self._zero + at / 1000


def sounding(cues: Iterable[Cue], settings: Settings, words: Iterable[str] = ()) -> Iterator[Cue]:
    """Sound cues through the printer's own desk; each is handed back at its moment. NoSound where none is to be had."""
    clock = FromNow()
    desk = Desk(clock, helper_settings(settings))
    try:
        begin = _ready(desk, clock, list(words)) + FIRST
        moved = [cue._replace(at=cue.at + begin) for cue in cues]
        desk.give(Passage(0, tuple(moved)))
        for cue in moved:
            while clock.now() < cue.at:
                time.sleep(max(0.0, min(0.1, (cue.at - clock.now()) / 1000)))
                if not desk.health() and desk.trouble():
                    raise NoSound(desk.trouble())
            yield cue
        time.sleep(LAST)
    finally:
        desk.close()


def _ready(desk: Desk, clock: FromNow, words: list[str]) -> int:
    desk.prepare(words)
    while not desk.health():
        if desk.trouble() or clock.now() > OPENING:
            raise NoSound(desk.trouble() or "No sound: the output does not answer.")
        time.sleep(0.02)
    if desk.trouble():
        complain(desk.trouble())
    return clock.now()
