"""The words of the records: what is kept of a session, of a happening and of a bath, as frozen values.

Moments are whole ms since the session began; wall times carry their offset from UTC. Nothing here reads or writes.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from assistant.session.happenings import Happening


class Dated(Protocol):
    """A session's clock, as far as the records need one."""

    @property
    def boot(self) -> str:
        """What names this boot of the computer."""
        ...

    @property
    def origin(self) -> int:
        """When the session began, in this boot's nanoseconds."""
        ...

    def wall(self) -> datetime:
        """The wall clock, with its offset from UTC."""
        ...


@dataclass(frozen=True)
class Mark:
    """The last moment (ms since the session began) at which the program surely lived, and how to find it again."""

    at: int
    wall: datetime
    boot: str
    origin: int


@dataclass(frozen=True)
class Session:
    """One session as it was begun, its recipe's whole text frozen with it.

    `lived` is the last moment at which the program surely ran, `ended` when the printer ended it (None: not yet).
    """

    number: int
    started: datetime
    title: str
    file: str
    recipe: str
    copies: int
    program: str
    lived: int = 0
    ended: int | None = None
    ended_wall: datetime | None = None

    @property
    def ended_by(self) -> datetime:
        """The last moment at which anything surely happened in it."""
        return self.started + timedelta(milliseconds=self.lived)


@dataclass(frozen=True)
class Entry:
    """One happening, its moment in ms since the session began, and the wall clock then."""

    at: int
    happening: Happening
    wall: datetime


@dataclass(frozen=True)
class Mixing:
    """The printer's word that the bath in a tray was mixed anew at a moment."""

    tray: str
    mixed: datetime
