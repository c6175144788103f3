"""A cue: one thing heard at one moment. The table of kinds says how each sounds and what gives way to what.

A cue knows no samples and no device. `words` are spoken, the kind's `tone` is a sound of the palette. With an
*act-now* kind the tone commands and its onset is the moment; words, if any, have ended by then.
"""

from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple


class Rank(IntEnum):
    """What gives way: a lower rank never delays a higher one."""

    TICK = 0
    """Ducks under speech, is left out rather than moved."""
    CHATTER = 1
    """Waits its turn, dropped once stale."""
    WARNING = 2
    """May be said a little earlier, never after its moment."""
    ACT = 3
    """On its instant, whatever else is going on."""


@dataclass(frozen=True)
class Sound:
    """How a kind of cue sounds: the tone's name in the palette (none: words only) and its rank."""

    tone: str | None
    rank: Rank


KINDS: dict[str, Sound] = {
    "ask": Sound(None, Rank.CHATTER),  # a hand is wanted: "copy two of eight. place paper"
    "tell": Sound(None, Rank.CHATTER),  # worth knowing, nothing to do
    "call": Sound(None, Rank.WARNING),  # half way, ten seconds, the recipe's own words
    "look": Sound("look", Rank.WARNING),  # look at the print now, and where
    "safe": Sound(None, Rank.WARNING),  # white light is safe
    "agitate": Sound("agitate", Rank.CHATTER),
    "water": Sound("water", Rank.CHATTER),  # change the water
    "tick": Sound("tick", Rank.TICK),
    "tenth": Sound("tenth", Rank.TICK),  # every tenth second
    "count": Sound("count", Rank.ACT),  # three, two, one
    "start": Sound("start", Rank.ACT),  # light on the paper
    "move": Sound("move", Rank.ACT),  # the strip's card
    "shade": Sound("shade", Rank.ACT),  # begin or end to dodge
    "end": Sound("end", Rank.ACT),  # light off
    "lift": Sound("lift", Rank.ACT),  # out of the bath, drain
    "pip": Sound("now", Rank.ACT),  # into the next tray
    "over": Sound("over", Rank.ACT),  # past its most, or a pip went unheard
    "heard": Sound("heard", Rank.ACT),  # a tap was taken
    "refused": Sound("refused", Rank.ACT),  # it was not, and why
    "wait": Sound("refused", Rank.ACT),  # it has to wait, and for what
}
"""Kind -> how it sounds. The words of every cue are made in `words`."""


class Cue(NamedTuple):
    """One thing heard: its moment in whole ms since the session began, kind, words, and whose it is.

    `copy` is None for what concerns the whole bench; `step` is the kind of step ("develop"), "" for none.
    """

    at: int
    kind: str
    words: str = ""
    copy: int | None = None
    step: str = ""

    @property
    def sound(self) -> Sound:
        """How this cue sounds."""
        return KINDS[self.kind]


@dataclass(frozen=True)
class Passage:
    """All that a voice will say if nobody touches anything, in order of time.

    Giving a passage replaces what was left of the last one. `voice` is a copy's number, or 0 for the bench as a whole.
    """

    voice: int
    cues: tuple[Cue, ...]
