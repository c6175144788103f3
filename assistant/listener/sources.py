"""Where sound comes from: a microphone, a sound server's recorder, or a file. Chunks of 512 samples with their moments.

Counting samples tells time badly when a recorder loses some. So a stream's beginning is where the earliest of the last second's
blocks puts it: a block can only come late, never early.
"""

import subprocess
import time
import wave
from collections import deque
from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant.listener.cutting import CHUNK
from assistant.listener.recogniser import RATE

Chunk = tuple[NDArray[np.int16], float]
"""Samples, and the moment of the first one, ms of the monotonic clock."""
REMEMBERED = RATE // CHUNK
"""Chunks of one second."""
WAITING = 50
"""Blocks that wait to be looked at: 1.6 s; of more the latest are lost, and a command with them."""
WAIT = 3.0
"""A microphone that has given nothing for so long is lost, seconds."""
SILENCE = RATE * 3 // 2
"""Samples of silence after a file, so that even a note that ends with it is over."""
LONGEST = 600
"""A recording to be looked at is no longer (s)."""


class NoSource(RuntimeError):
    """Nothing can be heard; the message says why."""


def chunks(source: str, name: str) -> Iterator[Chunk]:
    """What a source gives, until it ends; NoSource where it can't be opened or is lost."""
    if source == "microphone":
        yield from _stamped(_microphone(name))
    elif source == "parec":
        yield from _stamped(_recorder(name))
    else:
        yield from _file(source)


def _stamped(parts: Iterator[NDArray[np.int16]]) -> Iterator[Chunk]:
    begins: deque[float] = deque(maxlen=REMEMBERED)
    count = 0
    for samples in parts:
        count += CHUNK
        begins.append(time.monotonic() * 1000 - count * 1000 / RATE)
        yield samples, min(begins) + (count - CHUNK) * 1000 / RATE


def _microphone(name: str) -> Iterator[NDArray[np.int16]]:
    import queue

    import sounddevice

    blocks: queue.Queue[bytes] = queue.Queue(WAITING)

    def came(data: Any, frames: int, moment: Any, status: Any) -> None:
        if not blocks.full():
            blocks.put_nowait(bytes(data))

    try:
        with sounddevice.RawInputStream(RATE, CHUNK, name or None, 1, "int16", callback=came):
            while True:
                yield np.frombuffer(blocks.get(timeout=WAIT), np.int16)
    except queue.Empty:
        raise NoSource("the microphone gives nothing") from None
    except (sounddevice.PortAudioError, ValueError) as error:
        raise NoSource(f"the microphone can't be opened: {error}") from None


def _recorder(name: str) -> Iterator[NDArray[np.int16]]:
    command = ["parec", "--raw", "--format=s16le", f"--rate={RATE}", "--channels=1", "--latency-msec=30"]
    try:
        recorder = subprocess.Popen([*command, *([f"--device={name}"] if name else [])], stdout=subprocess.PIPE)
    except OSError as error:
        raise NoSource(f"no recorder: {error}") from None
    assert recorder.stdout is not None
    try:
        while len(raw := recorder.stdout.read(2 * CHUNK)) == 2 * CHUNK:
            yield np.frombuffer(raw, np.int16)
    finally:
        recorder.kill()
        recorder.wait()
    raise NoSource("the recorder ended")


def _file(name: str) -> Iterator[Chunk]:
    """A file is heard as fast as it can be, from moment 0, and silence after it."""
    try:
        with wave.open(name, "rb") as file:
            rate, channels, width = file.getframerate(), file.getnchannels(), file.getsampwidth()
            if width != 2 or file.getnframes() > LONGEST * rate:
                raise NoSource(f"{name}: record it with 16 bit, and no longer than {LONGEST // 60} minutes")
            samples = np.frombuffer(file.readframes(file.getnframes()), "<i2")
    except (OSError, EOFError, wave.Error) as error:
        raise NoSource(f"{name}: this is no WAV file: {error}") from None
    one = samples[: len(samples) // channels * channels].reshape(-1, channels).mean(axis=1)
    heard = np.concatenate([_at_our_rate(one, rate), np.zeros(SILENCE)])
    whole = np.round(np.clip(heard, -32768, 32767)).astype(np.int16)
    for at in range(0, len(whole) - CHUNK + 1, CHUNK):
        yield whole[at : at + CHUNK], at * 1000 / RATE


def _at_our_rate(samples: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """Samples at another rate, cut off where that can't hold them; one piece, since a recording is short."""
    count = len(samples) * RATE // rate
    if rate == RATE or not count:
        return samples
    spectrum = np.fft.rfft(samples)
    wanted = np.zeros(count // 2 + 1, complex)
    kept = min(len(spectrum), len(wanted))
    wanted[:kept] = spectrum[:kept]
    return np.asarray(np.fft.irfft(wanted, count)) * (count / len(samples))
