"""Speech as samples: pyttsx3 writes a phrase, here it is trimmed, made clearer over running water, and levelled.

Lives in the sound helper, in one thread. The engine's traps: one run for each phrase, an unknown voice is ignored in
silence, a bad path raises nothing.
"""

import contextlib
import ctypes
import io
import os
import sys
import tempfile
import wave
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant.devices.levels import level
from assistant.devices.tones import RATE

QUIET = 0.006
"""What is quieter than this part of full scale at either end of a phrase is cut off."""


@dataclass(frozen=True)
class Voice:
    """How the voice speaks: its name, words a minute, pitch 0 to 99."""

    name: str = "en-us+f5"
    rate: int = 165
    pitch: int = 40


class SpeechFailed(RuntimeError):
    """No phrase could be spoken; the message says why."""


class Speaker:
    """Turns words into samples; every phrase is made once and kept."""

    def __init__(self, voice: Voice) -> None:
        self.voice = voice
        self._kept: dict[str, NDArray[np.int16]] = {}
        self._folder = tempfile.TemporaryDirectory(prefix="traycall-")
        with contextlib.redirect_stdout(io.StringIO()):
            self._engine = _engine(voice)

    def say(self, words: str) -> NDArray[np.int16]:
        """The samples of a phrase; SpeechFailed where the engine gave none."""
        if words not in self._kept:
            self._kept[words] = level(clearer(trimmed(self._raw(words))))
        return self._kept[words]

    def _raw(self, words: str) -> NDArray[np.float64]:
        file = Path(self._folder.name) / "phrase.wav"
        file.unlink(missing_ok=True)
        try:
            with contextlib.redirect_stdout(io.StringIO()):
                self._engine.save_to_file(words, str(file))
                self._engine.runAndWait()
            with wave.open(str(file), "rb") as source:
                rate = source.getframerate()
                samples = np.frombuffer(source.readframes(source.getnframes()), "<i2")
        except (OSError, EOFError, wave.Error, RuntimeError) as error:
            raise SpeechFailed(f"the voice did not speak: {error}") from error
        if not len(samples):
            raise SpeechFailed("the voice gave no sound")
        return resampled(samples / 32768, rate)


def _engine(voice: Voice) -> Any:
    try:
        if sys.platform.startswith("linux"):
            import espeakng_loader

            os.environ["ESPEAK_DATA_PATH"] = espeakng_loader.get_data_path()
            ctypes.CDLL(espeakng_loader.get_library_path(), mode=ctypes.RTLD_GLOBAL)
        import pyttsx3

        engine = pyttsx3.init()
        engine.setProperty("rate", voice.rate)
        with contextlib.suppress(Exception):
            engine.setProperty("pitch", voice.pitch)
        _choose(engine, voice.name)
    except Exception as error:
        raise SpeechFailed(f"no speech on this system: {error}") from error
    return engine


def _choose(engine: Any, name: str) -> None:
    """The voice by its name where the system has its family, else the engine's own.

    The engine takes any name and stops dead on a wrong one, so a name is looked up before it is set.
    """
    family = name.split("+")[0].lower()
    known = {str(voice.id).lower().split("/")[-1] for voice in engine.getProperty("voices")}
    if family in known:
        engine.setProperty("voice", name)


def names(engine: Any = None) -> list[str]:
    """The voices that the system has, by name."""
    found = engine or _engine(Voice())
    return sorted({str(voice.id) for voice in found.getProperty("voices")})


def trimmed(samples: NDArray[np.float64]) -> NDArray[np.float64]:
    """Without the silence at both ends."""
    loud = np.flatnonzero(np.abs(samples) > QUIET)
    if not len(loud):
        return samples[:1]
    pad = RATE // 100
    return samples[max(0, loud[0] - pad) : loud[-1] + pad]


def resampled(samples: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """At the palette's rate, by the spectrum: exact for a whole multiple, good for the rest."""
    count = round(len(samples) * RATE / rate)
    if count == len(samples):
        return samples
    spectrum = np.fft.rfft(samples)
    return np.asarray(np.fft.irfft(spectrum[: count // 2 + 1], count) * (count / len(samples)))


def clearer(samples: NDArray[np.float64]) -> NDArray[np.float64]:
    """Quiet sounds nearer to the loud ones (gain = envelope^-0.4) and a lift between 1.5 and 4 kHz, against water."""
    window = RATE // 50
    envelope = np.sqrt(np.convolve(samples**2, np.ones(window) / window, "same")) + 1e-9
    floor = envelope.max() * 0.03
    pressed = samples * np.maximum(envelope, floor) ** -0.4
    spectrum = np.fft.rfft(pressed)
    pitch = np.fft.rfftfreq(len(pressed), 1 / RATE)
    lift = 1 + 1.0 * np.exp(-(np.log2(np.maximum(pitch, 1) / 2500) ** 2) / 0.5)
    return np.asarray(np.fft.irfft(spectrum * lift, len(pressed)))
