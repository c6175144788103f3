"""A printed session: its sheets with their true times, what was said and read, and the recipe it was printed from.

These are values as they were written when they came about. Nothing here reads, writes, or judges a time again.
Moments and spans are whole ms since the session began; wall times carry their offset from UTC.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:  # what was left unfinished is looked for before anything is seen
    from assistant.history.baths import InUse, Placement
    from assistant.recipe.model import Recipe
    from assistant.session.copy import Stay, TrayReading

State = Literal["void", "done", "not begun", "not finished"]
"""What became of a sheet."""


@dataclass(frozen=True)
class Session:
    """One session as it was begun, its recipe's whole text frozen with it.

    `rules` is the number of the rules it was printed by, `lived` the last moment at which the program surely ran,
    `ended` when the printer ended it (None: not yet).
    """

    number: int
    started: datetime
    title: str
    file: str
    recipe: str
    copies: int
    program: str
    rules: int
    lived: int = 0
    ended: int | None = None
    ended_wall: datetime | None = None

    @property
    def ended_by(self) -> datetime:
        """The last moment at which anything surely happened in it."""
        return self.wall(self.lived)

    def wall(self, ms: int) -> datetime:
        """A moment by the wall clock that was right when the session began."""
        return self.started + timedelta(milliseconds=ms)


@dataclass(frozen=True)
class Within:
    """A stay that has begun and not ended: the step (from 0), since when, and how long it was to last, ms (None: open)."""

    step: int
    kind: str
    name: str
    tray: str | None
    since: int
    target_ms: int | None


@dataclass(frozen=True)
class Sheet:
    """One sheet of the edition: what became of it, its finished stays in order, and the one it was in at the end.

    `print` is the name of the one of several prints that it is of, "" where there is one. `untoned`: kept to compare with.
    """

    number: int
    state: State
    stays: "tuple[Stay, ...]" = ()
    within: Within | None = None
    untoned: bool = False
    print: str = ""

    @property
    def touched(self) -> dict[str, int]:
        """Tray -> when this sheet first touched its bath, ms."""
        first: dict[str, int] = {}
        for stay in self.stays:
            if stay.tray is not None:
                first.setdefault(stay.tray, stay.from_ms)
        if self.within is not None and self.within.tray is not None:
            first.setdefault(self.within.tray, self.within.since)
        return first


@dataclass(frozen=True)
class Course:
    """How a session went: its sheets by number, first visible tones (copy, ms), readings, notes, the strip picked."""

    sheets: tuple[Sheet, ...] = ()
    first_tones: tuple[tuple[int, int], ...] = ()
    readings: "tuple[TrayReading, ...]" = ()
    notes: tuple[tuple[int, str], ...] = ()
    picked: int | None = None

    @property
    def stays(self) -> "tuple[Stay, ...]":
        """Every finished stay of every sheet, by their beginning."""
        return tuple(sorted((s for sheet in self.sheets for s in sheet.stays), key=lambda s: (s.from_ms, s.copy)))

    @property
    def toned(self) -> "tuple[Stay, ...]":
        """The stays in the toner in the order they began, along which the bath tired; spoiled prints left out."""
        return tuple(stay for stay in self.stays if stay.kind == "tone" and stay.verdict != "void")

    @property
    def untoned(self) -> tuple[int, ...]:
        """The copies kept untoned, to compare with."""
        return tuple(sheet.number for sheet in self.sheets if sheet.untoned)

    @property
    def left(self) -> tuple[tuple[Sheet, Within], ...]:
        """Sheets that were still in a bath where the record ends, and in which."""
        return tuple((sheet, sheet.within) for sheet in self.sheets if sheet.within is not None)

    @property
    def prints(self) -> dict[str, list[Sheet]]:
        """The sheets of each of several prints, by its name; empty where there is one."""
        found: dict[str, list[Sheet]] = {}
        for sheet in self.sheets:
            if sheet.print:
                found.setdefault(sheet.print, []).append(sheet)
        return found

    @property
    def counted(self) -> dict[State, int]:
        """What became of the sheets, and of how many."""
        states = [sheet.state for sheet in self.sheets]
        return {state: states.count(state) for state in states}


@dataclass(frozen=True)
class Remark:
    """A note added afterwards, of a session or one of its copies: a look at the dry print, and who has it."""

    copy: int | None
    entered: datetime
    judged: Literal["pass", "fail"] | None
    words: str
    holder: str


@dataclass(frozen=True)
class Printed:
    """A session and how it went.

    `recipe` is None where this version can't read its text any more; `trouble` says so, and why the course is missing
    where it is. `unattended`: from when to when nobody was called. `placements`: which named bath stood in which tray;
    `baths`: those, as they stood before the session. `remarks`: what was added afterwards.
    """

    session: Session
    course: Course
    recipe: "Recipe | None" = None
    unattended: tuple[tuple[int, int], ...] = ()
    placements: "tuple[Placement, ...]" = ()
    baths: "tuple[InUse, ...]" = ()
    remarks: tuple[Remark, ...] = ()
    trouble: str = ""

    @property
    def called(self) -> str:
        """What one of what was printed is called, "copy" or "sheet"."""
        return self.recipe.called if self.recipe else "copy"

    @property
    def kept(self) -> tuple[Sheet, ...]:
        """The prints of the edition: sheets that were finished, without those that were judged no good afterwards."""
        return tuple(sheet for sheet in self.course.sheets if sheet.state == "done" and self._judged(sheet) != "fail")

    def _judged(self, sheet: Sheet) -> str | None:
        """The last judgement of a sheet; one of the session is of all its sheets."""
        of_it = [remark for remark in self.remarks if remark.judged and remark.copy in (None, sheet.number)]
        return of_it[-1].judged if of_it else None

    @property
    def until(self) -> int:
        """The moment at which this record ends, ms."""
        return self.session.lived if self.session.ended is None else self.session.ended

    @property
    def baths_changed(self) -> "tuple[Placement, ...]":
        """Baths that came into a tray while it was printed: mixed fresh, or another one that was put there."""
        return tuple(one for one in self.placements if 0 < one.from_ms <= self.until)
