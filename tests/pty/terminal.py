"""A real pseudo-terminal with an emulator behind it: what the real program shows, and keys pressed into it."""

import codecs
import contextlib
import fcntl
import os
import pty
import select
import signal
import struct
import termios
import time

import pyte


class Terminal:
    """A program running on a terminal of this size."""

    def __init__(self, command: list[str], env: dict[str, str], width: int = 100, height: int = 30) -> None:
        self.screen = pyte.Screen(width, height)
        self.stream = pyte.Stream(self.screen)
        self._decoder = codecs.getincrementaldecoder("utf-8")("replace")
        self.code: int | None = None
        self.taken = 0
        """Bytes that it has shown so far."""
        self.pid, self._end = pty.fork()
        if self.pid == 0:
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
            own = {name: value for name, value in env.items() if name not in ("COLUMNS", "LINES")}  # the window says its size
            os.execvpe(command[0], command, own)
        fcntl.ioctl(self._end, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))

    def press(self, keys: bytes) -> None:
        """Press keys."""
        os.write(self._end, keys)

    def read(self, seconds: float) -> None:
        """Take what the program shows for a while."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            ready, _, _ = select.select([self._end], [], [], left)
            if not ready:
                return
            try:
                data = os.read(self._end, 65536)
            except OSError:
                data = b""
            if not data:
                self.wait()
                return
            self.taken += len(data)
            self.stream.feed(self._decoder.decode(data))

    def until(self, words: str, seconds: float = 20.0) -> str:
        """Read until these words are on the screen; the whole screen, which an AssertionError shows where they never come."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self.read(0.1)
            if words in self.text():
                return self.text()
            if self.code is not None:
                break
        raise AssertionError(f"never saw {words!r} (exit {self.code}):\n{self.text()}")

    def text(self) -> str:
        """The screen as lines of text."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    def wait(self) -> int:
        """Wait for the program's end; its exit code, negative for a signal."""
        if self.code is None:
            _, status = os.waitpid(self.pid, 0)
            self.code = os.waitstatus_to_exitcode(status)
        return self.code

    def kill(self, how: int = signal.SIGKILL) -> int:
        """End the program by a signal."""
        with contextlib.suppress(ProcessLookupError):
            os.kill(self.pid, how)
        return self.wait()

    def close(self) -> None:
        """Close the terminal, and the program if it still runs."""
        if self.code is None:
            self.kill()
        with contextlib.suppress(OSError):
            os.close(self._end)
