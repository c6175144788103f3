"""From placed cues to samples: tones of the palette and spoken words, mixed into one buffer at their moments."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.devices.speech import Speaker, SpeechFailed
from assistant.devices.tones import RATE, palette
from assistant.score.arrange import Lengths, Placed
from assistant.score.cues import Cue

DUCKED = 0.3
"""A tick under words is brought down to this part."""


@dataclass(frozen=True)
class Shot:
    """Samples and the moment of the first one, ms."""

    at: int
    samples: NDArray[np.int16]

    @property
    def lasts(self) -> int:
        """How long it is, ms."""
        return len(self.samples) * 1000 // RATE


class Mixer:
    """Knows the tones and a voice (None: tones only). `failed` says why words were left out, "" when none were."""

    def __init__(self, shipped: Path, own: Path, speaker: Speaker | None, volume: float = 1.0) -> None:
        self._tones = palette(shipped, own)
        self._speaker, self._volume = speaker, volume
        self.failed = ""

    def lengths(self, cue: Cue) -> Lengths:
        """How long a cue's tone and words last, ms."""
        tone = len(self._tones[cue.sound.tone]) * 1000 // RATE if cue.sound.tone else 0
        words = self._spoken(cue.words) if cue.words else None
        return Lengths(tone, len(words) * 1000 // RATE if words is not None else 0)

    def prepare(self, sentences: list[str]) -> None:
        """Speak these beforehand, so that none has to be waited for."""
        for words in sentences:
            self._spoken(words)

    def tone(self, placed: Placed) -> Shot:
        """The tone of a cue that has one, at its place."""
        assert placed.cue.sound.tone is not None
        assert placed.tone is not None
        samples = self._tones[placed.cue.sound.tone]
        strength = (DUCKED if placed.ducked else 1.0) * self._volume
        return Shot(placed.tone, (samples * strength).astype(np.int16))

    def words(self, at: int, words: str) -> Shot | None:
        """Spoken words from a moment on; None where the voice failed."""
        spoken = self._spoken(words)
        return None if spoken is None else Shot(at, (spoken * self._volume).astype(np.int16))

    def mixed(self, shots: list[Shot]) -> tuple[int, NDArray[np.int16]]:
        """One buffer of all, and the moment of its first sample, ms."""
        begin = min(shot.at for shot in shots)
        places = [(shot.at - begin) * RATE // 1000 for shot in shots]
        whole = np.zeros(max(p + len(s.samples) for p, s in zip(places, shots, strict=True)), np.int32)
        for place, shot in zip(places, shots, strict=True):
            whole[place : place + len(shot.samples)] += shot.samples
        return begin, np.clip(whole, -32768, 32767).astype(np.int16)

    def _spoken(self, words: str) -> NDArray[np.int16] | None:
        if self._speaker is None:
            return None
        try:
            return self._speaker.say(words)
        except SpeechFailed as error:
            self.failed = str(error)
            return None
