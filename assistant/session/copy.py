"""One copy: a small frozen record of where a sheet is, and the stays it has behind it.

What may happen to it is in `rules`; what time does to it is in `bench`. Moments and spans are whole ms.
"""

from dataclasses import dataclass, replace
from typing import Literal

from assistant.recipe.model import Develop, Expose, Hold, Step, Tone

Verdict = Literal["good", "short", "long", "void"]

DEVELOP_TOLERANCE = 0.05
"""A development this much off its time is flagged: common practice, no source."""


@dataclass(frozen=True)
class Stay:
    """A copy's finished time in one step: first touch of its bath to first touch of the next, or the time of the light."""

    copy: int
    step: int
    kind: str
    name: str
    tray: str | None
    from_ms: int
    to_ms: int
    target_ms: int | None
    verdict: Verdict

    @property
    def lasted(self) -> int:
        """How long it was, ms."""
        return self.to_ms - self.from_ms


@dataclass(frozen=True)
class Copy:
    """Where a sheet is.

    `since` None: it waits for the hand that begins `step`. `target`: how long the stay is to last, None if a hand ends
    it. `moved`: when it came here on its pip, while a tap may still say "now". `called`: its time is up and it waits
    for a hand, with the moment at which that becomes an alarm.
    """

    number: int
    step: int = 0
    run: int = 0
    since: int | None = None
    target: int | None = None
    moved: int | None = None
    called: int | None = None
    stays: tuple[Stay, ...] = ()
    void: bool = False
    done: bool = False

    @property
    def live(self) -> bool:
        """Neither spoiled nor finished."""
        return not (self.void or self.done)

    @property
    def boxed(self) -> bool:
        """Nothing has been done to it yet."""
        return self.live and self.since is None and not self.stays

    def enter(self, step: int, at: int, target: int | None, assumed: bool = False) -> "Copy":
        """It touches the bath of `step` at `at`."""
        return replace(self, step=step, run=0, since=at, target=target, moved=at if assumed else None, called=None)

    def leave(self, step: Step, at: int, name: str | None = None, began: int | None = None) -> "Copy":
        """Its stay ends at `at`; `began` where that is not `since` (the lamp comes on after the count-in)."""
        assert self.since is not None
        since = self.since if began is None else began
        tray = None if isinstance(step, Expose) else step.tray
        stay = Stay(
            self.number,
            self.step,
            step.kind,
            name or step.name,
            tray,
            since,
            at,
            self.target,
            judge(step, at - since, self.target),
        )
        return replace(self, since=None, target=None, moved=None, called=None, stays=(*self.stays, stay))

    def spoil(self) -> "Copy":
        """The sheet no longer counts, and none of its stays does."""
        stays = tuple(replace(stay, verdict="void") for stay in self.stays)
        return replace(self, void=True, since=None, target=None, moved=None, called=None, stays=stays)


def judge(step: Step, lasted: int, target: int | None) -> Verdict:
    """Whether a stay was as long as it should be. Development is held to 5 %, soft baths to their least and most."""
    if isinstance(step, Expose | Tone):
        return "good"
    if isinstance(step, Develop):
        room = (target or 0) * DEVELOP_TOLERANCE
        low, high = (target - room, target + room) if target else (None, step.at_most)
    else:
        low, high = (None if isinstance(step, Hold) else step.at_least), step.at_most
    if low is not None and lasted < low:
        return "short"
    if high is not None and lasted > high:
        return "long"
    return "good"
