"""A real pseudo-terminal with an emulator behind it: what the real program shows, and keys pressed into it."""

import codecs
import contextlib
import fcntl
import os
import pty
import re
import select
import signal
import struct
import termios
import time

import pyte

from assistant.buttons.button import QUIET
from tests import waiting

READ, TAIL = re.compile(rb"any key\s+begins|More: any key"), 400
"""What is asked below a page that is to be read, and so many of the last bytes hold it whole."""


class Terminal:
    """A program running on a terminal of this size. What is to be read before a silent session is read at once, if `reads`."""

    reads = True

    def __init__(self, command: list[str], env: dict[str, str], width: int = 100, height: int = 30) -> None:
        self.screen = pyte.Screen(width, height)
        self.stream = pyte.Stream(self.screen)
        self._decoder = codecs.getincrementaldecoder("utf-8")("replace")
        self.code: int | None = None
        self._tail = b""
        self.taken = 0
        """Bytes that it has shown so far."""
        self.pid, self._end = pty.fork()
        if self.pid == 0:
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
            own = {name: value for name, value in env.items() if name not in ("COLUMNS", "LINES")}  # the window says its size
            os.execvpe(command[0], command, own)
        fcntl.ioctl(self._end, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))

    def __enter__(self) -> "Terminal":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def press(self, keys: bytes) -> None:
        """Press keys."""
        os.write(self._end, keys)

    def until(self, words: str, seconds: float = waiting.LONGEST) -> str:
        """Read until these words are on the screen; the whole screen, which an AssertionError shows where they never come."""
        end = time.monotonic() + seconds
        while words not in self.text():
            if not self._read(0.1) or time.monotonic() > end:
                raise AssertionError(f"never saw {words!r} (exit {self.code}):\n{self.text()}")
        return self.text()

    def rest(self) -> None:
        """Leave the keys alone for so long that the next one counts as another tap."""
        self.watch(QUIET / 1000 + 0.15)

    def watch(self, seconds: float) -> None:
        """Read for a span in which something is not to happen."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0 and self._read(left):
            pass

    def settle(self, quiet: float = 0.2) -> None:
        """Read until nothing has come for a while, and the program waits for something."""
        end = time.monotonic() + waiting.LONGEST
        taken = -1
        while (taken, True) != (self.taken, waiting.at_rest(self.pid)) and self.code is None:
            assert time.monotonic() < end, "it never came to rest"
            taken = self.taken
            self._read(quiet)

    def ended(self) -> int:
        """Read until the program has ended; its exit code, negative for a signal."""
        end = time.monotonic() + waiting.LONGEST
        while self._read(0.1):
            assert time.monotonic() < end, f"it did not end:\n{self.text()}"
        assert self.code is not None
        return self.code

    def _read(self, seconds: float) -> bool:
        """Take what the program shows within so long; False once it has ended."""
        if self.code is not None:
            return False
        if not select.select([self._end], [], [], seconds)[0]:
            return True
        data = b""
        with contextlib.suppress(OSError):  # the terminal's other end is closed
            data = os.read(self._end, 65536)
        self.taken += len(data)
        self.stream.feed(self._decoder.decode(data))
        self._tail = (self._tail + data)[-TAIL:]
        if self.reads and READ.search(self._tail):
            self._tail = b""
            self.press(b"y")
        if not data:
            self._reap()
        return bool(data)

    def text(self) -> str:
        """The screen as lines of text."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    def _reap(self) -> int:
        def over() -> bool:
            ended, status = os.waitpid(self.pid, os.WNOHANG)
            self.code = os.waitstatus_to_exitcode(status) if ended else None
            return self.code is not None

        if self.code is None:
            waiting.until(over, "the program's end")
        assert self.code is not None
        return self.code

    def kill(self, how: int = signal.SIGKILL) -> int:
        """End the program by a signal."""
        with contextlib.suppress(ProcessLookupError):
            os.kill(self.pid, how)
        return self._reap()

    def resize(self, width: int, height: int) -> None:
        """Give the window another size, and the program the news."""
        self.screen.resize(height, width)
        fcntl.ioctl(self._end, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))

    def close(self) -> None:
        """Close the terminal, and the program if it still runs."""
        left = list(waiting.descendants(self.pid)) if self.code is None else []
        if self.code is None:
            self.kill()
        with contextlib.suppress(OSError):
            os.close(self._end)
        waiting.buried(left)


def tap(terminal: Terminal, offer: str) -> None:
    """Tap once this is offered, with the keys left alone before."""
    terminal.until(offer)
    terminal.rest()
    terminal.press(b" ")
