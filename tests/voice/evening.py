"""A printer who only speaks: the real program, and its microphone with a room, the program's own sound and words in it."""

import contextlib
import fcntl
import os
import queue
import struct
import subprocess
import sys
import termios
import threading
import time
from pathlib import Path

import numpy as np

from tests import waiting
from tests.voice.rooms import RATE, clips, room, strength
from tests.voice.spoken import COMMANDS, TALK

CARD = Path(__file__).with_name("spoken.yaml")
SPEECH, OVER_THE_ROOM = 0.05, 10
"""How strong the words are, of full scale, and how much stronger than the room (dB)."""
LEAK = 33_000
"""The program's own sound in the microphone, of the sound server's 65536: 6 dB less than it plays."""
LAG = 0.06
"""Seconds from a block's being written to its being heard."""
AHEAD = 2.0
"""Seconds of room that are written ahead: a machine with too much to do must not cut the words."""
TRIES, PATIENCE = 10, 4.0
"""A command that is not taken is said again, as a printer would, so many times, after so many seconds."""


class Microphone:
    """A sink whose monitor is the program's microphone: room without end, and words on demand."""

    def __init__(self, rig, over=OVER_THE_ROOM, ahead=AHEAD):
        self._rig, self._words = rig, queue.Queue()
        self._pactl("load-module", "module-null-sink", "sink_name=mic", "rate=16000", "channels=1")
        self._pactl("load-module", "module-loopback", "source=rig.monitor", "sink=mic", "latency_msec=30")
        inputs = self._pactl("list", "short", "sink-inputs").split("\n")
        self._pactl("set-sink-input-volume", inputs[0].split("\t")[0], str(LEAK))
        form = ["--raw", "--format=s16le", f"--rate={RATE}", "--channels=1"]
        call = ["pacat", *form, f"--latency-msec={LAG * 1000:.0f}", "--device=mic"]
        self._player = subprocess.Popen(call, env=rig.env, stdin=subprocess.PIPE)
        fcntl.fcntl(self._player.stdin, fcntl.F_SETPIPE_SZ, round(ahead * RATE) * 2)
        noise = room(20, 7)
        self._noise = noise / strength(noise) * SPEECH * 10 ** (-over / 20)
        self._open = True
        self._again = None
        self.over: list[float] = []
        """When the words of each phrase were over, by the monotonic clock."""
        self._thread = threading.Thread(target=self._play, daemon=True)
        self._thread.start()
        self._said = {text: samples for (_, _, text), samples in zip(COMMANDS, clips("heart"), strict=True)}
        self._said |= dict(zip(TALK, clips("heart-talk"), strict=True))

    def _pactl(self, *words):
        return subprocess.run(["pactl", *words], env=self._rig.env, capture_output=True, text=True, check=True).stdout

    def began(self, text):
        """When the words of the phrase that was said last began, by the monotonic clock; once they are over."""
        return self.over[-1] - len(self._said[text]) / RATE

    def say(self, text):
        samples = self._said[text]
        self._words.put(samples / strength(samples) * SPEECH)

    def every(self, seconds, text):
        """Say it again and again, so many seconds apart."""
        samples = self._said[text]
        self._again = np.concatenate([samples / strength(samples) * SPEECH, np.zeros(round(seconds * RATE))])

    def _waiting(self):
        """Seconds of sound that were written and not yet taken."""
        return struct.unpack("i", fcntl.ioctl(self._player.stdin, termios.FIONREAD, bytes(4)))[0] / 2 / RATE

    def _play(self):
        at, left = 0, np.zeros(0)
        while self._open:
            with contextlib.suppress(queue.Empty):
                left = self._words.get_nowait()
            left = self._again if self._again is not None and not len(left) else left
            part, left = left[:800], left[800:]
            if len(part) and not len(left):
                self.over.append(time.monotonic() + LAG + self._waiting() + len(part) / RATE)
            block = np.take(self._noise, range(at, at + 800), mode="wrap")
            block[: len(part)] += part
            at += 800
            try:
                self._player.stdin.write(np.round(np.clip(block, -1, 1) * 32767).astype(np.int16).tobytes())
                self._player.stdin.flush()
            except OSError:
                return

    def close(self):
        self._open = False
        self._player.kill()
        self._player.wait()
        self._thread.join(5)
        with contextlib.suppress(OSError):
            self._player.stdin.close()


class Evening:
    """The program's lines, and a printer who only speaks."""

    def __init__(self, rig, microphone):
        self.microphone, self.lines = microphone, queue.Queue()
        env = {**rig.env, "PULSE_SOURCE": "mic.monitor", "PYTHONUNBUFFERED": "1"}
        call = [sys.executable, "-m", "assistant", "run", str(CARD), "--plain", "--ears"]
        self.program = subprocess.Popen(
            call, env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        self.reader = threading.Thread(target=self._read, daemon=True)
        self.reader.start()
        self.seen, self.said = [], []

    def _read(self):
        for line in self.program.stdout:
            self.lines.put(line.rstrip())
        self.lines.put(None)

    def until(self, *wanted, seconds=waiting.LONGEST):
        """The first line with one of these words in it, "" where none comes in time."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            with contextlib.suppress(queue.Empty):
                line = self.lines.get(timeout=left)
                assert line is not None, "\n".join(self.seen)
                self.seen.append(line)
                if any(words in line for words in wanted):
                    return line
        return ""

    def command(self, text, answer):
        """Say it until it is answered, in a line with these words in it."""
        for _ in range(TRIES):
            self.said.append(text)
            self.microphone.say(text)
            line = self.until(answer, seconds=PATIENCE)
            if line:
                return line
        raise AssertionError(f"{text} was never taken:\n" + "\n".join(self.seen))

    def close(self):
        """End the program, and the microphone."""
        with contextlib.suppress(ProcessLookupError):
            os.kill(self.program.pid, 9)
        self.program.wait()
        self.reader.join(5)
        with contextlib.suppress(OSError):
            self.program.stdin.close()
        self.program.stdout.close()
        self.microphone.close()
