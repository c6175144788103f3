"""What a session's journal needs and gives: its clock, the mark where it last lived, and its entries, as frozen values.

Moments are whole ms since the session began; wall times carry their offset from UTC. What a row holds is made a value here,
and nothing else of it is read or written: ValueError where it is not as it was written.
"""

import json
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from pydantic import TypeAdapter

    from assistant.session.happenings import Happening

MOST_MS = 100 * 366 * 24 * 3_600_000
"""A century: no session lasts so long, and its last moment still has a date."""
_DEEPEST = 8
"""Values within values: what the planner decides, the deepest that is written, has four."""
_YEARS = range(1970, 3000)
"""From the first that a computer's clock shows; so long before the calendar's end that every moment of a session has a date."""


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
    if read.year not in _YEARS:
        raise ValueError(f"{text!r} is not what belongs there")
    return read


def bounded(value: int, most: int = MOST_MS) -> int:
    """A number that was counted or timed; ValueError where nobody can have counted so far."""
    if not -most <= value <= most:
        raise ValueError(f"{value} is not what belongs there")
    return value


def details(text: str) -> dict[str, Any]:
    """Plain values by their names, as they were written; ValueError where they are none, or one of them is out of all bounds."""
    try:
        found = json.loads(text)
    except RecursionError:
        raise ValueError("brackets within brackets are not what belongs there") from None
    if not isinstance(found, dict):
        raise ValueError(f"{text!r:.40} is not what belongs there")
    _check(found, _DEEPEST)
    return found


def _check(value: Any, deepest: int) -> None:
    if isinstance(value, int | float):
        bounded(value)  # type: ignore[arg-type]  # endless and no number at all are beyond it too
    elif isinstance(value, dict | list):
        if not deepest:
            raise ValueError("brackets within brackets are not what belongs there")
        for one in value.values() if isinstance(value, dict) else value:
            _check(one, deepest - 1)


def happened(name: str, text: str) -> "Happening":
    """The happening of an entry; KeyError for a name that this version does not know."""
    details(text)
    happening: Happening = _written(name).validate_json(text, strict=True)
    return happening


@cache
def _written(name: str) -> "TypeAdapter[Any]":
    from pydantic import TypeAdapter

    from assistant.session.happenings import BY_NAME

    return TypeAdapter(BY_NAME[name])
