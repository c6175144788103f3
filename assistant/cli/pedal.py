"""`traycall pedal`: press your pedal; it says what it sends, whether holding can be seen, and remembers it.

Reads the keys as the session will: through the same parser, with the same reports asked of the terminal.
"""

import argparse
import contextlib
import os
import select
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

from assistant.buttons.pedal import Touch, keep, learned
from assistant.printing.options import on_terminal
from assistant.printing.text_out import complain, say_lines

if TYPE_CHECKING:
    from textual.message import Message

    from assistant.screens.keyparser import KeyParser

_SETTLED = 1_300
"""ms of quiet after which a pedal has sent all it will: longer than any gap before a first repeat."""
_PATIENCE = 60_000
"""ms in which a pedal has to be pressed once it is asked for: its lead may still be to be found."""
_ALONE = 50
"""ms: while an escape may be the beginning of something it is looked so often whether it stands alone (`KeyParser.tick`)."""
_ASK = "\x1b[>27u\x1b[?1000h\x1b[?1006h"
"""Report keys as the session asks for them (press, repeat, release, with their text), and the mouse buttons."""
_STOP = "ctrl+c"

KeyReader = Callable[[int], "tuple[int, str] | None"]
"""Waits at most so many ms: (moment in ms, what came), or None when nothing did."""


class NothingPressed(Exception):
    """No pedal was pressed, or the printer went away."""


def configure(parser: argparse.ArgumentParser) -> None:
    """The call has no words of its own."""


def run(args: argparse.Namespace) -> int:
    """Learn a pedal; 1 where there is no terminal or nothing was pressed."""
    if not on_terminal():
        complain("A pedal is heard as keys of a terminal: start `traycall pedal` in one.")
        return 1
    try:
        with _keys_raw() as read:
            learn(read, lambda words: say_lines([words]))
    except NothingPressed as error:
        complain(error)
        return 1
    return 0


def learn(read: KeyReader, say: Callable[[str], object]) -> None:
    """Ask for a short press and a long one, say what they show, and keep it."""
    from assistant.screens.keyparser import KeyParser

    parser = KeyParser()
    say_lines(["The light may be on for this. Press your pedal once and let it go. (Ctrl+C: leave it)"])
    short = _touches(read, parser)
    say(f"It sends {short[0].key}. Now press it again and keep it down for three seconds.")
    reports = any(touch.kind == "up" for touch in short)
    held = [touch for touch in _touches(read, parser, reports) if touch.key == short[0].key]
    if not held:
        raise NothingPressed("That was another key. Nothing was kept.")
    pedal = learned(held)
    say(pedal.described())
    say(f"Kept in {keep(pedal)}.")


def _touches(read: KeyReader, parser: "KeyParser", reports: bool = False) -> list[Touch]:
    """All touches from the first one until it has been quiet for long; where releases are reported, until that one."""
    found: list[Touch] = []
    waited, begun = _PATIENCE, 0
    while True:
        unfinished = parser.unfinished
        came = read(_ALONE if unfinished else waited)
        if came is None and not unfinished:
            break
        at, told = (begun, parser.tick()) if came is None else (came[0], parser.feed(came[1]))
        for touch in _read(told, begun if unfinished else at, at):
            if touch.key == _STOP:
                raise NothingPressed("Nothing was kept.")
            found.append(touch)
        begun = at
        still_down = reports and bool(found) and found[-1].kind != "up"
        waited = _SETTLED if found and not still_down else _PATIENCE
    if not found:
        raise NothingPressed("Nothing was pressed for a minute. Nothing was kept.")
    return found


def _read(told: "Iterable[Message]", first: int, at: int) -> Iterator[Touch]:
    """What was told, the first at the moment (ms) at which it began to come, all else at the last one."""
    from textual import events

    from assistant.screens.keyparser import KeyReport

    for event in told:
        if isinstance(event, events.Key):
            yield Touch(event.key, "down", first)
        elif isinstance(event, KeyReport):
            yield Touch(event.key, "again" if event.down else "up", first)
        elif isinstance(event, (events.MouseDown, events.MouseUp)):
            name = {1: "left", 2: "middle", 3: "right"}.get(event.button, "another")
            yield Touch(f"the {name} mouse button", "down" if isinstance(event, events.MouseDown) else "up", first)
        first = at


@contextlib.contextmanager
def _keys_raw() -> Iterator[KeyReader]:
    """The terminal's keys as they are, for a while; lines are printed as usual meanwhile."""
    import termios
    import tty

    from assistant.terminal.sequences import MODES_OFF

    lines = termios.tcgetattr(0)
    tty.setcbreak(0)
    raw = termios.tcgetattr(0)
    raw[0] &= ~termios.ICRNL
    raw[3] &= ~termios.ISIG
    termios.tcsetattr(0, termios.TCSAFLUSH, raw)
    _write(_ASK)
    try:
        yield _keys
    finally:
        _write(MODES_OFF)
        termios.tcsetattr(0, termios.TCSAFLUSH, lines)


def _keys(wait: int) -> tuple[int, str] | None:
    if not select.select([0], [], [], wait / 1000)[0]:
        return None
    came = os.read(0, 4096)
    return (time.monotonic_ns() // 1_000_000, came.decode("utf-8", "replace")) if came else None


def _write(text: str) -> None:
    sys.stdout.write(text)
    sys.stdout.flush()
