"""The program's own hand on the brightness of its screen."""

from assistant.terminal.channel import request
from assistant.terminal.levels import peak
from assistant.terminal.outlet import Outlet


class Light:
    """How bright the screen is now, and what could not be proved of it (one sentence, "" when all was)."""

    def __init__(self, outlet: Outlet, key: str, level: str, caution: str) -> None:
        self.level = level
        self.caution = caution
        self._outlet = outlet
        self._key = key

    def show(self, level: str) -> None:
        """Change to a level of `LEVELS`. The screen is black at once; paint everything anew afterwards (bar `blackout`)."""
        peak(level)
        self.level = level
        self._outlet.write(request(self._key, level))
        self._outlet.flush()
