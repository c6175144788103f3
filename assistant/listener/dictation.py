"""A spoken note: kept from its first word to the quiet after its last, as a sound, and in words as far as it was understood."""

import wave
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.listener.cutting import BEFORE, CHUNK_MS, DOUBT, SURE, detector
from assistant.listener.recogniser import RATE, Recogniser

LONGEST = 30_000 // CHUNK_MS
"""Chunks of the longest note: half a minute, which is also as much as the recogniser was made for."""
QUIET = 1_200 // CHUNK_MS
"""Chunks of quiet that end it: a breath within a sentence is shorter."""
NOTHING = 8_000 // CHUNK_MS
"""Chunks without a word after which there will be none."""
PIECES = 8
"""Pieces of text a second at most: quick speech has five, and a recogniser that turns in circles is ended."""


class Dictation:
    """Takes chunk after chunk until the note is over."""

    def __init__(self) -> None:
        self._detector = detector()
        self._chunks: list[NDArray[np.int16]] = []
        self._begun: int | None = None
        self._last = 0

    def feed(self, chunk: NDArray[np.int16]) -> bool:
        """The next chunk; whether the note is over with it."""
        voiced = self._detector.process_chunk(chunk.tobytes())
        self._chunks.append(chunk)
        if self._begun is None and voiced >= SURE:
            self._begun = len(self._chunks) - 1
        if self._begun is not None and voiced >= DOUBT:
            self._last = len(self._chunks)
        if self._begun is None:
            return len(self._chunks) >= NOTHING
        return len(self._chunks) - self._last >= QUIET or len(self._chunks) - self._begun >= LONGEST

    @property
    def samples(self) -> NDArray[np.int16] | None:
        """The note (16 kHz, 16 bit), a little room around it; None where nothing was said."""
        if self._begun is None:
            return None
        return np.concatenate(self._chunks[max(0, self._begun - BEFORE) : self._last + BEFORE])


def written(samples: NDArray[np.int16], recogniser: Recogniser) -> str:
    """What was understood of a note."""
    sound = recogniser.encoded(samples.astype(np.float32) / np.float32(32768))
    return recogniser.tokens.text(recogniser.text(sound, len(samples) * PIECES // RATE + PIECES)).strip()


def kept(samples: NDArray[np.int16], file: str) -> str:
    """The file that a note was written into; "" where it could not be, since its words are worth more than its sound."""
    if not file:
        return ""
    try:
        with Path(file).open("wb") as opened, wave.open(opened, "wb") as out:
            out.setparams((1, 2, RATE, 0, "NONE", "not compressed"))
            out.writeframes(samples.astype("<i2").tobytes())
    except OSError:
        return ""
    return file
