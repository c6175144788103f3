"""Speech as samples: pyttsx3 writes a phrase, here it is trimmed, made clearer over running water, and levelled.

A process of its own (`python -m assistant.sound_helper.speech FOLDER VOICE`), so that no engine can stall or bring down what
keeps time: one phrase a line on standard input as JSON, one answer a line. `phrase_cache` starts it. The engine's traps: one
run for each phrase, an unknown voice is ignored in silence, a bad path raises nothing, it prints.
"""

import contextlib
import ctypes
import io
import json
import os
import queue
import sys
import tempfile
import threading
import wave
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant.score.spoken import spoken
from assistant.sound_helper.loudness import level
from assistant.sound_helper.tones import RATE, save

MADE = "2"
"""Changes whenever phrases are made otherwise, so that kept ones are made anew."""
QUIET = 0.006
"""What is quieter than this part of full scale at either end of a phrase is cut off: -44 dB."""
PRESSED, FLOOR = -0.4, 0.03
"""A phrase is multiplied by its envelope to this power, the envelope held above this part of its peak. With the lift it raised
what a recogniser understood at 5 dB over water from 47 to 93 % (measured)."""
LIFTED, LIFT, BREADTH = 2500.0, 1.0, 0.5
"""The lift: around so many Hz, by so much more at its peak (6 dB), and how broad in octaves squared: 1.5 to 4 kHz."""


@dataclass(frozen=True)
class Voice:
    """How the voice speaks: its name, words a minute (`rate`), pitch 0 to 99.

    Slower than 165 is not clearer in this voice (measured with a recogniser).
    """

    name: str = "en-us+f5"
    rate: int = 165
    pitch: int = 40


OTHER_SCRIPTS = frozenset({"en-shaw"})
"""English in letters that the program's sentences are not written in."""
HISS = 0.12
"""What is weaker than this part of a phrase's strongest 20 ms at its ends is no speech: -18 dB. Common practice, no source."""


class SpeechFailed(RuntimeError):
    """No phrase could be spoken; the message says why."""


def kept_as(folder: Path, voice: Voice, words: str) -> Path:
    """The file that keeps a phrase of a voice."""
    told = json.dumps([MADE, voice.name, voice.rate, voice.pitch, words])
    return folder / f"{sha256(told.encode()).hexdigest()[:24]}.wav"


class Speaker:
    """Turns words into samples with the system's speech engine."""

    def __init__(self, voice: Voice) -> None:
        self.voice = voice
        with contextlib.redirect_stdout(io.StringIO()):
            self._engine = _engine(voice)

    def say(self, words: str) -> NDArray[np.int16]:
        """The samples of a phrase, one channel at `RATE`; SpeechFailed where the engine gave none."""
        for tries_left in (2, 1, 0):
            try:
                return level(tight(clearer(trimmed(self._raw(words)))))
            except SpeechFailed:  # the engine now and then comes back before its file is written
                if not tries_left:
                    raise
        raise AssertionError

    def known_as(self) -> str:
        """The name of the voice that really speaks, as the engine gives it."""
        return str(self._engine.getProperty("voice") or "")

    def names(self) -> list[str]:
        """The voices that the system has, by name."""
        return sorted({str(voice.id) for voice in self._engine.getProperty("voices")})

    def english(self) -> list[str]:
        """Those that can say the program's sentences, by their short names; one whose language nobody knows may."""
        found = set()
        for voice in self._engine.getProperty("voices"):
            spoken = [_language(one) for one in voice.languages or ()]
            if not spoken or any(one.startswith("en") and one not in OTHER_SCRIPTS for one in spoken):
                found.add(str(voice.id).split("/")[-1] if sys.platform.startswith("linux") else str(voice.id))
        return sorted(found)

    def _raw(self, words: str) -> NDArray[np.float64]:
        try:
            with tempfile.TemporaryDirectory(prefix="traycall-") as folder, contextlib.redirect_stdout(io.StringIO()):
                file = Path(folder) / "phrase.wav"
                self._engine.save_to_file(spoken(words), str(file))
                self._engine.runAndWait()
                rate, samples = _read(file)
        except (OSError, EOFError, wave.Error, RuntimeError, ValueError) as error:
            raise SpeechFailed(f"the voice did not speak: {error}") from error
        if not len(samples) or not np.abs(samples).max() > QUIET:
            raise SpeechFailed("the voice gave no sound")
        return resampled(samples, rate)


def _read(file: Path) -> tuple[int, NDArray[np.float64]]:
    """What an engine wrote: WAV on Linux and Windows, AIFF (big-endian, rate in the header) on macOS."""
    raw = file.read_bytes()
    if raw[:4] == b"FORM":
        return _read_aiff(raw)
    with wave.open(io.BytesIO(raw), "rb") as source:
        if source.getsampwidth() != 2:
            raise SpeechFailed(f"the voice writes {8 * source.getsampwidth()} bit: 16 are wanted")
        heard = np.frombuffer(source.readframes(source.getnframes()), "<i2").reshape(-1, source.getnchannels())
        return source.getframerate(), heard.mean(axis=1) / 32768


def _read_aiff(raw: bytes) -> tuple[int, NDArray[np.float64]]:
    chunks, place = {}, 12
    while place + 8 <= len(raw):
        size = int.from_bytes(raw[place + 4 : place + 8], "big")
        chunks[raw[place : place + 4]] = raw[place + 8 : place + 8 + size]
        place += 8 + size + size % 2
    common = chunks[b"COMM"]
    exponent, mantissa = int.from_bytes(common[8:10], "big"), int.from_bytes(common[10:18], "big")
    little = raw[8:12] == b"AIFC" and common[18:22] == b"sowt"
    samples = np.frombuffer(chunks[b"SSND"][8:], "<i2" if little else ">i2")
    # the rate is an 80-bit float (IEEE 754 extended): sixteen bits of sign and exponent, biased by 16383, and 64 of mantissa
    return int(mantissa * 2.0 ** (exponent - 16383 - 63)), samples.reshape(-1, common[1]).mean(axis=1) / 32768


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


def _language(named: Any) -> str:
    """A language as engines name it: some give bytes with a number before them, some an underscore."""
    text = named.decode("ascii", "ignore") if isinstance(named, bytes) else str(named)
    return text.strip("\x00\x01\x02\x03\x04\x05").lower().replace("_", "-")


def _choose(engine: Any, name: str) -> None:
    """The voice by its name where the system has its family, else an English one, else the engine's own.

    The engine takes any name and stops dead on a wrong one, so a name is looked up before it is set.
    """
    voices = [str(voice.id) for voice in engine.getProperty("voices")]
    family = name.split("+")[0].lower()
    if family in {one.lower() for one in voices} | {one.lower().split("/")[-1] for one in voices}:
        engine.setProperty("voice", name)
    elif not sys.platform.startswith("linux") and name == Voice().name:
        english = [one for one in voices if "en-us" in one.lower() or "en_us" in one.lower() or "english" in one.lower()]
        if english:
            engine.setProperty("voice", english[0])


def is_known(voice: Voice, known_as: str) -> bool:
    """Whether the voice that speaks is the one that was asked for; the shipped default is at home on Linux alone."""
    if voice.name == Voice().name and not sys.platform.startswith("linux"):
        return True
    asked = voice.name.lower()
    return known_as.lower() == asked or known_as.lower().split("/")[-1] == asked.split("/")[-1]


def trimmed(samples: NDArray[np.float64]) -> NDArray[np.float64]:
    """Without the silence at both ends."""
    loud = np.flatnonzero(np.abs(samples) > QUIET)
    if not len(loud):
        return samples[:1]
    pad = RATE // 100
    return samples[max(0, loud[0] - pad) : loud[-1] + pad]


def tight(samples: NDArray[np.float64]) -> NDArray[np.float64]:
    """A clearer phrase without the hiss that this brings up at its ends; both are faded."""
    window, pad, fade = RATE // 50, RATE // 50, RATE // 200
    strength = np.sqrt(np.convolve(samples**2, np.ones(window) / window, "same"))
    loud = np.flatnonzero(strength > HISS * strength.max())
    kept = samples[max(0, loud[0] - pad) : loud[-1] + pad].copy()
    fade = min(fade, len(kept) // 2)
    kept[:fade] *= np.linspace(0, 1, fade)
    kept[len(kept) - fade :] *= np.linspace(1, 0, fade)
    return kept


def resampled(samples: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """At the palette's rate, from `rate` samples a second, by the spectrum: exact for a whole multiple, good for the rest."""
    count = round(len(samples) * RATE / rate)
    if count == len(samples):
        return samples
    spectrum = np.fft.rfft(samples)
    return np.asarray(np.fft.irfft(spectrum[: count // 2 + 1], count) * (count / len(samples)))


def clearer(samples: NDArray[np.float64]) -> NDArray[np.float64]:
    """Quiet sounds nearer to the loud ones (gain = envelope^-0.4) and a lift between 1.5 and 4 kHz, against water."""
    half = RATE // 100
    power = np.cumsum(np.concatenate([np.zeros(half + 1), samples**2, np.zeros(half)]))
    envelope = np.sqrt(np.maximum(power[2 * half :] - power[: -2 * half], 0)[: len(samples)] / (2 * half)) + 1e-9
    pressed = samples * np.maximum(envelope, envelope.max() * FLOOR) ** PRESSED
    spectrum = np.fft.rfft(pressed)
    pitch = np.fft.rfftfreq(len(pressed), 1 / RATE)
    lift = 1 + LIFT * np.exp(-(np.log2(np.maximum(pitch, 1) / LIFTED) ** 2) / BREADTH)
    return np.asarray(np.fft.irfft(spectrum * lift, len(pressed)))


def main(argv: list[str]) -> None:
    """Speak every phrase that is asked for into its file, until the input ends."""
    folder, voice = Path(argv[0]), Voice(*json.loads(argv[1]))
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # whatever the engine prints goes nowhere
    asked: queue.SimpleQueue[str] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(asked,), daemon=True).start()
    speaker: Speaker | None = None
    while True:
        words, why = asked.get(), ""
        try:
            speaker = speaker or Speaker(voice)
            _keep(kept_as(folder, voice, words), speaker.say(words))
        except (SpeechFailed, OSError) as error:
            why = str(error)
        known = speaker is None or is_known(voice, speaker.known_as())
        answers.write(json.dumps({"why": why, "known": known}) + "\n")
        answers.flush()


def _listen(asked: "queue.SimpleQueue[str]") -> None:
    """Ends the process at the end of input, from a thread of its own: the engine may hang."""
    for line in sys.stdin:
        asked.put(json.loads(line))
    os._exit(0)


def _keep(file: Path, samples: NDArray[np.int16]) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    half = file.with_suffix(f".{os.getpid()}")
    save(half, samples)
    half.replace(file)


if __name__ == "__main__":
    main(sys.argv[1:])
