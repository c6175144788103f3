"""The supervisor: holds the real terminal and runs the program on an inner one, through the gate.

The program never has the real terminal in hand, so neither a crash nor a kill nor a library that writes where it
should not can light it. When the program is over the terminal stays dark until `lights` is typed.
"""

import codecs
import contextlib
import fcntl
import os
import pty
import select
import signal
import struct
import termios
import tty
from collections.abc import Iterator, Mapping
from types import FrameType

from assistant.terminal import black, channel, inks, ownership
from assistant.terminal.gate import Gate
from assistant.terminal.levels import peak
from assistant.terminal.pen import TEXT

_SIZE = "HHHH"


def guard(argv: list[str], kind: str, level: str) -> int:
    """Run a program behind the gate; its exit code, or 128 and the number of the signal that ended it."""
    key = channel.new_key()
    gate = Gate(kind, level, key)
    _write(black.first() + ownership.take(kind, peak(level)))
    pid, inner = _start(argv, key)
    with _raw(), _signals(pid, inner) as ended:
        _pass_on(gate, inner)
        _, status = os.waitpid(pid, 0)
        code = os.waitstatus_to_exitcode(status)
        if not ended:
            _wait_for_lights(kind, gate.level, code)
        else:
            _write(ownership.resign(kind, peak(gate.level), cursor=True))
    return code if code >= 0 else 128 - code


def _start(argv: list[str], key: str) -> tuple[int, int]:
    environment = _environment(os.environ, key)
    size = fcntl.ioctl(0, termios.TIOCGWINSZ, b"\0" * 8)
    pid, inner = pty.fork()
    if pid == 0:
        try:
            os.execvpe(argv[0], argv, environment)
        finally:
            os._exit(127)
    fcntl.ioctl(inner, termios.TIOCSWINSZ, size)
    return pid, inner


def _environment(outer: Mapping[str, str], key: str) -> dict[str, str]:
    kept = {name: value for name, value in outer.items() if name != "NO_COLOR" and not name.startswith("TEXTUAL")}
    return {**kept, "COLORTERM": "truecolor", channel.GATE: f"{os.getpid()}:{key}"}


@contextlib.contextmanager
def _raw() -> Iterator[None]:
    before = termios.tcgetattr(0)
    try:
        tty.setraw(0)
        yield
    finally:
        termios.tcsetattr(0, termios.TCSANOW, before)


@contextlib.contextmanager
def _signals(pid: int, inner: int) -> Iterator[list[int]]:
    """Window sizes and ends are passed on; the list is filled by the signal that ended us."""
    ended: list[int] = []

    def resized(number: int, frame: FrameType | None) -> None:
        with contextlib.suppress(OSError):
            fcntl.ioctl(inner, termios.TIOCSWINSZ, fcntl.ioctl(0, termios.TIOCGWINSZ, struct.pack(_SIZE, 0, 0, 0, 0)))

    def end(number: int, frame: FrameType | None) -> None:
        ended.append(number)
        with contextlib.suppress(ProcessLookupError):
            os.kill(pid, signal.SIGTERM)

    handlers = {signal.SIGWINCH: resized, signal.SIGTERM: end, signal.SIGHUP: end}
    before = {number: signal.signal(number, handler) for number, handler in handlers.items()}
    try:
        yield ended
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _pass_on(gate: Gate, inner: int) -> None:
    decoder = codecs.getincrementaldecoder("utf-8")("replace")
    sources = [0, inner]
    while True:
        ready, _, _ = select.select(sources, [], [])
        if 0 in ready:
            typed = os.read(0, 4096)
            if typed:
                os.write(inner, typed)
            else:
                sources = [inner]
        if inner in ready:
            try:
                shown = os.read(inner, 65536)
            except OSError:
                shown = b""
            if not shown:
                return
            _write(_gated(gate, decoder.decode(shown)))


def _gated(gate: Gate, text: str) -> str:
    """What may leave; on a fault of the gate the piece is lost, never passed."""
    try:
        return gate.feed(text)
    except Exception:
        gate.forget()
        return ""


def _wait_for_lights(kind: str, level: str, code: int) -> None:
    """One red line, and dark until the word is typed."""
    why = "The session is over." if code == 0 else f"The program ended with {code}: traycall run --resume goes on."
    ceiling = peak("paper" if level == "blackout" else level)
    _write(ownership.MODES_OFF + ownership.wipe(kind) + inks.ink(kind, ceiling, TEXT, 0))
    _write(f"\x1b[2;3H{why}\x1b[4;3HCover all paper, then type lights and press Enter.")
    typed = ""
    while (letter := os.read(0, 1)) != b"":
        if letter in b"\r\n":
            if typed == "lights":
                break
            typed = ""
        else:
            typed = (typed + letter.decode("latin-1"))[-32:]
    _write(ownership.give_back())


def _write(text: str) -> None:
    left = text.encode()
    while left:
        left = left[os.write(1, left) :]
