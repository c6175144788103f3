"""Spoken phrases, made ahead of time and kept on the disk: what is asked for twice is spoken once.

Starts `speech` in a process of its own and ends it when nothing was asked for in a while. No call here waits for the
voice; a phrase that is not there yet has an expected length, one that can't be spoken has none.
"""

import contextlib
import itertools
import json
import queue
import subprocess
import sys
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.sound_helper.speech import SpeechFailed, Voice, kept_as
from assistant.sound_helper.tones import RATE

IDLE = 20.0
"""The voice's process is ended when nothing was asked for so long, seconds: it holds 30 MB that a session does not need."""
PATIENCE = 10.0
"""A phrase that takes longer than this is given up, seconds; the longest takes one, on a busy computer four."""
MUTE = 30.0
"""A phrase that could not be spoken is said by its tone for so long, seconds, and then tried again: what was wrong (a full
disk, a voice that hung) may be over, and a voice that never speaks is not started more often than this."""
KEPT = 600
"""So many phrases stay on the disk, about 130 kB each: those of a dozen recipes."""
AT_HAND = 32
"""So many phrases stay in memory: those of the next minutes."""
WAV_HEADER = 44
"""Bytes before the samples in a file that `tones.save` wrote (RIFF, one `fmt ` and one `data` chunk)."""


class PhraseCache:
    """All phrases of one voice. `failed` says in words why one could not be spoken, "" while all is well."""

    def __init__(
        self,
        folder: Path,
        voice: Voice,
        voices: int = 1,
        ready: Callable[[], None] = lambda: None,
        now: Callable[[], float] = time.monotonic,
    ) -> None:
        self._folder, self._voice, self._ready, self._now = folder, voice, ready, now
        self._wanted: queue.PriorityQueue[tuple[int, int, str]] = queue.PriorityQueue()
        self._number = itertools.count()
        self._asked: dict[str, int] = {}
        self._mute: dict[str, float] = {}
        self._at_hand: OrderedDict[str, NDArray[np.int16]] = OrderedDict()
        self._changed = threading.Condition()
        self._unknown_voice = False
        self.failed = ""
        _prune(folder)
        for _ in range(voices):
            threading.Thread(target=self._keep_speaking, daemon=True, name="phrases").start()

    def want(self, sentences: Iterable[str], soon: bool = False) -> None:
        """Have these spoken, in this order; what is wanted soon goes before the rest."""
        turn = 0 if soon else 1
        with self._changed:
            for words in filter(None, sentences):
                if self._tried_again(words):
                    del self._asked[words], self._mute[words]
                if self._asked.get(words, 2) > turn and self.length(words) is None:
                    self._asked[words] = turn
                    self._wanted.put((turn, next(self._number), words))

    def length(self, words: str) -> int | None:
        """How long a phrase lasts, ms; 0 where it can't be spoken, None where it is still to be."""
        if words in self._mute:
            return 0
        try:
            return (self._file(words).stat().st_size - WAV_HEADER) * 500 // RATE  # two bytes a sample
        except OSError:
            return None

    def samples(self, words: str) -> NDArray[np.int16] | None:
        """A phrase at the palette's rate; None where there is none (yet)."""
        if words not in self._at_hand:
            try:
                self._at_hand[words] = np.frombuffer(self._file(words).read_bytes()[WAV_HEADER:], "<i2").astype(np.int16)
            except OSError:
                return None
            if len(self._at_hand) > AT_HAND:
                self._at_hand.popitem(last=False)
        self._at_hand.move_to_end(words)
        return self._at_hand[words]

    def wait(self, sentences: Iterable[str], seconds: float = 120.0) -> None:
        """Wait until all of these are spoken or given up; SpeechFailed where even that took too long."""
        wanted = sorted(set(sentences))
        self.want(wanted)
        with self._changed:
            if not self._changed.wait_for(lambda: all(self.length(words) is not None for words in wanted), seconds):
                raise SpeechFailed("the voice took too long")

    @property
    def complaint(self) -> str:
        """What is wrong with the voice, in a sentence, "" when nothing."""
        if self.failed:
            return f"No speech, tones only: {self.failed}"
        if self._unknown_voice:
            return f'There is no voice "{self._voice.name}" here, another speaks: `traycall voice` lists them.'
        return ""

    def _tried_again(self, words: str) -> bool:
        return words in self._mute and self._now() - self._mute[words] > MUTE

    def _file(self, words: str) -> Path:
        return kept_as(self._folder, self._voice, words)

    def _keep_speaking(self) -> None:
        process: subprocess.Popen[str] | None = None
        while True:
            try:
                words = self._wanted.get(timeout=IDLE)[2]
            except queue.Empty:
                _end(process)
                process = None
                words = self._wanted.get()[2]
            if self.length(words) is None:
                process = self._spoken(process, words)
            with self._changed:
                self._changed.notify_all()
            self._ready()

    def _spoken(self, process: "subprocess.Popen[str] | None", words: str) -> "subprocess.Popen[str] | None":
        """Have it spoken, or note why it could not be; the voice's process, if it lives."""
        try:
            process = process if process and process.poll() is None else self._start()
            self._speak(process, words)
        except OSError as error:
            self.failed = f"the voice can't be started: {error.strerror or error}"
        if self.length(words) is None:
            self._mute[words] = self._now()
        return process

    def _speak(self, process: "subprocess.Popen[str]", words: str) -> None:
        assert process.stdin is not None
        assert process.stdout is not None
        giving_up = threading.Timer(PATIENCE, process.kill)
        giving_up.start()
        try:
            process.stdin.write(json.dumps(words) + "\n")
            process.stdin.flush()
            answer = json.loads(process.stdout.readline())
        except (OSError, ValueError):
            answer = {"why": "the voice did not answer", "known": True}
            _end(process)
        giving_up.cancel()
        self.failed = answer["why"]
        self._unknown_voice = not answer["known"]

    def _start(self) -> "subprocess.Popen[str]":
        voice = self._voice
        asked = [sys.executable, "-m", "assistant.sound_helper.speech", str(self._folder)]
        return subprocess.Popen(
            [*asked, json.dumps([voice.name, voice.rate, voice.pitch])],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )


def _end(process: "subprocess.Popen[str] | None") -> None:
    if process is not None:
        process.kill()  # it keeps nothing: a phrase is moved to its place when it is whole
        for pipe in (process.stdin, process.stdout):
            with contextlib.suppress(OSError):  # what was still to be written to it
                if pipe is not None:
                    pipe.close()
        process.wait()


def _prune(folder: Path) -> None:
    """Let the oldest phrases go where too many are kept."""
    with contextlib.suppress(OSError):
        files = sorted(folder.glob("*.wav"), key=lambda file: file.stat().st_mtime)
        for file in files[:-KEPT]:
            file.unlink(missing_ok=True)
