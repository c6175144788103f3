"""Chemistry by name: a bottle or a working bath, what was said of it, and what went through it.

Sheets count by area, in sheets of 8x10 in. What a bath has left is worked out from what wore it: a sheet adds to the wear,
and a top-up takes away the share of the wear that was poured out with the old solution and adds the fresh volume.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Literal

from assistant.trade.quantities import Mix

Form = Literal["bottle", "bath"]
"""Stock in a bottle, or a working bath."""
# "drawn": taken out of a bottle; "used": sheets that went through it outside of a session
EventKind = Literal["topped up", "retired", "stood", "tested", "moved up", "used", "drawn"]


@dataclass(frozen=True)
class BathEvent:
    """What was said of a bath: when it was so, what, and its figures (ml; sheets of 8x10 in) or words."""

    at: datetime
    kind: EventKind
    details: dict[str, Any]


@dataclass(frozen=True)
class Bath:
    """A bottle or a working bath: volume in ml, `lasts` in sheets of 8x10 in a litre, `keeps` in days.

    What is None was not said; a recipe's tray may say it. `made`: mixed, or opened if a bottle.
    """

    number: int
    name: str
    form: Form
    what: str
    mix: Mix | None
    volume: int | None
    lasts: float | None
    keeps: int | None
    made: datetime
    events: tuple[BathEvent, ...] = ()

    def told(self, kind: EventKind) -> list[BathEvent]:
        """All that was said of one kind, by when it was so."""
        return sorted((event for event in self.events if event.kind == kind), key=lambda event: event.at)

    @property
    def retired(self) -> BathEvent | None:
        """When and why it was poured away; None while it is in use."""
        return next(iter(self.told("retired")), None)

    @property
    def drawn(self) -> float:
        """How much was taken out of a bottle to mix baths from, ml."""
        return sum(float(event.details["ml"]) for event in self.told("drawn"))

    @property
    def rotations(self) -> int:
        """How often a second fixing bath has taken the place of the first, counted along its line."""
        return max((int(event.details.get("rotation", 1)) for event in self.told("moved up")), default=0)


@dataclass(frozen=True)
class Placement:
    """Which bath, by its number, stood in a tray from a moment of a session (ms) on.

    `rank` counts the fixing baths of a recipe: in the second one sheets are counted but do not wear it, since the first
    takes up nearly all the silver.
    """

    tray: str
    from_ms: int
    bath: int
    rank: int = 1


@dataclass(frozen=True)
class BathUse:
    """Sheets that went through a bath at a moment: in 8x10 in, None where nobody wrote their size; whether they wore it."""

    at: datetime
    sheets: float | None
    wears: bool = True


@dataclass(frozen=True)
class InUse:
    """A bath as it stands: in which tray, sheets of 8x10 in through it, those of a size nobody wrote, and its wear.

    `volume` in ml and `takes` in sheets of 8x10 in, after all top-ups; None where they were not said. `pulled`: how long
    each print was in it (ms) that an eye pulled out of it, in their order.
    """

    bath: Bath
    tray: str
    through: float = 0.0
    unsized: int = 0
    wear: float = 0.0
    volume: float | None = None
    takes: float | None = None
    pulled: tuple[int, ...] = ()

    @property
    def left(self) -> float | None:
        """Sheets of 8x10 in that it still takes."""
        return None if self.takes is None else max(0.0, self.takes - self.wear)


def standing(bath: Bath, uses: Iterable[BathUse], until: datetime, tray: str = "") -> InUse:
    """A bath as it stood at a moment, after all that went through it since it was made."""
    volume = None if bath.volume is None else float(bath.volume)
    through, unsized, wear = 0.0, 0, 0.0
    by_hand = [BathUse(event.at, float(event.details["sheets"])) for event in bath.told("used")]
    tops = [event for event in bath.told("topped up") if bath.made <= event.at < until]
    passed = [one for one in (*uses, *by_hand) if bath.made <= one.at < until]
    happened: list[BathEvent | BathUse] = sorted([*passed, *tops], key=lambda one: (one.at, isinstance(one, BathEvent)))
    for one in happened:
        if isinstance(one, BathEvent):
            volume, wear = topped_up(volume or 0.0, wear, float(one.details["bled"]), float(one.details["fed"]))
        elif one.sheets is None:
            unsized += 1
        else:
            through += one.sheets
            wear += one.sheets if one.wears else 0.0
    takes = bath.lasts * volume / 1000 if bath.lasts and volume else None
    return InUse(bath, tray, through, unsized, wear, volume, takes)


def topped_up(volume: float, wear: float, bled: float, fed: float) -> tuple[float, float]:
    """Volume (ml) and wear after bleeding some of a well mixed bath and feeding fresh: c1 v1 = c2 v2."""
    kept = volume - bled
    return kept + fed, wear * kept / volume if volume else 0.0


def age(bath: Bath, at: datetime) -> timedelta:
    """How long ago it was made."""
    return at - bath.made
