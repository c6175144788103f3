"""The sound desk of the app: passes promises to the sound helper, keeps it alive, and says when there is no sound.

No call blocks and none raises: a bounded queue and a thread stand between the app and the helper's pipe. A helper
that dies or does not answer is replaced within about a second and told again all that is still to come.
"""

import contextlib
import os
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from typing import Protocol

from assistant.conductor.ports import SoundDesk
from assistant.conductor.twins import SilentDesk
from assistant.devices import wire
from assistant.devices.confirmed import Confirmed
from assistant.devices.settings import helper_settings
from assistant.devices.wire import Health, HelperSettings
from assistant.score.arrange import STALE
from assistant.score.cues import Cue, Passage

BEAT = 0.5
"""The helper is asked how it is so often, seconds: what it misses is known within three of these."""
HUNG, STARTING = 1.6, 8.0
"""A helper that has not answered for so long is taken for dead, seconds: three pings and a little. Its first answer waits
for the device to be opened, which may try for two seconds with each player, and for the interpreter on a slow disk."""
STUCK = 3.0
"""A device that has not answered for so long (seconds) is said, and opened anew. A sound server that is busy comes back
sooner: under load calls of more than a second were seen, and the sound went on."""
OUTBOX = 5000
"""Messages that may wait for a helper; a session's whole promise is a few dozen."""
SHIFT = 100
"""When the computer's clocks have moved against each other by so much (ms), it slept: the sound is opened anew."""
HELPER = "assistant.sound_helper.main"
"""The helper is started by its name and never imported: it alone has NumPy and the sound libraries."""
NO_ANSWER = "The sound does not answer; it is being started again."
NO_SOUND = "No sound: no output device was found. Watch the screen; it is tried again every few seconds."


class SessionTime(Protocol):
    """What turns a session's moments into the clock of sounds."""

    def to_monotonic(self, at: int) -> float:
        """Seconds of `time.monotonic()` at a moment of the session, ms."""
        ...


class Desk:
    """One sound helper and what it is to sound; satisfies `conductor.ports.SoundDesk`."""

    def __init__(self, clock: SessionTime, settings: HelperSettings) -> None:
        self._clock, self._settings = clock, settings
        self._promised: dict[int, tuple[Cue, ...]] = {}
        self._lock = threading.RLock()
        self._confirmed = Confirmed()
        self._outbox: queue.Queue[str] = queue.Queue(OUTBOX)
        self._health: Health | None = None
        self._trouble = ""
        self._answered = 0.0
        self._zero = 0.0
        self._believed = self._offset()
        self._running = True
        self._closed = threading.Event()
        self._process: subprocess.Popen[str] | None = None
        self.starts = 0
        self.speaks: Callable[[int, int], None] = lambda begin, end: None
        """Told when words will sound (ms since the session began), about half a second before; from the keeper's thread."""
        self._keeper = threading.Thread(target=self._keep, daemon=True, name="sound")
        self._keeper.start()

    # -- what a conductor asks ----------------------------------------------------------------------------------------

    def give(self, passage: Passage) -> None:
        """Sound this voice's cues at their moments in place of what was left of it."""
        with self._lock:
            self._promised[passage.voice] = passage.cues
            self._confirmed.promised(passage.voice, passage.cues, self._now(), silent=self._health is None)
            self._post(wire.Give(passage.voice, passage.cues))

    def hush(self, voice: int) -> None:
        """Forget what is left of a voice and end what sounds."""
        with self._lock:
            self._promised.pop(voice, None)
            self._confirmed.hushed(voice, self._now())
            self._post(wire.Hush(voice))

    def say(self, cue: Cue) -> None:
        """Sound one cue at once."""
        self._post(wire.Say(cue))

    def trouble(self) -> str:
        """What is wrong with the sound in one sentence, "" when all is well."""
        return self._trouble

    def prepare(self, sentences: list[str]) -> None:
        """Have these spoken beforehand."""
        self._post(wire.Prepare(tuple(sentences)))

    def listening(self, speaking: bool) -> None:
        """Somebody begins to speak, or has ended: talk waits for that."""
        self._post(wire.Listening(speaking))

    def unheard(self) -> int | None:
        """Since when (ms) an act-now cue may have gone unheard, told once; None where all was heard."""
        with self._lock:
            self._notice_sleep()
            if self._health is None:
                self._confirmed.silent(self._now())
            return self._confirmed.unheard()

    def health(self) -> Health | None:
        """What the helper last said of itself; None while there is no sound."""
        return self._health

    def close(self) -> None:
        """End the helper; what sounds comes to its end."""
        self._running = False
        self._closed.set()
        self._post(wire.Quit())
        process = self._process
        if process is not None:
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(6)
            process.kill()
            process.wait()
        self._keeper.join(3)

    # -- the helper's keeper --------------------------------------------------------------------------------------------

    def _keep(self) -> None:
        pause = 0.1
        while self._running:
            began = time.monotonic()
            try:
                self._serve_once()
            except Exception as error:  # whatever it is, the session goes on and the sound is tried again
                self._trouble = f"No sound: its helper can't be started: {error}"
            pause = 0.1 if time.monotonic() - began > 10 else min(pause * 2, 3.0)
            self._closed.wait(pause)

    def _serve_once(self) -> None:
        process = self._start()
        threads = [threading.Thread(target=run, args=(process,), daemon=True) for run in (self._write, self._watch)]
        for thread in threads:
            thread.start()
        assert process.stdout is not None
        for line in process.stdout:
            with contextlib.suppress(ValueError):
                self._heard_from(wire.read_answer(line))
        process.wait()
        self._health = None
        if self._running and not self._trouble:
            self._trouble = "The sound stopped; it is being started again."
        self._outbox.put("")
        for thread in threads:
            thread.join(2)
        for pipe in (process.stdin, process.stdout):
            with contextlib.suppress(OSError, ValueError):
                if pipe is not None:
                    pipe.close()

    def _start(self) -> "subprocess.Popen[str]":
        with self._lock:
            self._outbox = queue.Queue(OUTBOX)
            command = [sys.executable, "-m", HELPER, self._settings.as_line()]
            self._process = subprocess.Popen(
                command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,  # sound libraries write on it, and a face is drawn there
                text=True,
                start_new_session=True,  # what ends the app by a key must not reach it: it ends with the pipe
                env=self._environment(),
            )
            self.starts += 1
            self._answered = time.monotonic()
            self._notice_sleep()
            self._zero = self._offset()
            self._post(wire.Zero(self._zero))
            for voice, cues in self._promised.items():
                self._post(wire.Give(voice, cues))
        return self._process

    def _environment(self) -> dict[str, str]:
        """One thread is enough for mixing; a chosen output is told to the sound server, which knows it by that name."""
        chosen = {"PULSE_SINK": self._settings.output} if self._settings.output else {}
        return {**os.environ, "OPENBLAS_NUM_THREADS": "1", **chosen}

    def _write(self, process: "subprocess.Popen[str]") -> None:
        outbox, pipe = self._outbox, process.stdin
        assert pipe is not None
        with contextlib.suppress(OSError, ValueError):
            while line := outbox.get():
                pipe.write(line)
                pipe.flush()

    def _watch(self, process: "subprocess.Popen[str]") -> None:
        while not self._closed.is_set() and process.poll() is None:
            self._post(wire.Ping())
            began = time.monotonic()
            self._closed.wait(BEAT)
            if time.monotonic() - began > 2 * BEAT:
                self._answered = time.monotonic()  # the app itself was held up, so it could hear no answer
            self._forget_the_past()
            health = self._health
            patience = HUNG if health else STARTING
            if time.monotonic() - self._answered > patience or (health is not None and health.age > STUCK):
                self._health = None
                self._trouble = NO_ANSWER
                process.kill()
            elif abs(self._offset() - self._zero) > SHIFT:
                process.kill()

    def _heard_from(self, answer: wire.Reply) -> None:
        if isinstance(answer, wire.Speaks):
            self.speaks(answer.begin, answer.end)
            return
        with self._lock:
            self._answered = time.monotonic()
            if isinstance(answer, wire.NoPlayer):
                self._health, self._trouble = None, NO_SOUND
                return
            self._health, self._trouble = answer, answer.complaint
            self._notice_sleep()
            since, until = (round(moment * 1000 - self._believed) for moment in (answer.since, answer.until))
            self._confirmed.answered(since, until, answer.missed, self._now())

    def _forget_the_past(self) -> None:
        now = time.monotonic() * 1000
        with self._lock:
            for voice, cues in self._promised.items():
                self._promised[voice] = tuple(cue for cue in cues if cue.at + self._zero > now - STALE)

    def _notice_sleep(self) -> None:
        """The session's clock counts a sleep of the computer, the clock of sounds does not."""
        if abs(self._offset() - self._believed) > SHIFT:
            self._believed = self._offset()
            self._confirmed.slept(self._now())

    def _now(self) -> int:
        return round(time.monotonic() * 1000 - self._offset())

    def _offset(self) -> float:
        return self._clock.to_monotonic(0) * 1000

    def _post(self, message: wire.Message) -> None:
        with contextlib.suppress(queue.Full):
            self._outbox.put_nowait(wire.message_line(message))


@contextlib.contextmanager
def open_desk(clock: SessionTime, silent: bool = False) -> Iterator[SoundDesk]:
    """The sound desk by the printer's settings, or a silent one when that is asked for."""
    if silent:
        yield SilentDesk()
        return
    desk = Desk(clock, helper_settings())
    try:
        yield desk
    finally:
        desk.close()
