"""What can happen to a session: the printer's hand, the printer's word, and the machine's own sleep.

These are the inputs that the journal keeps; everything else is derived from them by replay. What the planner decides is
one of them, so that a replay never plans.
"""

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    from assistant.session.copy import Copy


@dataclass(frozen=True)
class Tap:
    """One tap of anything: it does the next thing. Said in words, it was meant `ago` ms ago, when the words began."""

    ago: int = 0


@dataclass(frozen=True)
class Void:
    """A sheet is spoiled; None is the copy in hand."""

    copy: int | None = None


@dataclass(frozen=True)
class Undo:
    """The last tap, void or correction did not happen."""


@dataclass(frozen=True)
class HoldPlan:
    """Begin no new copy until told to go on. Chemistry goes on."""


@dataclass(frozen=True)
class Go:
    """Go on with the plan."""


@dataclass(frozen=True)
class Moved:
    """The copy's last move was `ago` ms ago; None is the copy that moved last."""

    copy: int | None = None
    ago: int = 0


@dataclass(frozen=True)
class Note:
    """The printer's own words, kept with the moment; `sound` is the name of the file in which they were spoken, if any."""

    words: str
    sound: str = ""


@dataclass(frozen=True)
class SayAgain:
    """Repeat what was said last."""


@dataclass(frozen=True)
class HowLong:
    """Say where every copy is and how long it has."""


@dataclass(frozen=True)
class End:
    """End the session; the second one within ten seconds means it."""


@dataclass(frozen=True)
class Woke:
    """Nobody was listening from `since` (ms since the session began) until now: a crash, or a sleeping computer."""

    since: int


@dataclass(frozen=True)
class Reading:
    """A tray's temperature was read, in degrees Celsius."""

    tray: str
    celsius: float


@dataclass(frozen=True)
class Fresh:
    """A tray's bath was poured away and mixed anew."""

    tray: str


@dataclass(frozen=True)
class NewTime:
    """The base exposure of the sheets from one number to another, both among them, is so long (ms)."""

    first: int
    last: int
    ms: int


@dataclass(frozen=True)
class Another:
    """One more sheet is to be printed: of a print by its name, "" where there is one negative.

    `ms` is its base exposure, None for the print's own.
    """

    print: str = ""
    ms: int | None = None


@dataclass(frozen=True)
class Pick:
    """The strip to print by, counted from one."""

    strip: int


@dataclass(frozen=True)
class NextAsk:
    """Which hand is asked for next: of `copy`, to `step`, or its `run`th light; and from when to when (ms).

    `closes` None: it stays open. It closes only for baths in use, and never while none is. `soonest`: how long after the
    question what it asks for can have been done (ms).
    """

    copy: int
    step: int
    run: int
    opens: int
    closes: int | None = None
    soonest: int = 0


@dataclass(frozen=True)
class Planned:
    """What the planner makes of several copies on their way: told after a hand, kept, and never worked out again.

    `stays`: copy, step, and how long it stays there, ms. `rhythm`: step, and its turns' times after first touch, ms, for
    every copy. `turns`: copy, step, and times of its own in place of them. `anew`: the hands were too late for the order
    that was planned, and another was found. `offer`: when it is offered to go on one at a time, ms; None: it is not.
    """

    stays: tuple[tuple[int, int, int], ...] = ()
    rhythm: tuple[tuple[int, tuple[int, ...]], ...] = ()
    turns: tuple[tuple[int, int, tuple[int, ...]], ...] = ()
    ask: NextAsk | None = None
    anew: bool = False
    offer: int | None = None


@dataclass(frozen=True)
class Undone:
    """Where a hand was taken back: which sheets lie open since (copy, ms), and whether one of them is to be put back.

    `unheard`: sheets as they lay before the hand, whose pip would have come since: it was not called, so nobody acted on it.
    It stands in a bench's history alone, so that what is asked anew by an undo is asked anew by replay too. The journal keeps
    the undo itself.
    """

    out: tuple[tuple[int, int], ...] = ()
    put_back: bool = False
    unheard: "tuple[Copy, ...]" = ()


Happening: TypeAlias = (
    Tap | Void | Undo | HoldPlan | Go | Moved | Note | SayAgain | HowLong | End | Woke
    | Reading | Fresh | NewTime | Another | Pick | Planned | Undone
)  # fmt: skip

_KINDS = (
    Tap, Void, Undo, HoldPlan, Go, Moved, Note, SayAgain, HowLong, End, Woke, Reading, Fresh, NewTime, Another, Pick, Planned,
)  # fmt: skip
BY_NAME: dict[str, type[Any]] = {"hold" if kind is HoldPlan else kind.__name__.lower(): kind for kind in _KINDS}
"""The name that the journal keeps -> what happened; once written, a name is never given another meaning."""
_NAMES = {kind: name for name, kind in BY_NAME.items()}


def as_row(happening: Happening) -> tuple[str, dict[str, Any]]:
    """A happening as its name and plain values, for the journal."""
    return _NAMES[type(happening)], asdict(happening)
