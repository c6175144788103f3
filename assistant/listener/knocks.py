"""Three knocks on the bench or the sink, told from speech, water and single clatter by how short, even and alone they are.

A knock is a rise of 13 dB within a few thousandths of a second that is gone again within a tenth. Three of them, evenly apart and
no fourth before or after, are meant. Clatter that happens to come in threes is not told from them: so a printer asks for it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from assistant.listener.cutting import CHUNK

# Common practice, no source, unless a line says otherwise.
FRAME = 64
"""Samples of one look: 4 ms at 16 kHz."""
FRAME_MS = 4
OVER = 20.0
"""A knock is so many times as strong as the room: 13 dB, in what is left when the low tones of fans are taken away."""
RISE = 10.0
"""And so many times as strong as the moment before it, up to which nothing else has sounded."""
BEFORE = 6
"""Frames of that moment: 24 ms."""
GONE, WITHIN = 0.05, 25
"""After so many frames (0.1 s) less than this share of it may be left: a vowel goes on."""
APART = 140, 480
"""From knock to knock (ms): three of one hand, neither a rattle nor three things."""
EVEN = 1.5
"""The longer of the two gaps against the shorter."""
FREE = 480
"""No other knock so long (ms) before the first and after the third."""
ROOM = 750
"""Frames of the room: the last three seconds."""


@dataclass(frozen=True)
class Knocks:
    """Three knocks: chunks since the beginning at which the first and the last of them sounded, as fractions."""

    begin: float
    end: float


class Knocking:
    """Takes chunk after chunk (512 samples of 16 bit) and says when three knocks are over."""

    def __init__(self) -> None:
        self._powers = np.empty(0)
        """Of the last frames."""
        self._frames = 0
        self._last = 0.0
        self._onset: tuple[int, float] | None = None
        self._knocks: list[int] = []
        """Frames of the last knocks."""

    @property
    def heard(self) -> float:
        """How many chunks were heard so far."""
        return self._frames * FRAME / CHUNK

    def feed(self, chunk: NDArray[np.int16], speaking: bool = False) -> Knocks | None:
        """The next chunk, and whether somebody speaks in it, which has sounds like knocks; the knocks that are over with it."""
        if speaking:
            self._knocks, self._onset = [], None
        samples = np.concatenate([[self._last], chunk.astype(np.float64)])
        self._last = float(chunk[-1])
        powers = np.square(np.diff(samples)).reshape(-1, FRAME).mean(axis=1) + 1.0
        # an eighth of the room, a third of a second, has to be heard before anything stands out of it
        room = float(np.median(self._powers)) if len(self._powers) >= ROOM // 8 else np.inf
        last = self._powers[-BEFORE:].tolist()
        self._powers = np.concatenate([self._powers, powers])[-ROOM:]
        if self._onset is None and powers.max() < OVER * room:  # as nearly always: a look at each frame would find no more
            self._frames += len(powers)
        else:
            for power in powers.tolist():
                self._look(power, last[-BEFORE:], room)
                last.append(power)
        return self._three()

    def _look(self, power: float, before: list[float], room: float) -> None:
        self._frames += 1
        if self._onset is None:
            if before and power >= OVER * room and power >= RISE * (sum(before) / len(before)):
                self._onset = self._frames, power
            return
        at, peak = self._onset
        if power > peak and self._frames - at < BEFORE:
            self._onset = at, power
        elif self._frames - at >= WITHIN:
            if power <= max(GONE * peak, 4 * room):
                self._knocks = [*self._knocks[-3:], at]
            self._onset = None

    def _three(self) -> Knocks | None:
        if len(self._knocks) < 3 or (self._frames - self._knocks[-1]) * FRAME_MS < FREE:
            return None
        *others, first, second, third = self._knocks
        self._knocks = [third]
        gaps = (second - first) * FRAME_MS, (third - second) * FRAME_MS
        even = max(gaps) <= EVEN * min(gaps) and APART[0] <= min(gaps) and max(gaps) <= APART[1]
        alone = not others or (first - others[-1]) * FRAME_MS > FREE
        each = CHUNK // FRAME
        return Knocks(first / each, third / each) if even and alone else None
