"""Whoever has the terminal: takes it black, speaks a few lines on it, leaves it dark or lights it again.

The gate is made here, since only who has asked the terminal knows how colours are written for it. A terminal that a guard
has had and nobody has lit since is left as dark as it was found, whatever happens.
"""

import json
import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType

from assistant.terminal import sequences
from assistant.terminal.brightness import DEFAULT, LEVELS, peak
from assistant.terminal.capabilities import (
    COLOURS,
    QUESTIONS,
    CantBeDark,
    Colours,
    Terminal,
    ask,
    by_name,
    colours_in,
    declared,
    settled,
    understood,
)
from assistant.terminal.colours import TEXT, drawable
from assistant.terminal.gate import Gate
from assistant.terminal.screen_queue import open_screen, write_all

KEYBOARD = 0
"""The descriptor of standard input."""
_PATIENCE = 2.0
"""A screen that takes nothing is waited for so long (seconds): its window may be stopped, and the program goes on."""
ENDINGS = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT, signal.SIGQUIT) if hasattr(signal, "SIGHUP") else ()
"""Signals that ask for an end; none where a system has no terminals to guard."""


class Owner:
    """Has the terminal on standard input and output, raw, with all of it black.

    `folder` is where the terminal's own colours are kept until they are given back, perhaps by another process. CantBeDark
    where there is no terminal, or it can't be made dark: it is then as it was found.
    """

    def __init__(self, level: str, key: str, folder: Callable[[], Path] | None = None) -> None:
        peak(level)
        likely = _likely()
        import termios
        import tty

        self.screen = open_screen()
        self.terminal = likely
        self.gate = Gate(likely.kind, level, key, likely.console)
        self.found_dark = False
        """Whether a guard had the terminal before and nobody has lit it since."""
        self._before: Colours = {}
        self._kept: Path | None = None
        self._lines = termios.tcgetattr(KEYBOARD)
        for number in ENDINGS:
            signal.signal(number, self._end)
        tty.setraw(KEYBOARD, termios.TCSAFLUSH)
        self.write(("" if likely.console else COLOURS) + sequences.first(likely.console))
        with self.lit_on_fault():
            if not likely.console:
                self._find_out(likely, level, folder)
        self.gate = Gate(self.terminal.kind, self.gate.level, key, self.terminal.console, self.terminal.keyboard)
        self.take()

    def _find_out(self, likely: Terminal, level: str, folder: Callable[[], Path] | None) -> None:
        answers = understood(ask(self.write, _typed, KEYBOARD, QUESTIONS))
        self._kept = _kept_in(folder()) if folder else None
        told = answers is not None and bool(answers.before)
        left = self._kept is not None and self._kept.exists()  # what was kept is forgotten when the terminal is lit
        self.found_dark = answers.taken if answers is not None and told else left
        if self.found_dark:
            self.write(sequences.POP)  # once is enough: below it lie the colours that are to be given back
            self.gate.level = "blackout" if answers and answers.blacked_out and level == DEFAULT else level
            self._before = _read_kept(self._kept)
        else:
            self._before = declared(answers.before, os.environ) if answers is not None else {}
            _keep(self._kept, self._before)
        self.terminal = settled(likely, answers)

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
        """What goes wrong meanwhile is to be read: in the light, or in red on a terminal that was found dark."""
        try:
            yield
        except BaseException:
            self.leave()
            raise

    def leave(self) -> None:
        """Go without a session: the terminal is as it was found, ready for a sentence; line settings too."""
        if self.found_dark:
            self.gate.level = self.gate.level if self.gate.level == "blackout" else DEFAULT
            self.take()
            self.resign()
        else:
            self.light()

    def resign(self) -> None:
        """Leave it dark for a shell: its prompt lands in red."""
        self.write(sequences.resign(self._red))
        self._line_settings_back()

    def light(self) -> None:
        """Lights on: the terminal as it was."""
        self.write(sequences.give_back(self.terminal.console))
        give_back_colours(self.write, self._before)
        if self._kept is not None:
            self._kept.unlink(missing_ok=True)
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


def give_back_colours(write: Callable[[str], object], before: Colours) -> None:
    """Set what the terminal's own resets did not bring back; asks it first, so its keys must come one by one."""
    if before:
        write(sequences.set_again(before, colours_in(ask(write, _typed, KEYBOARD, COLOURS + "\x1b[c"))))


def kept_colours(folder: Path) -> Colours:
    """The colours of this terminal as a guard found them, which are forgotten; {} where there is nothing to give back."""
    kept = _kept_in(folder)
    found = _read_kept(kept)
    if kept is not None:
        kept.unlink(missing_ok=True)
    return found


def _kept_in(folder: Path) -> Path | None:
    try:
        return folder / f"colours{os.ttyname(KEYBOARD).replace('/', '-')}.json"
    except OSError:
        return None


def _keep(kept: Path | None, colours: Colours) -> None:
    if kept is not None:
        with suppress(OSError):  # without it another process gives back what the terminal's own resets bring
            kept.write_text(json.dumps(colours), encoding="utf-8")


def _read_kept(kept: Path | None) -> Colours:
    """Only numbers are taken from the file: it is written to a terminal."""
    with suppress(OSError, ValueError, TypeError, AttributeError):
        if kept is not None:
            found = json.loads(kept.read_text(encoding="utf-8"))
            return {
                number: (int(red) & 255, int(green) & 255, int(blue) & 255)
                for number, (red, green, blue) in found.items()
                if number.replace(";", "").isdecimal()
            }
    return {}


def _typed() -> bytes:
    return os.read(KEYBOARD, 4096)


def _likely() -> Terminal:
    if os.name != "posix":
        raise CantBeDark("On this system traycall cannot keep the terminal dark: add --plain, which shows text and is not dark.")
    if not (os.isatty(KEYBOARD) and os.isatty(1)):
        raise CantBeDark("There is no terminal here to keep dark: start traycall in one, or add --plain.")
    return by_name(os.environ)
