"""Text on its way to a terminal that may not be reading: a stalled line, a window that is being dragged.

The supervisor pours what goes and keeps the rest, so that keys and signals are heard meanwhile. A program that writes
for itself waits. A terminal that is gone swallows everything and harms nothing.
"""

import os
import select

FULL = 1 << 20
"""Bytes kept before the program is made to wait: minutes of a running session."""


def open_screen() -> int:
    """A descriptor for the terminal on standard output that never blocks and that no child inherits."""
    try:
        screen = os.open(os.ttyname(1), os.O_WRONLY | os.O_NOCTTY | os.O_NONBLOCK)  # flags of its own
    except OSError:
        screen = os.dup(1)
    os.set_inheritable(screen, False)
    return screen


def write_all(screen: int, text: str, patience: float | None = None) -> bool:
    """Write the whole text; False if the terminal is gone, or took nothing for `patience` seconds."""
    left = memoryview(text.encode("utf-8", "replace"))
    while left:
        try:
            if not select.select([], [screen], [], patience)[1]:
                return False
            left = left[os.write(screen, left) :]
        except BlockingIOError:
            continue
        except (OSError, ValueError):
            return False
    return True


class ScreenQueue:
    """A queue before a terminal."""

    def __init__(self, screen: int) -> None:
        self.screen = screen
        self._kept = bytearray()

    @property
    def waiting(self) -> bool:
        """Whether anything is kept."""
        return bool(self._kept)

    @property
    def full(self) -> bool:
        """Whether the program should wait."""
        return len(self._kept) > FULL

    def put(self, text: str) -> None:
        """Take text and pour what goes at once."""
        self._kept += text.encode("utf-8", "replace")
        self.pour()

    def pour(self) -> None:
        """Write what the terminal takes now."""
        try:
            while self._kept:
                del self._kept[: os.write(self.screen, self._kept[:65536])]
        except BlockingIOError:
            return
        except OSError:
            self._kept.clear()

    def empty(self, patience: float) -> None:
        """Wait until all is written, or until the terminal has taken nothing for `patience` seconds."""
        kept, self._kept = bytes(self._kept).decode("utf-8", "replace"), bytearray()
        write_all(self.screen, kept, patience)
