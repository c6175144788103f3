"""The file that the program paints on: the only way to the terminal inside the program.

With a gate (no supervisor) everything is judged here; without one it is passed to the supervisor, who judges it.
"""

import io
import threading

from assistant.terminal.gate import Gate
from assistant.terminal.sluice import write_all


class Outlet(io.TextIOBase):
    """A text file over one terminal descriptor. Writes from several threads do not mingle; it cannot be closed."""

    def __init__(self, screen: int, gate: Gate | None) -> None:
        super().__init__()
        self._screen = screen
        self._gate = gate
        self._lock = threading.Lock()
        self._held: list[str] = []

    @property
    def encoding(self) -> str:  # type: ignore[override]
        """UTF-8, whatever the locale says."""
        return "utf-8"

    def write(self, text: str) -> int:
        """Take text; what the gate refuses is gone. A fault in the gate loses the text and never passes it."""
        with self._lock:
            if self._gate is None:
                self._held.append(text)
            else:
                try:
                    self._held.append(self._gate.feed(text))
                except Exception:
                    self._gate.forget()
        return len(text)

    def flush(self) -> None:
        """Write what is held; waits for a terminal that is not reading."""
        with self._lock:
            held, self._held = "".join(self._held), []
            if held:
                write_all(self._screen, held)

    def fileno(self) -> int:
        """The terminal's descriptor."""
        return self._screen

    def isatty(self) -> bool:
        """It is one."""
        return True

    def writable(self) -> bool:
        """It is."""
        return True

    def close(self) -> None:
        """Nothing: who made the descriptor closes it."""
