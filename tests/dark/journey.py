"""A program in a real pseudo-terminal, judged at every moment by the emulator and, independently, by pyte.

    with Journey([sys.executable, "-m", "assistant", "run", ...], "capable", env) as trip:
        trip.until("begin exposure")
        trip.go("resize").resize(60, 20)
        ...
    assert trip.faults == []

Waiting is for words on the screen or for the program to fall silent, never for a time.
"""

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
from collections import Counter
from pathlib import Path

import pyte

from assistant.buttons.button import QUIET
from tests import waiting
from tests.dark.emulator import Emulator
from tests.dark.profiles import PROFILES, RARE, REFUSED, Profile
from tests.dark.screen import Fault
from tests.pty.terminal import READ, TAIL

PROMPT = "\x1b[32mprinter@boatyard\x1b[0m:\x1b[34m~\x1b[0m$ "
_RED = re.compile(r"[0-9a-f]{2}0000\Z")
_WANTED = ("PATH", "HOME", "LANG", "LC_ALL", "VIRTUAL_ENV")


class Second:
    """pyte's screen, judged for itself: a 24-bit colour that is not red, or a default one that cannot be trusted."""

    def __init__(self, width: int, height: int, profile: Profile) -> None:
        self.screen = pyte.Screen(width, height)
        self.stream = pyte.Stream(self.screen)
        self.profile = profile
        self.cells = 0
        self.lit: list[str] = []
        self.broken: list[str] = []

    def feed(self, text: str, judging: bool) -> None:
        self.screen.dirty.clear()
        try:
            self.stream.feed(text)
        except Exception as error:  # pyte stumbles over what it does not know
            self.broken.append(repr(error))
            return
        if judging:
            for y in self.screen.dirty:
                self._row(y)

    def _row(self, y: int) -> None:
        for cell, count in Counter(self.screen.buffer[y].values()).items():
            self.cells += count
            letters, ground = (cell.bg, cell.fg) if cell.reverse else (cell.fg, cell.bg)
            for colour, shows in ((ground, True), (letters, bool(cell.data.strip()))):
                if shows and not _RED.match(colour):
                    self.lit += [f"{cell.data!r} {cell.fg} on {cell.bg}"] * count


class Journey:
    """One program on one kind of terminal."""

    def __init__(
        self, argv: list[str], profile: str, env: dict[str, str] | None = None, size: tuple[int, int] = (100, 30)
    ) -> None:
        self.profile = (PROFILES | RARE | REFUSED)[profile]
        self.emulator = Emulator(*size, self.profile)
        self.emulator.feed(PROMPT + " ".join(argv[:3]) + "\r\n")
        self.before = [list(row) for row in self.emulator.cells]
        self.second = Second(*size, self.profile)
        self.code: int | None = None
        self.first_output: float | None = None
        self.bytes = 0
        self._tail = b""
        self._decoder = codecs.getincrementaldecoder("utf-8")("replace")
        kept = {name: os.environ[name] for name in _WANTED if name in os.environ}
        self.brightest: int | None = None
        self.began = time.monotonic()
        self.pid, self._terminal = pty.fork()
        if self.pid == 0:
            _size(0, *size)
            os.execvpe(argv[0], argv, {**kept, **self.profile.environment, **(env or {})})
        _size(self._terminal, *size)

    def __enter__(self) -> "Journey":
        return self

    def __exit__(self, *_: object) -> None:
        left = list(waiting.descendants(self.pid)) if self.code is None else []
        if self.code is None:
            with contextlib.suppress(ProcessLookupError):
                os.kill(self.pid, signal.SIGKILL)
            self._reap(block=True)
        with contextlib.suppress(OSError):
            os.close(self._terminal)
        waiting.buried(left)

    @property
    def faults(self) -> list[Fault]:
        """All that lit or could have lit something, by both judges."""
        seconds = [Fault(self.emulator.phase, "pyte", what) for what in self.second.lit[:20]]
        return self.emulator.faults + (seconds if self.profile.true_colour else [])

    def kinds(self) -> set[str]:
        return {fault.kind for fault in self.faults}

    def text(self) -> str:
        return self.emulator.text()

    def go(self, phase: str) -> "Journey":
        """What comes now, by its name in the faults."""
        self.emulator.phase = phase
        return self

    def press(self, keys: str) -> "Journey":
        return self.write(keys.encode())

    def write(self, raw: bytes) -> "Journey":
        """Send bytes as a keyboard would, text or not; nothing where nobody reads any more."""
        with contextlib.suppress(OSError):
            os.write(self._terminal, raw)
        return self

    def resize(self, width: int, height: int) -> "Journey":
        self.emulator.resize(width, height)
        self.second.screen.resize(height, width)
        _size(self._terminal, width, height)
        return self

    def until(self, words: str) -> "Journey":
        """Until these words are on the screen."""
        return self._read(lambda: words in self.text(), f"the words {words!r}")

    def until_pressed(self, key: str, words: str) -> "Journey":
        """Press a key until these words are on the screen: twice ends a session, and other words may come between."""
        for _ in range(20):
            self.press(key)
            end = time.monotonic() + 3  # a session takes the second one within ten seconds
            while time.monotonic() < end:
                self._some(0.05)
                if words in self.text():
                    return self
        return self.until(words)

    def until_gone(self, words: str) -> "Journey":
        """Until these words have left the screen."""
        return self._read(lambda: words not in self.text(), f"{words!r} to go")

    def until_brightest(self, most: int) -> "Journey":
        """Until something is painted again, and nothing of it is brighter than this red."""
        return self._read(lambda: 0 < self.emulator.brightest() <= most, f"a screen at most {most} bright")

    def settle(self, quiet: float = 0.1, looks: int | None = None) -> "Journey":
        """Until nothing was written for a while by a program that had nothing to do: slow is not settled.

        After so many `looks` that is enough, where they are given: a large screen whose seconds run is never at rest for a
        judge that is slower than they are.
        """
        end = time.monotonic() + waiting.LONGEST
        while self._some(quiet) or (self.code is None and not waiting.at_rest(self.pid)):
            if looks is not None:
                looks -= 1
                if not looks:
                    break
            assert time.monotonic() < end, f"it never came to rest:\n{self.text()}"
        return self

    def rest(self) -> "Journey":
        """Leave the keys alone for so long that the next one counts as another tap."""
        return self.watch(QUIET / 1000 + 0.15)

    def painted(self, least: int) -> "Journey":
        """Until the program has written so many bytes, whatever of them can be seen, and has come to rest."""
        return self._read(lambda: self.bytes > least, f"{least} bytes").settle()

    def watch(self, seconds: float) -> "Journey":
        """Look on for a span in which something is not to happen."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            self._some(left)
        return self

    def ended(self) -> int:
        """Until the program is over; its exit code, negative for a signal."""
        self._read(lambda: self.code is not None, "its end")
        assert self.code is not None
        return self.code

    def kill(self, number: int) -> "Journey":
        os.kill(self.pid, number)
        return self

    def kill_program(self, number: int) -> "Journey":
        os.kill(self.program(), number)
        return self

    def program(self) -> int:
        """The first process that this one has started: of a guard, the program it guards."""
        return self.children()[0]

    def gone_on(self, done) -> "Journey":
        """Do it, and wait until another program runs in the place of the one that it ended."""
        before = self.children()
        done()
        return self._read(lambda: self.children() not in ([], before), "another program")

    def children(self) -> list[int]:
        return [int(word) for word in Path(f"/proc/{self.pid}/task/{self.pid}/children").read_text().split()]

    def brightest_from_now(self) -> "Journey":
        """From now on the brightest red that is seen is kept in `brightest`."""
        self.brightest = 0
        return self

    def echoes(self) -> bool:
        """Whether the terminal shows what is typed, line by line, as a shell wants it."""
        wanted = termios.ECHO | termios.ICANON | termios.ISIG
        return termios.tcgetattr(self._terminal)[3] & wanted == wanted

    def hang_up(self) -> "Journey":
        """Close the window."""
        os.close(self._terminal)
        waiting.until(lambda: os.waitpid(self.pid, os.WNOHANG)[0], "the end of what ran in the window")
        self.code = 0
        return self

    def light_allowed(self) -> "Journey":
        """The word was typed: what is lit from now on may be."""
        self.emulator.judging = False
        return self

    def shell_prompt(self) -> "Journey":
        """The shell's prompt, in its own colours, on whatever terminal the program has left."""
        self.go("prompt")
        self.emulator.feed("\r\n" + PROMPT)
        return self

    def _read(self, done, what: str) -> "Journey":
        end = time.monotonic() + waiting.LONGEST
        while not done():
            if time.monotonic() > end or (self.code is not None and not self._some(0)):
                raise AssertionError(f"waited in vain for {what} (exit {self.code}):\n{self.text()}")
            self._some(0.05)
        return self

    def _some(self, wait: float) -> bool:
        """Take what is written within this time; whether anything was."""
        if not select.select([self._terminal], [], [], wait)[0]:
            self._reap()
            return False
        try:
            came = os.read(self._terminal, 65536)
        except OSError:
            came = b""
        if not came:
            self._reap(block=True)
            return False
        self.first_output = self.first_output or time.monotonic()
        self.bytes += len(came)
        self._tail = (self._tail + came)[-TAIL:]
        if READ.search(self._tail):  # what is to be read before a session is read at once
            self._tail = b""
            self.press("y")
        before = self.emulator.judging
        self.emulator.feed(came)
        if self.brightest is not None:
            self.brightest = max(self.brightest, self.emulator.brightest())
        self.second.feed(self._decoder.decode(came), before and self.emulator.judging)
        if not self.profile.late:
            self.answer()
        return True

    def answer(self) -> "Journey":
        """Let the terminal say what it has been asked; by itself it does so at once, or, of the late kind, never."""
        replies, self.emulator.replies = self.emulator.replies, []
        if replies:
            os.write(self._terminal, "".join(replies).encode())
        return self

    def _reap(self, block: bool = False) -> None:
        def over() -> bool:
            ended, status = os.waitpid(self.pid, os.WNOHANG)
            self.code = os.waitstatus_to_exitcode(status) if ended else None
            return self.code is not None

        if self.code is None and not over() and block:
            waiting.until(over, "the program's end")


def _size(terminal: int, width: int, height: int) -> None:
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
