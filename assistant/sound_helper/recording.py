"""Plays a recording once: `python -m assistant.sound_helper.recording FILE PLAYER OUTPUT`, a process of its own.

One of its own, since the interpreter's own end does not survive audio threads. What is wrong is said in a line, with code 1.
"""

import os
import sys
import time
import wave

import numpy as np

from assistant.sound_helper.open_player import open_player
from assistant.sound_helper.players import NoDevice, Samples
from assistant.sound_helper.tones import RATE

TAIL = 0.5
"""Seconds that a device may lag behind."""


def main(argv: list[str]) -> None:
    """Play it to its end."""
    file, wanted, output = argv
    try:
        samples = samples_of(file)
        player = open_player(wanted, output)
        player.now(samples, 1)
        time.sleep(len(samples) / RATE + TAIL)
        code = 0
    except (OSError, EOFError, wave.Error) as error:
        print(f"{file}: it can't be played: {error}", flush=True)  # noqa: T201  # the caller's to word
        code = 1
    except NoDevice as error:
        print(error, flush=True)  # noqa: T201
        code = 1
    os._exit(code)


def samples_of(file: str) -> Samples:
    """The samples of a note, one channel of 16 bit, at the players' rate."""
    with wave.open(file, "rb") as found:
        samples = np.frombuffer(found.readframes(found.getnframes()), "<i2")
        rate = found.getframerate()
    count = len(samples) * RATE // rate
    at = np.arange(count) * rate / RATE
    return np.interp(at, np.arange(len(samples)), samples).astype(np.int16) if count else np.zeros(0, np.int16)


if __name__ == "__main__":
    main(sys.argv[1:])
