"""What a session's journal needs and gives: its clock, the mark where it last lived, and its entries, as frozen values.

Moments are whole ms since the session began; wall times carry their offset from UTC. Nothing here reads or writes.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
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
class LastAlive:
    """The last moment (ms since the session began) at which the program surely lived, and how to find it again.

    `origin` is when the session began, in nanoseconds of this `boot`.
    """

    at: int
    wall: datetime
    boot: str
    origin: int


@dataclass(frozen=True)
class Entry:
    """One happening, its moment in ms since the session began, and the wall clock then."""

    at: int
    happening: "Happening"
    wall: datetime


@dataclass(frozen=True)
class RawEntry:
    """One happening as its row stands in the file, whichever version of the program wrote it."""

    at: int
    wall: datetime
    name: str
    details: dict[str, Any]


def iso(wall: datetime) -> str:
    """A wall time as the records write it."""
    return wall.isoformat(timespec="milliseconds")


def moment(text: str) -> datetime:
    """What `iso` wrote; ValueError where it is no moment, or one without its zone, which no other could be compared with."""
    read = datetime.fromisoformat(text)
    if read.tzinfo is None:
        raise ValueError(f"{text!r} has no time zone")
    return read
