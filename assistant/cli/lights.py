"""`traycall lights`: the terminal's own colours again, after a session that was left in the dark. Cover all paper first."""

import argparse
import contextlib
import os
import sys
from collections.abc import Iterator

from assistant.printing.text_out import complain


def configure(parser: argparse.ArgumentParser) -> None:
    """The call has no words of its own."""


def run(args: argparse.Namespace) -> int:
    """Colours, screen, cursor, mouse and line settings as a shell expects them; 1 where there is no terminal."""
    from assistant.places import home
    from assistant.terminal.owner import give_back_colours, kept_colours
    from assistant.terminal.sequences import give_back

    with contextlib.ExitStack() as open_files:
        terminal = _terminal(open_files)
        if terminal is None:
            complain("There is no terminal here to light.")
            return 1
        os.write(terminal, give_back(console=os.environ.get("TERM") == "linux").encode())
        with _single_keys():
            give_back_colours(lambda text: os.write(terminal, text.encode()), kept_colours(home()))
        _lines_as_usual(terminal)
    return 0


@contextlib.contextmanager
def _single_keys() -> Iterator[None]:
    """The terminal's answers come as they are, and are not shown."""
    try:
        import termios
        import tty

        before = termios.tcgetattr(0)
        tty.setraw(0)
    except (ImportError, OSError, termios.error):
        yield
        return
    try:
        yield
    finally:
        termios.tcsetattr(0, termios.TCSADRAIN, before)


def _terminal(open_files: contextlib.ExitStack) -> int | None:
    """Standard output if it is a terminal, or the one that this process belongs to."""
    if sys.stdout.isatty():
        return sys.stdout.fileno()
    with contextlib.suppress(OSError):
        terminal = os.open("/dev/tty", os.O_RDWR | os.O_NOCTTY)
        open_files.callback(os.close, terminal)
        return terminal
    return None


def _lines_as_usual(terminal: int) -> None:
    """What a killed program may have left off: echo, lines, signals, line ends (as `stty sane`)."""
    with contextlib.suppress(ImportError, OSError):
        import termios

        try:
            settings = termios.tcgetattr(terminal)
            settings[0] |= termios.ICRNL | termios.IXON | termios.BRKINT
            settings[1] |= termios.OPOST | termios.ONLCR
            settings[3] |= termios.ECHO | termios.ECHOE | termios.ECHOK | termios.ICANON | termios.ISIG | termios.IEXTEN
            termios.tcsetattr(terminal, termios.TCSANOW, settings)
        except termios.error:
            return
