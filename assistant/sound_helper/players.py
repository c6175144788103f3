"""Players: take samples and the moment at which the first of them is to sound. In the sound helper only.

`SimpleaudioPlayer` starts one buffer after the other through simpleaudio; `stream.Stream` mixes into one open stream and is exact
to the sample. A buffer whose moment is past is cut at its front, so that what is in it still falls on its moment.
"""

import contextlib
import heapq
import sys
import threading
import time
from dataclasses import dataclass, field
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from assistant.sound_helper.tones import RATE

CALL_TO_SOUND = 0.0015
"""From the call to the first sample, seconds; measured against a null sink."""
FADE = RATE // 200
"""A buffer that is cut into begins with a fade of 5 ms."""
ASLEEP_AFTER = 10.0
"""An output that played nothing for so long may have gone to sleep, seconds."""
LEAD_IN = 0.15
"""So much silence wakes it before the first sound, seconds."""
MOST_AT_ONCE = 8
"""No more buffers sound at once: each is a connection to the sound server, which has so many and no more."""
HANDED_ON = 0.12
"""What a buffer sounds within this time is with the device already, seconds; measured: 0.09."""
HUSH = RATE // 50
"""Samples over which a sounding buffer fades when it is hushed: 20 ms, no click."""
SILENCED = 5 * RATE
"""Samples of it that are silenced then: a device that takes longer to be stopped is given up (`desk.STUCK`). More would cost
an answer that is waiting the time in which three minutes of sound are written."""
PROBE_EVERY, RETRY_EVERY, CLEAR = 4.0, 0.2, 0.3
"""With nothing to play the device is tried so often with a little silence, and so often once it failed, but not when a sound is
nearer than the last of these (seconds): a call that hangs would hold it up."""
WATCHED_EVERY = 1.0
"""While something sounds it is tried so often (seconds): nothing else tells that the sound server stood still. Not more often,
for a call that hangs holds up the whole helper."""
HELD_UP = 0.1
"""What takes so much longer than it should (seconds), a call or a sleep, has held up the sound too: a server or a helper that
stood still for 0.3 s was measured to put all the rest of a buffer 0.1 to 0.6 s late."""
ANEW_EVERY = 2.0
"""What sounds is begun anew so often at most (seconds): a busy computer holds up a call and not the sound, time and again."""
Samples = NDArray[np.int16]  # one channel at `RATE`


class NoDevice(RuntimeError):
    """Nothing can be played here; the message says why."""


class Player(Protocol):
    """Whatever can make samples sound at a moment of `time.monotonic()`."""

    name: str

    def at(self, begin: float, samples: Samples, number: int) -> None:
        """Sound these samples from `begin` on; `number` names them."""
        ...

    def now(self, samples: Samples, number: int) -> None:
        """Sound these samples as soon as can be, whole."""
        ...

    def stop(self, number: int) -> None:
        """Forget these samples, or fade them out where they sound."""
        ...

    def age(self) -> float:
        """How long the device has not answered, seconds; 0 when all is well."""
        ...

    def taken(self) -> float:
        """Until when the device surely took what it was given, seconds of `time.monotonic()`."""
        ...

    def lost(self) -> bool:
        """Whether the device is gone."""
        ...

    def slipped(self) -> bool:
        """Whether what sounds may have come off its moments since this was last asked, so that it is to be begun anew."""
        ...


def cut_late(samples: Samples, seconds: float) -> Samples:
    """What is left of samples that should have begun so long ago, faded in where it is: a copy of three minutes takes 0.2 s."""
    cut = int(seconds * RATE)
    if cut <= 0:
        return samples
    rest = samples[cut:]
    fade = min(FADE, len(rest))
    rest[:fade] = (rest[:fade] * np.linspace(0, 1, fade)).astype(np.int16)
    return rest


@dataclass(order=True)
class _Waiting:
    begin: float
    number: int
    samples: Any = field(compare=False)


@dataclass
class _Sounding:
    """A buffer that the device reads from as it sounds: what is changed further on in it is heard."""

    play: Any
    samples: Samples
    begin: float
    end: float

    def fade(self, now: float) -> float:
        """Leave silence in it from as soon as can be; when it is silent."""
        place = int((now + HANDED_ON - self.begin) * RATE)
        falling = self.samples[place : place + HUSH]
        falling[:] = (falling * np.linspace(1, 0, HUSH)[: len(falling)]).astype(np.int16)
        self.samples[place + HUSH : place + HUSH + SILENCED] = 0
        return now + 2 * HANDED_ON + HUSH / RATE


class SimpleaudioPlayer:
    """simpleaudio: a thread sleeps until shortly before each buffer and then starts it. NoDevice where it can't play."""

    name = "simpleaudio"
    AWAKE = 0.02
    """A condition wakes too late under load: the last stretch is slept, seconds."""

    def __init__(self) -> None:
        _hush_alsa()
        try:
            import simpleaudio

            self._play = simpleaudio.play_buffer
            self._play(np.zeros(RATE // 100, np.int16), 1, 2, RATE)
        except Exception as error:
            raise NoDevice(f"simpleaudio: {error}") from error
        self._waiting: list[_Waiting] = []
        self._about: int | None = None
        self._sounding: dict[int, _Sounding] = {}
        self._hushed: list[tuple[float, Any]] = []
        self._failed = 0
        self._failing = 0.0
        self._slipped, self._anew = False, 0.0
        self._last = self._tried = time.monotonic()
        self._calling = 0.0
        self._changed = threading.Condition()
        threading.Thread(target=self._run, daemon=True, name="player").start()

    def at(self, begin: float, samples: Samples, number: int) -> None:
        """Sound these samples from `begin` on."""
        if begin - self._last > ASLEEP_AFTER and begin - LEAD_IN > time.monotonic():
            samples = np.concatenate([np.zeros(int(LEAD_IN * RATE), np.int16), samples])  # takes long: not under the lock
            begin -= LEAD_IN
        with self._changed:
            self._last = max(self._last, begin + len(samples) / RATE)
            heapq.heappush(self._waiting, _Waiting(begin - CALL_TO_SOUND, number, samples))
            self._changed.notify()

    def now(self, samples: Samples, number: int) -> None:
        """Sound these samples as soon as can be, whole."""
        self._start(samples, number)

    def stop(self, number: int) -> None:
        """Forget these samples, or fade them out where they sound."""
        with self._changed:
            self._waiting = [one for one in self._waiting if one.number != number]
            heapq.heapify(self._waiting)
            self._about = None if self._about == number else self._about
            self._hush(number)

    def _hush(self, number: int) -> None:
        """The device's own stop is a click and comes late: it is called once there is silence."""
        one, now = self._sounding.pop(number, None), time.monotonic()
        if one is not None and one.end > now:
            self._hushed.append((one.fade(now), one.play))
            self._changed.notify()

    def age(self) -> float:
        """How long a call to the device has not come back."""
        return time.monotonic() - self._calling if self._calling else 0.0

    def taken(self) -> float:
        """Until now, or until the call that has not come back, or until the first of those that failed."""
        return self._failing or self._calling or time.monotonic()

    def lost(self) -> bool:
        """Whether one call after the other failed."""
        return self._failed >= 2

    def slipped(self) -> bool:
        """Whether this process or a call to the device was held up."""
        if not self._slipped or time.monotonic() < self._anew + ANEW_EVERY:
            return False
        self._slipped, self._anew = False, time.monotonic()
        return True

    def _run(self) -> None:
        while True:
            one = self._next()
            if one is None:
                self._start(np.zeros(RATE // 100, np.int16), -1)
                continue
            wait = one.begin - time.monotonic()
            if wait > 0:
                time.sleep(wait)
            for _ in range(2):
                if self._about != one.number or self._start(one.samples, one.number, one.begin):
                    break
            with self._changed:
                if self._about != one.number:  # taken back just now
                    self._hush(one.number)

    def _next(self) -> _Waiting | None:
        """What begins now; None when the device is to be tried."""
        with self._changed:
            while True:
                now = time.monotonic()
                self._end_hushed(now)
                ahead = self._waiting[0].begin - now if self._waiting else float("inf")
                if ahead <= self.AWAKE:
                    self._about = self._waiting[0].number
                    return heapq.heappop(self._waiting)
                sounds = any(one.end > now + WATCHED_EVERY for one in self._sounding.values())
                every = RETRY_EVERY if self._failed else WATCHED_EVERY if sounds else PROBE_EVERY
                if ahead > CLEAR and now - self._tried > every:
                    return None
                look = 0.05 if sounds else 0.1 if self._hushed else 0.5  # seconds: a hushed buffer is stopped once it is silent
                wait = min(look, ahead - self.AWAKE / 2)
                self._changed.wait(wait)
                self._slipped |= time.monotonic() - now > wait + HELD_UP

    def _start(self, samples: Samples, number: int, begin: float | None = None) -> bool:
        """Start them, cut to a moment at which they should have begun; False where the device did not take them."""
        self._make_room()
        own = np.require(samples, requirements=["C", "W"])
        self._tried = self._calling = now = time.monotonic()
        own = own if begin is None else cut_late(own, now - begin)
        if not len(own):
            self._calling = 0.0
            return True
        try:
            play = self._play(own, 1, 2, RATE)
        except Exception:
            self._failed += 1
            self._failing = self._failing or now
            return False
        finally:
            self._calling = 0.0
            self._slipped |= time.monotonic() - now > HELD_UP
        self._failed, self._failing = 0, 0.0
        with self._changed:
            self._sounding[number] = _Sounding(play, own, now, now + len(own) / RATE)
        return True

    def _make_room(self) -> None:
        """What has ended is forgotten; where too much sounds, what would end first is hushed."""
        with self._changed:
            now = time.monotonic()
            self._sounding = {n: one for n, one in self._sounding.items() if one.end > now}
            while len(self._sounding) >= MOST_AT_ONCE:
                self._hush(min(self._sounding, key=lambda n: self._sounding[n].end))

    def _end_hushed(self, now: float) -> None:
        for silent, play in self._hushed:
            if silent <= now:
                play.stop()
        self._hushed = [(silent, play) for silent, play in self._hushed if silent > now]


def _hush_alsa() -> None:
    """ALSA writes its complaints where a terminal is drawn: give them to nobody."""
    if not sys.platform.startswith("linux"):
        return
    import ctypes

    with contextlib.suppress(OSError, AttributeError):
        alsa = ctypes.CDLL("libasound.so.2")
        alsa.snd_lib_error_set_handler(ctypes.cast(ctypes.CDLL(None).getpid, ctypes.c_void_p))
