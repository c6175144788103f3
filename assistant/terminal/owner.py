"""Whoever has the terminal: takes it black, speaks a few lines on it, leaves it dark or lights it again.

The gate is made here, since only who has asked the terminal knows how colours are written for it.
"""

import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from assistant.terminal import sequences
from assistant.terminal.brightness import LEVELS, peak
from assistant.terminal.capabilities import Answers, Refused, Terminal, ask, by_name, settled
from assistant.terminal.colours import TEXT, drawable
from assistant.terminal.gate import Gate
from assistant.terminal.screen_queue import open_screen, write_all

KEYBOARD = 0
_PATIENCE = 2.0
ENDINGS = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT, signal.SIGQUIT) if hasattr(signal, "SIGHUP") else ()


class Owner:
    """Has the terminal on standard input and output, raw, with all of it sequences."""

    def __init__(self, level: str, key: str) -> None:
        peak(level)
        likely = _likely()
        import termios
        import tty

        self.screen = open_screen()
        self.terminal = likely
        self.gate = Gate(likely.kind, level, key, likely.console)
        self._lines = termios.tcgetattr(KEYBOARD)
        for number in ENDINGS:
            signal.signal(number, self._end)
        self.write(sequences.first(likely.console))
        tty.setraw(KEYBOARD, termios.TCSAFLUSH)
        with self.lit_on_fault():
            self.terminal = settled(likely, None if likely.console else self._ask())
        self.gate = Gate(self.terminal.kind, level, key, self.terminal.console)
        self.take()

    def _ask(self) -> Answers | None:
        return ask(self.write, lambda: os.read(KEYBOARD, 4096), KEYBOARD)

    @property
    def _peak(self) -> int:
        return LEVELS[self.gate.level]

    def write(self, text: str) -> bool:
        """Write what is known to be safe; False if the terminal does not take it."""
        return write_all(self.screen, text, _PATIENCE)

    def take(self) -> None:
        """All black, keys raw, at the gate's level; again after another program had the terminal."""
        import tty

        tty.setraw(KEYBOARD)
        self.gate.forget()
        self.write(sequences.take(self.terminal.kind, self._peak, self.terminal.console))

    def say(self, *lines: str, keep: bool = False) -> None:
        """Lines in red on an otherwise black screen, or below what is there; nothing at all in a blackout."""
        self.gate.forget()
        self.write(sequences.MODES_OFF + ("" if keep else sequences.wipe(self.terminal.kind)))
        if not self.gate.dark:
            self.write(self._red + "\r\n" + "".join(f"\r\n  {drawable(line)}" for line in lines))

    def echo(self, line: str) -> None:
        """What has been typed on the last line."""
        if not self.gate.dark:
            self.write(f"{self._red}\r  {drawable(line)}\x1b[K")

    @property
    def _red(self) -> str:
        return sequences.ink(self.terminal.kind, self._peak, TEXT, 0)

    @contextmanager
    def lit_on_fault(self) -> Iterator[None]:
        """What goes wrong meanwhile is to be read: lights on for it."""
        try:
            yield
        except BaseException:
            self.light()
            raise

    def resign(self) -> None:
        """Leave it dark for a shell: its prompt lands in red."""
        cursor = self.terminal.obeys and not self.gate.dark
        self.write(sequences.resign(self._red, cursor))
        self._line_settings_back()

    def light(self) -> None:
        """Lights on: the terminal as it was."""
        self.write(sequences.give_back(self.terminal.console))
        self._line_settings_back()
        for number in ENDINGS:
            signal.signal(number, signal.SIG_DFL)

    def _line_settings_back(self) -> None:
        import termios

        try:
            termios.tcsetattr(KEYBOARD, termios.TCSAFLUSH, self._lines)
        except termios.error:
            return  # the terminal is gone

    def _end(self, number: int, _frame: FrameType | None) -> None:
        """Wherever a signal finds this process, the terminal is left dark first."""
        self.resign()
        os._exit(128 + number)


def _likely() -> Terminal:
    if os.name != "posix":
        raise Refused("On this system traycall cannot keep the terminal dark: add --plain, which shows text and is not dark.")
    if not (os.isatty(KEYBOARD) and os.isatty(1)):
        raise Refused("There is no terminal here to keep dark: start traycall in one, or add --plain.")
    return by_name(os.environ)
