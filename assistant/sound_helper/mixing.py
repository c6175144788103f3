"""From placed cues to samples: tones of the palette and spoken words, mixed into one buffer at their moments."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.score.arrange import Lengths
from assistant.score.cues import Cue
from assistant.sound_helper.phrase_cache import PhraseCache
from assistant.sound_helper.tones import RATE, palette

DUCKED = 0.3
"""A tick under words is brought down to this part: 10 dB. Common practice, no source."""
SIGNS = {"ask": "look", "call": "look"}
"""Kinds without a tone -> the kind whose tone stands for them where words can't be spoken."""
A_LETTER, A_PHRASE = 65, 300
"""How long a phrase is expected to be before it is spoken: ms a letter, and ms besides: a little slower
than 165 words a minute, so that what follows is not placed too near."""


@dataclass(frozen=True)
class Shot:
    """Samples (one channel, 16 bit, at `RATE`) and the moment of the first one, ms."""

    at: int
    samples: NDArray[np.int16]

    @property
    def lasts(self) -> int:
        """How long it is, ms."""
        return len(self.samples) * 1000 // RATE

    @property
    def span(self) -> tuple[int, int]:
        """When it begins and ends, ms."""
        return self.at, self.at + self.lasts


class Mixer:
    """Knows the tones and a voice; `complaint` says what is wrong with either, "" when nothing is."""

    def __init__(self, shipped: Path, own: Path, phrases: PhraseCache, volume: float = 1.0) -> None:
        self._tones, self._spoilt = palette(shipped, own)
        self.phrases, self._volume = phrases, volume

    @property
    def complaint(self) -> str:
        """What is wrong with the voice or the printer's own tones, "" when nothing."""
        return " ".join(filter(None, (self.phrases.complaint, self._spoilt)))

    def sign(self, cue: Cue) -> Cue | None:
        """The tone that stands for words that can't be spoken; None where they can, or none does."""
        if cue.sound.tone is None and cue.kind in SIGNS and self.phrases.length(cue.words) == 0:
            return cue._replace(kind=SIGNS[cue.kind], words="")
        return None

    def lengths(self, cue: Cue) -> Lengths:
        """How long a cue's tone and words last, ms; words that are not spoken yet have an expected length."""
        tone = len(self._tones[cue.sound.tone]) * 1000 // RATE if cue.sound.tone else 0
        words = self.phrases.length(cue.words) if cue.words else 0
        return Lengths(tone, A_PHRASE + A_LETTER * len(cue.words) if words is None else words)

    def tone(self, cue: Cue, at: int, ducked: bool = False) -> Shot:
        """The tone of a cue that has one, at its place."""
        assert cue.sound.tone is not None
        samples = self._tones[cue.sound.tone]
        strength = (DUCKED if ducked else 1.0) * self._volume
        return Shot(at, (samples * strength).astype(np.int16))

    def words(self, cue: Cue, at: int) -> Shot | None:
        """A cue's words from a moment on; None where they are not spoken (yet)."""
        spoken = self.phrases.samples(cue.words)
        return None if spoken is None else Shot(at, (spoken * self._volume).astype(np.int16))


def mixed(shots: Sequence[Shot]) -> tuple[int, NDArray[np.int16]]:
    """One buffer of all, and the moment of its first sample, ms."""
    begin = min(shot.at for shot in shots)
    whole = np.zeros(max((s.at - begin) * RATE // 1000 + len(s.samples) for s in shots), np.int16)
    for shot in shots:
        add(whole, (shot.at - begin) * RATE // 1000, shot.samples)
    return begin, whole


def add(whole: NDArray[np.int16], place: int, samples: NDArray[np.int16]) -> None:
    """Mix samples into a buffer from a place on; what would be too loud for 16 bit is cut at the top."""
    part = whole[place : place + len(samples)]
    part[:] = np.clip(part.astype(np.int32) + samples[: len(part)], -32768, 32767)
