"""Textual's driver for terminals (8.2.8), reading the keyboard through `KeyParser` and asleep until something comes.

Textual's own looks ten times a second whether keys have come, which costs a sixth of all that a session takes of a
processor, and a byte that is no text ends the thread in which it reads.
"""

import codecs
import os
import select
import threading

from textual.app import App
from textual.drivers.linux_driver import LinuxDriver

from assistant.screens.keyparser import KeyParser

TICK = 0.1
"""Seconds between two looks while something is begun that may never be ended: as Textual's own driver looks."""


class _Ending(threading.Event):
    """An end that wakes whoever waits for something to be read."""

    def __init__(self) -> None:
        super().__init__()
        self.told, self._tell = os.pipe()

    def __del__(self) -> None:
        os.close(self.told)
        os.close(self._tell)

    def set(self) -> None:
        """Tell it."""
        super().set()
        os.write(self._tell, b"\n")


class Keyboard(LinuxDriver):
    """A terminal's keys, whatever bytes come."""

    def __init__(self, app: App[object], *, debug: bool = False, mouse: bool = True, size: tuple[int, int] | None = None) -> None:
        super().__init__(app, debug=debug, mouse=mouse, size=size)
        self.exit_event = self._ending = _Ending()

    def run_input_thread(self) -> None:
        """Pass on what is read, until the input is disabled or the terminal is gone."""
        told = self._ending.told
        parser, letters = KeyParser(self._debug), codecs.getincrementaldecoder("utf-8")("replace")
        while not self.exit_event.is_set():
            ready = select.select([self.fileno, told], [], [], TICK if parser.unfinished else None)[0]
            if told in ready:
                os.read(told, 1)
            if self.fileno in ready:
                came = os.read(self.fileno, 4096)
                if not came:
                    return
                text = letters.decode(came)  # "" where a letter is not whole yet; to the parser that is the end
                for message in parser.feed(text) if text else ():
                    self.process_message(message)
            for message in parser.tick():
                self.process_message(message)
