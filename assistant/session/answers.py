"""What becomes of a happening: it is done, or refused with the reason in words."""

from dataclasses import dataclass
from typing import TypeAlias

from assistant.session.bench import Bench


@dataclass(frozen=True)
class Refused:
    """Nothing was changed, and why, in words."""

    why: str


@dataclass(frozen=True)
class Done:
    """The bench as it is now, what to answer, and whom it is about (None: all, or none).

    `done` False: what the hand wanted has to wait, and only what it told was kept. `back`: what is so again once it is
    taken back, where its own words would be heard as if it still stood; "" where they name it.
    """

    bench: Bench
    words: str = ""
    copy: int | None = None
    done: bool = True
    back: str = ""

    @property
    def told_nothing(self) -> bool:
        """What the hand wanted has to wait, and it told nothing either: there is nothing to take back."""
        return not self.done and not self.back


Answer: TypeAlias = Done | Refused
