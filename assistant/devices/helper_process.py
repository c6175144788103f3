"""A helper of the app in a process of its own: started by its module's name, told and heard line by line, kept alive.

No call blocks and none raises: a bounded queue and a thread stand between the app and the helper's pipe. A helper that
ends, or that its owner gives up, is started again, and told again what its owner says then.
"""

import contextlib
import os
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Mapping
from typing import Protocol

OUTBOX = 5000
"""Lines that may wait for a helper; a session's whole promise is a few dozen."""
SOONEST, LATEST = 0.1, 3.0
"""Before a helper that ended is started again, seconds: at once, then each time twice as late, so that one that cannot run
does not keep the computer busy."""
RAN = 10.0
"""One that ran for so long (seconds) could run: it is started again at once."""


class HelperOwner(Protocol):
    """Whoever a helper works for. All but `begun` are called from the helper's own threads."""

    def begun(self) -> None:
        """It is being started, in the keeper's thread and under the lock: post what it must know."""
        ...

    def told(self, line: str) -> None:
        """It told this; ValueError where that means nothing."""
        ...

    def lost(self, held_up: bool) -> bool:
        """Asked at every beat: whether it is to be replaced. `held_up`: the app itself was, and could hear nothing."""
        ...

    def over(self, why: str) -> None:
        """It has ended, or could not be started: why, "" where it ended by itself."""
        ...


class HelperProcess:
    """One helper and its keeper, a thread that ends with `end`."""

    def __init__(
        self,
        module: str,
        settings: str,
        owner: HelperOwner,
        lock: threading.RLock,
        beat: float,
        env: Mapping[str, str] | None = None,
    ) -> None:
        self._call = [sys.executable, "-m", module, settings]
        self._owner, self._lock, self._beat = owner, lock, beat
        self._env = {**os.environ, "OPENBLAS_NUM_THREADS": "1", **(env or {})}  # one thread is enough for sums of sound
        self._outbox: queue.Queue[str] = queue.Queue(OUTBOX)
        self._closed = threading.Event()
        self.process: subprocess.Popen[str] | None = None
        """The present one, dead or alive."""
        self.starts = 0
        """How many have been started."""
        self._keeper = threading.Thread(target=self._keep, daemon=True, name=module)

    def start(self) -> None:
        """Start it, and keep it alive from now on."""
        self._keeper.start()

    @property
    def ending(self) -> bool:
        """Nothing is started again any more."""
        return self._closed.is_set()

    def wait(self, seconds: float) -> None:
        """Wait so long, or until it is ended."""
        self._closed.wait(seconds)

    def post(self, line: str) -> None:
        """Tell it this line; one that does not read is told no more than its queue holds."""
        with contextlib.suppress(queue.Full):
            self._outbox.put_nowait(line)

    def end(self, patience: float) -> None:
        """End it; it has so many seconds to end by itself after what it was told last."""
        self._closed.set()
        with self._lock:
            process = self.process
        if process is not None:
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(patience)
            process.kill()
            process.wait()
        self._keeper.join(3)

    def _keep(self) -> None:
        pause = SOONEST
        while not self.ending:
            began = time.monotonic()
            try:
                self._serve_once()
            except Exception as error:  # whatever it is, the session goes on and the helper is tried again
                self._owner.over(str(error))
            pause = SOONEST if time.monotonic() - began > RAN else min(pause * 2, LATEST)
            self.wait(pause)

    def _serve_once(self) -> None:
        process = self._started()
        if process is None:
            return
        threads = [threading.Thread(target=run, args=(process,), daemon=True) for run in (self._write, self._watch)]
        for thread in threads:
            thread.start()
        assert process.stdout is not None
        for line in process.stdout:
            with contextlib.suppress(ValueError):
                self._owner.told(line)
        process.wait()
        self._owner.over("")
        self._outbox.put("")
        for thread in threads:
            thread.join(2)
        for pipe in (process.stdin, process.stdout):
            with contextlib.suppress(OSError, ValueError):
                if pipe is not None:
                    pipe.close()

    def _started(self) -> "subprocess.Popen[str] | None":
        with self._lock:
            if self.ending:
                return None
            self._outbox = queue.Queue(OUTBOX)
            self.process = subprocess.Popen(
                self._call,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,  # its libraries write on it, and a face is drawn there
                text=True,
                start_new_session=True,  # what ends the app by a key must not reach it: it ends with the pipe
                env=self._env,
            )
            self.starts += 1
            self._owner.begun()
        return self.process

    def _write(self, process: "subprocess.Popen[str]") -> None:
        outbox, pipe = self._outbox, process.stdin
        assert pipe is not None
        with contextlib.suppress(OSError, ValueError):
            while line := outbox.get():
                pipe.write(line)
                pipe.flush()

    def _watch(self, process: "subprocess.Popen[str]") -> None:
        while not self.ending and process.poll() is None:
            began = time.monotonic()
            self.wait(self._beat)
            if self._owner.lost(held_up=time.monotonic() - began > 2 * self._beat):
                process.kill()
