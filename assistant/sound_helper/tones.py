"""The palette: every tone that is not speech, made here and kept as WAV files in sounds/.

Meaning lies in rhythm, direction and length, not in pitch alone; fundamentals between 500 and 1600 Hz with several
partials, raised-cosine rises, no clicks. 44.1 kHz, mono, 16 bit.
"""

import io
import wave
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.plain_files import read_bytes

RATE = 44_100
"""Samples a second: what every output plays without resampling."""
LONGEST = 3
"""No tone lasts longer than this, seconds: the next cue may begin."""
MOST_BYTES = 1_000_000
"""No file of a tone is larger: three seconds are 265 kB, and editors write notes of their own beside the samples."""
PEAK = 0.7
"""No tone is louder than this part of full scale: words beside it stay within 16 bit."""
SOFTEST, LOUDEST = 0.01, 0.95
"""Peaks of a printer's own tone: below the one nothing is to be heard, above the other most were cut when they were recorded."""
Samples = NDArray[np.float64]
"""One channel at `RATE`, of any strength until it is brought to its peak."""

MEANINGS: dict[str, str] = {
    "tick": "a second of light",
    "tenth": "ten seconds of light",
    "count": "three, two, one",
    "start": "light on",
    "end": "light off",
    "move": "move the card",
    "shade": "begin or end to dodge",
    "agitate": "agitate",
    "lift": "lift and drain",
    "now": "into the next bath, at its beginning",
    "look": "look at the print",
    "water": "change the water",
    "over": "overdue: act",
    "heard": "your tap was taken",
    "refused": "your tap did nothing",
}
"""Tone -> what it tells a printer."""

FULL = (1.0, 0.5, 0.35, 0.2)
"""How strong the first four partials of a note are."""


def note(
    pitch: float, length: float, partials: tuple[float, ...] = FULL, rise: float = 0.008, fall: float = 0.03, to: float = 0.0
) -> Samples:
    """One note: Hz, seconds, strengths of its partials, seconds of rise and fall; `to` is where a glide ends (Hz), 0 for none."""
    count = int(RATE * length)
    pitches = np.geomspace(pitch, to or pitch, count)
    phase = 2 * np.pi * np.cumsum(pitches) / RATE
    # phases apart by more and more, or all partials would peak at one moment
    sound = sum(part * np.sin((i + 1) * phase + 0.7 * i * i) for i, part in enumerate(partials))
    return np.asarray(sound) * _envelope(count, rise, fall)


def _envelope(count: int, rise: float, fall: float) -> Samples:
    up, down = int(RATE * rise), int(RATE * fall)
    shape = np.ones(count)
    shape[:up] = 0.5 - 0.5 * np.cos(np.pi * np.arange(up) / up)
    shape[count - down :] = 0.5 + 0.5 * np.cos(np.pi * np.arange(1, down + 1) / down)
    return shape


def row(*parts: Samples | float) -> Samples:
    """Notes and silences (seconds) one after the other."""
    return np.concatenate([np.zeros(int(RATE * part)) if isinstance(part, float | int) else part for part in parts])


def _tick() -> Samples:
    return note(1000, 0.035, (1.0, 0.3), 0.002, 0.03)


def _repeated(times: int, part: Samples, gap: float) -> Samples:
    return row(*[piece for _ in range(times) for piece in (part, gap)])


MAKERS: dict[str, tuple[Callable[[], Samples], float]] = {
    "tick": (_tick, 0.14),
    "tenth": (lambda: row(_tick(), 0.055, _tick()), 0.2),
    "count": (lambda: note(800, 0.09), 0.5),
    "start": (lambda: note(600, 0.30, (1.0, 0.5, 0.35, 0.25, 0.15), 0.01, 0.05, to=1200), PEAK),
    "end": (lambda: note(1200, 0.30, (1.0, 0.5, 0.35, 0.25, 0.15), 0.01, 0.05, to=600), PEAK),
    "move": (lambda: row(note(1250, 0.08, rise=0.004), 0.05, note(830, 0.16, rise=0.004)), PEAK),
    "shade": (lambda: row(note(720, 0.22, (1.0, 0.6, 0.5), 0.004), 0.06, note(720, 0.07, (1.0, 0.6, 0.5))), 0.6),
    "agitate": (lambda: _repeated(3, note(1300, 0.06, (1.0, 0.6, 0.3), 0.008), 0.06), 0.45),
    "lift": (lambda: row(note(700, 0.12, rise=0.004), 0.03, note(1050, 0.32)), PEAK),
    "now": (lambda: note(1600, 0.35, (1.0, 0.5, 0.25), 0.004, 0.12), PEAK),
    "look": (lambda: row(*[note(p, 0.15, (1.0, 0.6, 0.5, 0.3)) for p in (900, 1350, 900, 1350)]), 0.55),
    "water": (lambda: row(note(560, 0.4, to=840), 0.08, note(840, 0.4, to=560)), 0.5),
    "over": (
        lambda: _repeated(4, row(note(750, 0.12, (1.0, 0.8, 0.7, 0.6), 0.005), note(1150, 0.12, (1.0, 0.8), 0.005)), 0.08),
        PEAK,
    ),
    "heard": (lambda: note(1500, 0.05, (1.0, 0.2), 0.004, 0.02), 0.35),
    "refused": (lambda: note(500, 0.24, (1.0, 0.9, 0.8, 0.7), 0.006, 0.04), 0.5),
}
"""Tone -> how it is made, and its peak as a part of full scale."""


def make(name: str) -> NDArray[np.int16]:
    """A tone as samples; LookupError for a name that is not in the palette."""
    maker, peak = MAKERS[name]
    sound = maker()
    scaled: NDArray[np.int16] = np.round(sound / np.abs(sound).max() * peak * 32767).astype(np.int16)
    return scaled


def write(folder: Path) -> list[Path]:
    """Write the whole palette; the files, in order."""
    folder.mkdir(parents=True, exist_ok=True)
    files = []
    for name in MAKERS:
        file = folder / f"{name}.wav"
        save(file, make(name))
        files.append(file)
    return files


def save(file: Path, samples: NDArray[np.int16]) -> None:
    """Write samples of one channel, 16 bit at `RATE`, as a WAV file."""
    with wave.open(str(file), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE)
        out.writeframes(samples.astype("<i2").tobytes())


class BadTone(ValueError):
    """A file that can't serve as a tone; the message says why and what is wanted."""


def read(file: Path) -> NDArray[np.int16]:
    """A tone from a WAV file of the palette or of the printer's own; BadTone says what is wrong with it."""
    try:
        with wave.open(io.BytesIO(read_bytes(file, MOST_BYTES)), "rb") as source:
            shape = (source.getnchannels(), source.getsampwidth(), source.getframerate())
            raw = source.readframes(source.getnframes())
    except (OSError, EOFError, wave.Error) as error:
        why = getattr(error, "strerror", None) or error
        raise BadTone(f"{file}: this is no WAV file ({why}): save it as WAV, mono, 16 bit, 44100 Hz") from None
    if shape != (1, 2, RATE):
        raise BadTone(f"{file}: {shape[0]} channels, {shape[1] * 8} bit, {shape[2]} Hz: save it as mono, 16 bit, 44100 Hz")
    samples = np.frombuffer(raw, "<i2")
    if not 0 < len(samples) <= LONGEST * RATE:
        raise BadTone(f"{file}: {len(samples) / RATE:.1f} s long: a tone lasts up to {LONGEST} s")
    peak = int(np.abs(samples.astype(np.int32)).max())
    if peak < SOFTEST * 32767:
        raise BadTone(f"{file}: nothing is to be heard in it")
    if peak > LOUDEST * 32767:
        raise BadTone(f"{file}: it is too loud and will be cut: lower it by a decibel or more")
    return samples.astype(np.int16)


def palette(shipped: Path, own: Path) -> tuple[dict[str, NDArray[np.int16]], str]:
    """Every tone: the printer's own file where it is a good one, else the shipped one; and what is wrong with bad ones."""
    found, complaints = {}, []
    for name in MAKERS:
        file = own / f"{name}.wav"
        try:
            found[name] = read(file if file.exists() else shipped / f"{name}.wav")
        except BadTone as error:
            complaints.append(f"{error}; until then the program's own sounds.")
            found[name] = make(name)
    return found, " ".join(complaints)
