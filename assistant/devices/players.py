"""Players: take samples and the moment at which the first of them is to sound. In the sound helper only.

`Calls` starts one buffer after the other through simpleaudio; `Stream` mixes into one open stream and is exact to
the sample. A buffer whose moment is past is cut at its front, so that what is in it still falls on its moment.
"""

import heapq
import sys
import threading
import time
from dataclasses import dataclass, field
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from assistant.devices.tones import RATE

CALL_TO_SOUND = 0.0015
"""From the call to the first sample, seconds; measured against a null sink."""
FADE = RATE // 200
"""A buffer that is cut into begins with a fade of 5 ms."""
Samples = NDArray[np.int16]


class NoDevice(RuntimeError):
    """Nothing can be played here; the message says why."""


class Player(Protocol):
    """Whatever can make samples sound at a moment of `time.monotonic()`."""

    name: str

    def at(self, begin: float, samples: Samples, owner: int) -> None:
        """Sound these samples from `begin` on."""
        ...

    def stop(self, owner: int) -> None:
        """Forget what is to come of this owner and end what sounds."""
        ...

    def age(self) -> float:
        """How long the device has not answered, seconds; 0 when all is well."""
        ...


@dataclass(order=True)
class _Waiting:
    begin: float
    number: int
    samples: Any = field(compare=False)
    owner: int = field(compare=False)


def late(samples: Samples, seconds: float) -> Samples:
    """What is left of samples that should have begun so long ago, faded in."""
    cut = int(seconds * RATE)
    if cut <= 0:
        return samples
    rest = samples[cut:].copy()
    fade = min(FADE, len(rest))
    rest[:fade] = (rest[:fade] * np.linspace(0, 1, fade)).astype(np.int16)
    return rest


class Calls:
    """simpleaudio: a thread sleeps until shortly before each buffer and then starts it."""

    name = "simpleaudio"
    AWAKE = 0.02

    def __init__(self) -> None:
        _hush_alsa()
        try:
            import simpleaudio

            self._play = simpleaudio.play_buffer
            self._play(np.zeros(RATE // 100, np.int16), 1, 2, RATE)
        except Exception as error:
            raise NoDevice(f"simpleaudio: {error}") from error
        self._waiting: list[_Waiting] = []
        self._sounding: list[tuple[int, Any, float]] = []
        self._number = 0
        self._calling = 0.0
        self._failed = 0
        self._changed = threading.Condition()
        threading.Thread(target=self._run, daemon=True).start()

    def at(self, begin: float, samples: Samples, owner: int) -> None:
        """Sound these samples from `begin` on."""
        with self._changed:
            self._number += 1
            heapq.heappush(self._waiting, _Waiting(begin - CALL_TO_SOUND, self._number, samples, owner))
            self._changed.notify()

    def stop(self, owner: int) -> None:
        """Forget what is to come of this owner and end what sounds."""
        with self._changed:
            self._waiting = [one for one in self._waiting if one.owner != owner]
            heapq.heapify(self._waiting)
            ending = [play for whose, play, end in self._sounding if whose == owner and end > time.monotonic()]
        for play in ending:
            play.stop()

    def age(self) -> float:
        """How long a call to the device has not come back, or many have failed."""
        if self._failed >= 3:
            return 60.0
        return time.monotonic() - self._calling if self._calling else 0.0

    def _run(self) -> None:
        while True:
            one = self._next()
            wait = one.begin - time.monotonic()
            if wait > 0:
                time.sleep(wait)
            samples = late(one.samples, time.monotonic() - one.begin)
            if len(samples):
                self._start(samples, one.owner)

    def _next(self) -> _Waiting:
        with self._changed:
            while not self._waiting or self._waiting[0].begin - time.monotonic() > self.AWAKE:
                ahead = self._waiting[0].begin - time.monotonic() - self.AWAKE / 2 if self._waiting else 0.5
                self._changed.wait(min(0.5, max(0.0, ahead)))
            return heapq.heappop(self._waiting)

    def _start(self, samples: Samples, owner: int) -> None:
        now = time.monotonic()
        self._calling = now
        try:
            play = self._play(np.ascontiguousarray(samples), 1, 2, RATE)
            self._failed = 0
            kept = [one for one in self._sounding if one[2] > now]
            self._sounding = [*kept, (owner, play, now + len(samples) / RATE)]
        except Exception:
            self._failed += 1
        finally:
            self._calling = 0.0


class Stream:
    """One open stream through sounddevice; buffers are mixed in at the frame that belongs to their moment."""

    name = "stream"

    def __init__(self, latency: float = 0.2) -> None:
        try:
            import sounddevice

            self._mixing: list[dict[str, Any]] = []
            self._position, self._called, self._offsets = 0, time.monotonic(), [0.0]
            self._offsets.clear()
            self._stream = sounddevice.OutputStream(
                samplerate=RATE, channels=1, dtype="int16", latency=latency, callback=self._fill
            )
            self._stream.start()
        except Exception as error:
            raise NoDevice(f"stream: {error}") from error
        began = time.monotonic()
        while self._position == 0:
            if time.monotonic() - began > 2:
                raise NoDevice("stream: the device takes no sound")
            time.sleep(0.01)

    def at(self, begin: float, samples: Samples, owner: int) -> None:
        """Sound these samples from `begin` on."""
        self._mixing.append({"begin": begin, "samples": samples, "owner": owner, "frame": None, "ending": False})

    def stop(self, owner: int) -> None:
        """Fade out what sounds of this owner, forget what is to come."""
        for one in self._mixing[:]:
            if one["owner"] == owner:
                one["ending"] = True

    def age(self) -> float:
        """How long the device has asked for nothing; 0 while it asks."""
        silent = time.monotonic() - self._called
        return silent if silent > 1.0 else 0.0

    def _fill(self, out: Any, frames: int, times: Any, status: Any) -> None:
        self._called = now = time.monotonic()
        ahead = times.outputBufferDacTime - times.currentTime
        self._offsets.append(now + ahead - self._position / RATE)
        del self._offsets[:-400]
        zero = min(self._offsets)
        mixed = np.zeros(frames, np.int32)
        for one in self._mixing[:]:
            self._mix(one, mixed, zero)
        out[:, 0] = np.clip(mixed, -32768, 32767)
        self._position += frames

    def _mix(self, one: dict[str, Any], mixed: NDArray[np.int32], zero: float) -> None:
        first = self._position
        joined = one["frame"] is None
        if joined:
            one["frame"] = round((one["begin"] - zero) * RATE)
        frame, samples = one["frame"], one["samples"]
        low, high = max(frame, first), min(frame + len(samples), first + len(mixed))
        if low < high:
            part = samples[low - frame : high - frame].astype(np.int32)
            if joined and low > frame:
                fade = min(FADE, len(part))
                part[:fade] = part[:fade] * np.linspace(0, 1, fade)
            if one["ending"]:
                fade = min(2 * FADE, len(part))
                part[:fade] = part[:fade] * np.linspace(1, 0, fade)
                part[fade:] = 0
            mixed[low - first : high - first] += part
        if frame + len(samples) <= first + len(mixed) or one["ending"]:
            self._mixing.remove(one)


PLAYERS: dict[str, list[type]] = {"auto": [Stream, Calls], "stream": [Stream], "simpleaudio": [Calls]}


def open_player(wanted: str = "auto") -> Player:
    """The first player that works here; NoDevice says why none does."""
    reasons = []
    for kind in PLAYERS[wanted]:
        try:
            player: Player = kind()
            return player
        except NoDevice as error:
            reasons.append(str(error))
    raise NoDevice("; ".join(reasons))


def _hush_alsa() -> None:
    """ALSA writes its complaints where a terminal is drawn: give them to nobody."""
    if not sys.platform.startswith("linux"):
        return
    import contextlib
    import ctypes

    with contextlib.suppress(OSError, AttributeError):
        alsa = ctypes.CDLL("libasound.so.2")
        alsa.snd_lib_error_set_handler(ctypes.cast(ctypes.CDLL(None).getpid, ctypes.c_void_p))
