"""The sound desk of the app: passes promises to the sound helper, keeps it alive, and says when there is no sound.

A helper that dies or does not answer is replaced within about a second and told again all that is still to come.
"""

import contextlib
import threading
import time
from collections.abc import Callable, Iterator
from typing import Protocol

from assistant.conductor.ports import SoundDesk
from assistant.conductor.twins import SilentDesk
from assistant.devices import wire
from assistant.devices.confirmed import Confirmed
from assistant.devices.helper_process import HelperProcess
from assistant.devices.settings import helper_settings
from assistant.devices.wire import Health, HelperSettings
from assistant.score.arrange import STALE
from assistant.score.cues import Cue, Passage

BEAT = 0.5
"""The helper is asked how it is so often, seconds: what it misses is known within three of these."""
HUNG, STARTING = 1.6, 8.0
"""A helper that has not answered for so long is taken for dead, seconds: three pings and a little. Its first answer waits
for the device to be opened, which may try for two seconds with each player, and for the interpreter on a slow disk."""
STUCK = 3.0
"""A device that has not answered for so long (seconds) is said, and opened anew. A sound server that is busy comes back
sooner: under load calls of more than a second were seen, and the sound went on."""
SHIFT = 100
"""When the computer's clocks have moved against each other by so much (ms), it slept: the sound is opened anew."""
HELPER = "assistant.sound_helper.main"
"""The helper is started by its name and never imported: it alone has NumPy and the sound libraries."""
LAST_WORDS = 6.0
"""At its end a helper has so long, seconds: what sounds may go on for five (`sound_helper.main`)."""
NO_ANSWER = "The sound does not answer; it is being started again."
"""Said of a helper that is given up."""
NO_SOUND = "No sound: no output device was found. Watch the screen; it is tried again."


class SessionTime(Protocol):
    """What turns a session's moments into the clock of sounds."""

    def to_monotonic(self, at: int) -> float:
        """Seconds of `time.monotonic()` at a moment of the session, ms."""
        ...


class Desk:
    """One sound helper and what it is to sound; satisfies `conductor.ports.SoundDesk`."""

    def __init__(self, clock: SessionTime, settings: HelperSettings) -> None:
        self._clock = clock
        self._promised: dict[int, tuple[Cue, ...]] = {}
        self._lock = threading.RLock()
        self._confirmed = Confirmed()
        self._health: Health | None = None
        self._trouble = ""
        self._answered = 0.0
        self._zero = 0.0
        self._believed = self._offset()
        self.speaks: Callable[[int, int], None] = lambda begin, end: None
        """Told when words will sound (ms since the session began), about half a second before; from a thread of the helper's."""
        chosen = {"PULSE_SINK": settings.output} if settings.output else {}  # the sound server knows an output by that name
        self._helper = HelperProcess(HELPER, settings.as_line(), self, self._lock, BEAT, chosen)
        self._helper.start()

    # -- what a conductor asks ----------------------------------------------------------------------------------------

    def give(self, passage: Passage) -> None:
        """Sound this voice's cues at their moments in place of what was left of it."""
        with self._lock:
            self._promised[passage.voice] = passage.cues
            self._confirmed.promised(passage.voice, passage.cues, self._now(), silent=self._health is None)
            self._post(wire.Give(passage.voice, passage.cues))

    def hush(self, voice: int) -> None:
        """Forget what is left of a voice and end what sounds."""
        with self._lock:
            self._promised.pop(voice, None)
            self._confirmed.hushed(voice, self._now())
            self._post(wire.Hush(voice))

    def say(self, cue: Cue) -> None:
        """Sound one cue at once."""
        self._post(wire.Say(cue))

    def trouble(self) -> str:
        """What is wrong with the sound in one sentence, "" when all is well."""
        return self._trouble

    def prepare(self, sentences: list[str]) -> None:
        """Have these spoken beforehand."""
        self._post(wire.Prepare(tuple(sentences)))

    def listening(self, speaking: bool) -> None:
        """Somebody begins to speak, or has ended: talk waits for that."""
        self._post(wire.Listening(speaking))

    def unheard(self) -> int | None:
        """Since when (ms) an act-now cue may have gone unheard, told once; None where all was heard."""
        with self._lock:
            self._notice_sleep()
            if self._health is None:
                self._confirmed.silent(self._now())
            return self._confirmed.unheard()

    def health(self) -> Health | None:
        """What the helper last said of itself; None while there is no sound."""
        return self._health

    @property
    def starts(self) -> int:
        """How many helpers have been started."""
        return self._helper.starts

    def close(self) -> None:
        """End the helper; what sounds comes to its end."""
        self._post(wire.Quit())
        self._helper.end(patience=LAST_WORDS)

    # -- what its helper's process asks -------------------------------------------------------------------------------

    def begun(self) -> None:
        """A helper is started: all that is still to come is told again."""
        self._answered = time.monotonic()
        self._notice_sleep()
        self._zero = self._offset()
        self._post(wire.Zero(self._zero))
        for voice, cues in self._promised.items():
            self._post(wire.Give(voice, cues))
        self._post(wire.Ping())

    def over(self, why: str) -> None:
        """A helper has ended, or could not be started."""
        self._health = None
        if why:
            self._trouble = f"No sound: its helper can't be started: {why}"
        elif not self._helper.ending and not self._trouble:
            self._trouble = "The sound stopped; it is being started again."

    def lost(self, held_up: bool) -> bool:
        """Whether a helper does not answer, its device does not, or the computer slept."""
        if held_up:
            self._answered = time.monotonic()
        self._forget_the_past()
        health = self._health
        patience = HUNG if health else STARTING
        if time.monotonic() - self._answered > patience or (health is not None and health.age > STUCK):
            self._health, self._trouble = None, NO_ANSWER
            return True
        self._post(wire.Ping())
        return abs(self._offset() - self._zero) > SHIFT

    def told(self, line: str) -> None:
        """An answer of the helper's."""
        answer = wire.read_answer(line)
        if isinstance(answer, wire.Speaks):
            self.speaks(answer.begin, answer.end)
            return
        with self._lock:
            self._answered = time.monotonic()
            if isinstance(answer, wire.NoPlayer):
                self._health, self._trouble = None, NO_SOUND
                return
            self._health, self._trouble = answer, answer.complaint
            self._notice_sleep()
            since, until = (round(moment * 1000 - self._believed) for moment in (answer.since, answer.until))
            self._confirmed.answered(since, until, answer.missed, self._now())

    def _forget_the_past(self) -> None:
        now = time.monotonic() * 1000
        with self._lock:
            for voice, cues in self._promised.items():
                self._promised[voice] = tuple(cue for cue in cues if cue.at + self._zero > now - STALE)

    def _notice_sleep(self) -> None:
        """The session's clock counts a sleep of the computer, the clock of sounds does not."""
        if abs(self._offset() - self._believed) > SHIFT:
            self._believed = self._offset()
            self._confirmed.slept(self._now())

    def _now(self) -> int:
        return round(time.monotonic() * 1000 - self._offset())

    def _offset(self) -> float:
        return self._clock.to_monotonic(0) * 1000

    def _post(self, message: wire.ToHelper) -> None:
        self._helper.post(wire.message_line(message))


@contextlib.contextmanager
def open_desk(clock: SessionTime, silent: bool = False) -> Iterator[SoundDesk]:
    """The sound desk by the printer's settings, or a silent one when that is asked for."""
    if silent:
        yield SilentDesk()
        return
    desk = Desk(clock, helper_settings())
    try:
        yield desk
    finally:
        desk.close()
