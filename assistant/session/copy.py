"""One copy: a sheet's number, the one place where it is, and the stays it has behind it; and what a tray's thermometer said.

How it gets from place to place is in `changes`. Moments and spans are whole ms.
What follows from a place is worked out once for each copy: a promise asks for it hundreds of times.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from assistant.session.frozen import once, replace
from assistant.session.place import AskedFor, InBath, InBox, InLight, Over, Place

if TYPE_CHECKING:
    from assistant.recipe.model import Step

Verdict = Literal["good", "short", "long", "void"]
"""Whether a stay was as long as it should be; "void" once its sheet no longer counts."""

IN_BOX = InBox()
"""Where every sheet begins."""
DEVELOP_TOLERANCE = 0.05
"""A development that is off its time by more than this share of it is flagged: common practice, no source."""


@dataclass(frozen=True)
class TrayReading:
    """A tray's temperature at a moment (ms), degrees Celsius."""

    at: int
    tray: str
    celsius: float


@dataclass(frozen=True)
class Stay:
    """A copy's finished time in one step: first touch of its bath to first touch of the next, or the time of the light.

    `copy` counts from one, `step` from 0; `tray` is None under the light, `target_ms` where a hand or an eye ended it.
    """

    copy: int
    step: int
    kind: str
    name: str
    tray: str | None
    from_ms: int
    to_ms: int
    target_ms: int | None
    verdict: Verdict
    left_out: int = 0
    """Turns that nobody was called for, because the hands were not free."""

    @property
    def lasted(self) -> int:
        """How long it was, ms."""
        return self.to_ms - self.from_ms


@dataclass(frozen=True)
class Copy:
    """A sheet of the edition, by its number counted from one.

    `print` is which of several prints it is of, counted from 0; `base` its own base exposure (ms), None the print's.
    `asked` is when the question was said that its first hand answered, or that it was spoiled in (ms), None before that.
    """

    number: int
    place: Place = IN_BOX
    stays: tuple[Stay, ...] = ()
    print: int = 0
    base: int | None = None
    asked: int | None = None

    @once
    def step(self) -> int:
        """The step it is in or waits for; one past the last when it is done."""
        return self.place.step

    @once
    def live(self) -> bool:
        """Neither spoiled nor finished."""
        return not isinstance(self.place, Over)

    @once
    def void(self) -> bool:
        """It was spoiled and does not count."""
        return isinstance(self.place, Over) and self.place.void

    @once
    def done(self) -> bool:
        """It has come to the end of its last bath."""
        return isinstance(self.place, Over) and not self.place.void

    @once
    def boxed(self) -> bool:
        """Nothing has been done to it yet; its paper may have been asked for."""
        return isinstance(self.place, InBox | AskedFor)

    @once
    def bath(self) -> InBath | None:
        """Its place, if that is a bath."""
        return self.place if isinstance(self.place, InBath) else None

    @once
    def since(self) -> int | None:
        """Since when it has been in its bath or its light, ms; None where it is in neither."""
        return self.place.since if isinstance(self.place, InBath | InLight) else None

    @once
    def lit(self) -> int:
        """How many of its lights are over, a spoiled one too."""
        return sum(1 for stay in self.stays if stay.kind == "expose")

    @once
    def fixed_at(self) -> int | None:
        """When it went into the first fixer that it has behind it, ms; None where it has none."""
        return next((stay.from_ms for stay in self.stays if stay.kind == "fix"), None)

    @once
    def target(self) -> int | None:
        """How long it is to stay in its bath, ms; None where a hand or an eye ends that, or it is in no bath."""
        return self.place.target if isinstance(self.place, InBath) else None

    def at(self, place: Place) -> "Copy":
        """The copy in another place."""
        return Copy(self.number, place, self.stays, self.print, self.base, self.asked)

    def with_stay(self, step: "Step", begun: int, over: int, name: str = "", target: int | None = None) -> "Copy":
        """The copy with a stay in the step it is in behind it; it is still to be put somewhere else."""
        verdict = judge(step, over - begun, target)
        stay = Stay(self.number, self.step, step.kind, name or step.name, step.tray, begun, over, target, verdict)
        return replace(self, stays=(*self.stays, stay))

    def spoiled(self, at: int) -> "Copy":
        """The sheet no longer counts from a moment on (ms), and none of its stays does."""
        stays = tuple(replace(stay, verdict="void") for stay in self.stays)
        return replace(self, place=Over(self.step, at, void=True), stays=stays)


def judge(step: "Step", lasted: int, target: int | None) -> Verdict:
    """Whether a stay (ms) was as long as it should be: development within 5 %, soft baths from their least to their most."""
    if step.ends in ("light", "eye"):
        return "good"
    low: float | None = step.at_least
    high: float | None = step.at_most
    if step.kind == "develop" and target:
        room = target * DEVELOP_TOLERANCE
        low, high = target - room, target + room
    if low is not None and lasted < low:
        return "short"
    if high is not None and lasted > high:
        return "long"
    return "good"
