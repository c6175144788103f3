"""Where a sheet is: one value of one of these kinds, and nothing else says it.

A sheet lies in its box until the voice asks for it; from then on it counts as out, whatever becomes of the question.
What may follow what is in `changes`. Moments and spans are whole ms since the session began.
"""

from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True)
class InBox:
    """Nobody has asked for it yet."""

    step: int = 0


@dataclass(frozen=True)
class AskedFor:
    """Its paper was asked for at `since`: it may lie under the lamp, so white light would spoil it.

    `laid`: it does lie there, and its light had to wait.
    """

    since: int
    step: int = 0
    laid: bool = False


@dataclass(frozen=True)
class Waiting:
    """It has had a light at `since` and waits for `step`, or for the `run`th light of it.

    `carried`: it is on its way to a bath that begins by itself; else a hand begins what comes.
    """

    step: int
    run: int
    since: int
    carried: bool = False


@dataclass(frozen=True)
class InLight:
    """The count-in of the `run`th light of `step` began at `since`; the lamp follows it."""

    step: int
    run: int
    since: int


@dataclass(frozen=True)
class InBath:
    """It touched the bath of `step` at `since`; `target` is how long it is to stay (ms), None where a hand or an eye ends it."""

    step: int
    since: int
    target: int | None


@dataclass(frozen=True)
class Assumed(InBath):
    """It is taken to have gone in on its pip at `since`; until `until` a tap may still say that it goes in now."""

    until: int = 0


@dataclass(frozen=True)
class Called(InBath):
    """Its time was up at `over` and only a hand can move it on; from `alarm` the most that its bath allows is over too.

    It was called at `at`: later than its time where nobody heard its pip.
    """

    at: int = 0
    alarm: int = 0
    over: int = 0


@dataclass(frozen=True)
class Over:
    """It has nothing before it since `since`: `void`, a spoiled sheet, or the end of the last bath. `step` is where that was."""

    step: int
    since: int
    void: bool


Place: TypeAlias = InBox | AskedFor | Waiting | InLight | InBath | Over
