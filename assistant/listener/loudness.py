"""How strong the room is, and how far the words stand over it.

The room is the middle of what its last seconds had where nobody spoke: a clink, or a word's end, does not move it.
"""

from collections import deque

import numpy as np
from numpy.typing import NDArray

LASTS = 94
"""Chunks of the room that count: the last three seconds, so that it follows a tap that is turned on and no
single sound."""
SILENCE = 1e-10
"""The power of a microphone that gives nothing: 100 dB under full scale."""


class Room:
    """Hears what is no speech."""

    def __init__(self) -> None:
        self._powers: deque[float] = deque(maxlen=LASTS)

    def hear(self, samples: NDArray[np.int16]) -> None:
        """One more chunk in which nobody speaks."""
        self._powers.append(_power(samples.astype(np.float32) / np.float32(32768)))

    @property
    def level(self) -> float:
        """How strong it is, dB of full scale."""
        return round(float(10 * np.log10(self._power())), 1)

    def under(self, words: NDArray[np.float32]) -> float:
        """How many dB words are stronger than it; the room that sounds with them is taken off."""
        room = self._power()
        voice = max(_power(words) - room, room / 100)
        return round(float(10 * np.log10(voice / room)), 1)

    def _power(self) -> float:
        return float(np.median(self._powers)) if self._powers else SILENCE


def _power(samples: NDArray[np.float32]) -> float:
    return float(np.mean(np.square(samples, dtype=np.float64))) + SILENCE
