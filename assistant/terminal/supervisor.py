"""Runs a program on a terminal of its own and passes what it paints through the gate to the real one.

The program never has a descriptor of the real terminal, so that a crash, a kill, a library that writes on standard error
or a child that opens the terminal by name reaches nothing but the gate. Keys go the other way untouched.
"""

import fcntl
import os
import select
import signal
import struct
import termios
import time
from collections.abc import Mapping
from typing import NamedTuple

from assistant.terminal.owner import ENDINGS, KEYBOARD, Owner
from assistant.terminal.screen_queue import ScreenQueue

_NEVER = float("inf")
_PATIENCE = 2.0
"""Seconds a program has to end itself before it is ended: a session has written its last line by then."""
_PAINT_PATIENCE = 2.0
"""Seconds that a whole paint is waited for before it is asked for once more: a machine with load may put it off."""
_ASKED_MOST = 10
"""A program that never paints all of its window is left alone after so many times."""
_KEYS_KEPT = 1 << 16
"""Bytes typed or pasted that wait for the program; beyond them the terminal waits, so that nothing is cut in two."""
_LAST_WORDS = 1 << 20
"""Bytes read of a dead program, whose children may go on writing for ever."""


class Ending(NamedTuple):
    """How a program ended: its exit code (128 and the signal's number if killed), and who was asked to end it."""

    code: int
    told_by: int = 0
    """The signal that this process was sent; 0 when the program ended by itself."""


class Supervisor:
    """One program on an inner terminal."""

    def __init__(self, owner: Owner) -> None:
        self._owner = owner
        self._queue = ScreenQueue(owner.screen)
        self._keys = b""
        self._watched = {KEYBOARD}
        self._told_by = 0
        self._give_up_at = self._ask_at = _NEVER
        self._asked = 0
        self._status: int | None = None

    def run(self, argv: list[str], environment: Mapping[str, str]) -> Ending:
        """Start the program and serve it until it ends. Signals to this process are passed on to it."""
        self._bell, ring = os.pipe()
        os.set_blocking(ring, False)
        heard = (signal.SIGWINCH, signal.SIGCHLD, signal.SIGCONT, signal.SIGTSTP, *ENDINGS)
        before = {number: signal.signal(number, lambda *_: None) for number in heard}
        old_ring = signal.set_wakeup_fd(ring, warn_on_full_buffer=False)
        try:
            self._program, self._inner = _start(argv, environment, _size())
            os.set_blocking(self._inner, False)
            self._watched |= {self._inner, self._bell}
            while self._status is None:
                self._serve()
            self._last_words()
        finally:
            signal.set_wakeup_fd(old_ring)
            for number, handler in before.items():
                signal.signal(number, handler)
            for descriptor in (self._inner, self._bell, ring):
                os.close(descriptor)
        return Ending(self._status if self._status >= 0 else 128 - self._status, self._told_by)

    def _serve(self) -> None:
        next_at = min(self._give_up_at, self._ask_at)
        patience = None if next_at == _NEVER else max(0.0, next_at - time.monotonic())
        readers = self._watched - ({self._inner} if self._queue.full else set())
        readers -= {KEYBOARD} if len(self._keys) > _KEYS_KEPT else set()
        writers = [self._queue.screen] * self._queue.waiting + [self._inner] * bool(self._keys)
        ready, writable, _ = select.select(list(readers), writers, [], patience)
        if self._bell in ready:
            for number in os.read(self._bell, 256):
                self._signalled(number)
        if KEYBOARD in ready:
            self._typed()
        if self._inner in writable:
            self._type_on()
        if self._inner in ready:
            self._painted()
        if self._queue.screen in writable:
            self._queue.pour()
        self._waited(time.monotonic())

    def _waited(self, now: float) -> None:
        if now >= self._ask_at:
            self._ask_for_all()
        if now >= self._give_up_at:
            self._give_up_at = _NEVER
            self._send(signal.SIGKILL)

    def _signalled(self, number: int) -> None:
        if number == signal.SIGWINCH:
            self._queue.put(self._owner.gate.wipe())
            self._paint_anew()
        elif number == signal.SIGCHLD:
            ended, status = os.waitpid(self._program, os.WNOHANG)
            if ended:
                self._status = os.waitstatus_to_exitcode(status)
        elif number == signal.SIGCONT:  # a shell has had the terminal meanwhile
            self._owner.take()
            self._paint_anew()
        elif number in ENDINGS:
            self._told_by = number
            self._stop(signal.Signals(number))

    def _stop(self, number: signal.Signals) -> None:
        self._send(number)
        if self._give_up_at == _NEVER:
            self._give_up_at = time.monotonic() + _PATIENCE

    def _send(self, number: signal.Signals) -> None:
        if self._status is None:
            os.kill(self._program, number)

    def _paint_anew(self) -> None:
        """The screen is black: have the program paint all of it again."""
        self._asked = 0
        self._ask_for_all()

    def _ask_for_all(self) -> None:
        """Show the program another size, since it paints all of its window only for one it has not painted for: the true one
        if it has another, else one that is a row lower, until all is painted. It may have missed one that was soon followed by
        the next. In a blackout nothing is waited for.
        """
        true = _size()
        last = self._asked == _ASKED_MOST or self._owner.gate.dark
        _resize(self._inner, true if last or _size(self._inner) != true else _lower(true))
        self._asked += 1
        self._ask_at = _NEVER if last else time.monotonic() + _PAINT_PATIENCE

    def _all_painted(self) -> bool:
        """Whether letters have come for half of the cells since all went black: wide ones take two cells, and what is painted
        beside is a few rows."""
        rows, columns, *_ = struct.unpack("HHHH", _size(self._inner))
        return bool(self._owner.gate.painted * 2 >= rows * columns)

    def _typed(self) -> None:
        if not select.select([KEYBOARD], [], [], 0)[0]:
            return  # taken back since it was looked at: a terminal that is taken anew forgets its keys
        try:
            came = os.read(KEYBOARD, 4096)
        except OSError:
            came = b""
        if came:
            self._keys += came
            self._type_on()
        else:  # the window is closed
            self._watched.discard(KEYBOARD)
            self._told_by = signal.SIGHUP
            self._stop(signal.SIGHUP)

    def _type_on(self) -> None:
        try:
            self._keys = self._keys[os.write(self._inner, self._keys) :]
        except BlockingIOError:
            return
        except OSError:
            self._keys = b""

    def _painted(self) -> int:
        """How many bytes were passed on; 0 when there is nothing now or nobody left to write."""
        try:
            came = os.read(self._inner, 65536)
        except BlockingIOError:
            return 0
        except OSError:
            came = b""
        if not came:
            self._watched.discard(self._inner)
            return 0
        gate = self._owner.gate
        level = gate.level
        try:
            self._queue.put(gate.feed(came))
        except Exception:  # whatever went wrong, what it was about is lost and never passed
            gate.forget()
        if gate.level != level and not gate.dark:
            self._paint_anew()
        elif self._ask_at != _NEVER and self._all_painted():
            self._ask_at = _NEVER
            _resize(self._inner, _size())
        return len(came)

    def _last_words(self) -> None:
        left = _LAST_WORDS
        while left > 0 and (came := self._painted()):
            left -= came
        self._queue.empty(_PATIENCE)


def _start(argv: list[str], environment: Mapping[str, str], size: bytes) -> tuple[int, int]:
    program, inner = os.forkpty()
    if program:
        _resize(inner, size)
        return program, inner
    try:
        _resize(0, size)
        lines = termios.tcgetattr(0)
        lines[3] &= ~(termios.ECHO | termios.ICANON)  # early keys are kept for the program and not shown
        termios.tcsetattr(0, termios.TCSANOW, lines)
        os.execvpe(argv[0], argv, dict(environment))
    except OSError as fault:
        os.write(2, f"{argv[0]}: {fault.strerror}\r\n".encode())
    finally:
        os._exit(127)


def _size(terminal: int = KEYBOARD) -> bytes:
    try:
        return fcntl.ioctl(terminal, termios.TIOCGWINSZ, bytes(8))
    except OSError:
        return struct.pack("HHHH", 24, 80, 0, 0)


def _lower(size: bytes) -> bytes:
    rows, *rest = struct.unpack("HHHH", size)
    return struct.pack("HHHH", rows - 1 or 2, *rest)


def _resize(terminal: int, size: bytes) -> None:
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, size)
