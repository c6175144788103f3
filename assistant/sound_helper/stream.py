"""The exact player: one stream through sounddevice, always open; buffers are mixed in at the frame of their moment.

The device says with every block when it will sound; the lower envelope of many such sayings ties frames to the clock.
Where they jump and stay there, the output was changed, or has only now begun to play: what is under way jumps with them.
In the sound helper only; the optional extra `traycall[stream]` brings it.
"""

import time
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant.sound_helper.players import FADE, NoDevice, Samples, SimpleaudioPlayer
from assistant.sound_helper.tones import RATE

BUFFER = 0.2
"""How much the device holds ready, seconds: loads of any kind pass under it."""
READINGS = 400
"""So many of the device's sayings are looked at: twenty seconds of them. Fewer are late together, under load; with more,
an output whose clock is slow by 50 ppm would be followed by more than a millisecond late."""
SILENT, OPENING = 1.0, 2.0
"""A device that asked for nothing for longer than the first has not answered; one that is opened may take the second before it
asks for the first time (seconds): a busy computer holds either up by some tenths."""
LATEST, JUMP = 10, 0.02
"""When so many of the latest sayings all come out later than the envelope by more than this (seconds), the rest is old."""


@dataclass
class _Mixing:
    begin: float | None  # with the next block
    samples: Samples
    number: int
    frame: int | None = None  # not worked out yet; below 0 where it began before the stream did; another after a jump
    ending: bool = False


class Stream:
    """One open stream; satisfies `players.Player`. NoDevice where none can be opened, or it takes no sound."""

    name = "stream"

    def __init__(self, output: str = "") -> None:
        self._mixing: list[_Mixing] = []
        self._position, self._called = 0, time.monotonic()
        self._readings: list[float] = []
        try:
            import sounddevice

            self._stream = sounddevice.OutputStream(
                samplerate=RATE, channels=1, dtype="int16", latency=BUFFER, callback=self._fill, device=output or None
            )
            self._stream.start()
        except Exception as error:
            raise NoDevice(f"stream: {error}") from error
        self._simpleaudio = None if output else _simpleaudio()
        began = time.monotonic()
        while self._position == 0:
            if time.monotonic() - began > OPENING:
                raise NoDevice("stream: the device takes no sound")
            time.sleep(0.01)

    def at(self, begin: float, samples: Samples, number: int) -> None:
        """Sound these samples from `begin` on."""
        self._mixing.append(_Mixing(begin, samples, number))

    def now(self, samples: Samples, number: int) -> None:
        """Sound these samples as soon as can be, whole: through simpleaudio if it is there, it holds nothing ready."""
        if self._simpleaudio is not None:
            self._simpleaudio.now(samples, number)
        else:
            self._mixing.append(_Mixing(None, samples, number))

    def stop(self, number: int) -> None:
        """Fade these samples out, or forget them where they are still to come."""
        for one in self._mixing[:]:
            one.ending = one.ending or one.number == number
        if self._simpleaudio is not None:
            self._simpleaudio.stop(number)

    def age(self) -> float:
        """How long the device has asked for nothing; 0 while it asks."""
        silent = time.monotonic() - self._called
        return silent if silent > SILENT else 0.0

    def taken(self) -> float:
        """Until the device last asked for something to play."""
        return self._called

    def lost(self) -> bool:
        """Whether the stream ended."""
        return not self._stream.active

    def slipped(self) -> bool:
        """Never: what is under way is put right by itself."""
        return False

    def _fill(self, out: Any, frames: int, times: Any, _status: Any) -> None:
        self._called = now = time.monotonic()
        ahead = times.outputBufferDacTime - times.currentTime
        self._readings.append(now + ahead - self._position / RATE)
        zero = zero_of(self._readings)
        block = np.zeros(frames, np.int32)
        for one in self._mixing[:]:
            if self._mix(one, block, zero):
                self._mixing.remove(one)
        out[:, 0] = np.clip(block, -32768, 32767)
        self._position += frames

    def _mix(self, one: _Mixing, block: NDArray[np.int32], zero: float) -> bool:
        """Mix what of these samples falls into the block; whether they are done with."""
        first, last = self._position, self._position + len(block)
        frame = self._frame(one, zero)
        joins, one.frame = frame != one.frame, frame
        low, high = max(frame, first), min(frame + len(one.samples), last)
        if low < high:
            part = one.samples[low - frame : high - frame].astype(np.float64)
            if joins and low > frame:
                fade = min(FADE, len(part))
                part[:fade] *= np.linspace(0, 1, fade)
            if one.ending:
                fade = min(2 * FADE, len(part))
                part[:fade] *= np.linspace(1, 0, fade)
                part[fade:] = 0
            block[low - first : high - first] += part.astype(np.int32)
        return one.ending or frame + len(one.samples) <= last

    def _frame(self, one: _Mixing, zero: float) -> int:
        """The frame of their first sample: worked out once, and again where the output has jumped."""
        if one.begin is None:
            return self._position if one.frame is None else one.frame
        due = round((one.begin - zero) * RATE)
        return due if one.frame is None or abs(due - one.frame) > JUMP * RATE else one.frame


def zero_of(readings: list[float]) -> float:
    """When frame 0 sounded, seconds, by these sayings; those that no longer count are taken out of the list."""
    del readings[:-READINGS]
    latest = readings[-LATEST:]
    if min(latest) > min(readings) + JUMP:
        readings[:] = latest
    return min(readings)


def _simpleaudio() -> SimpleaudioPlayer | None:
    try:
        return SimpleaudioPlayer()
    except NoDevice:
        return None
