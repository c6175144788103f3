"""How a session is to be seen and heard, as the call asked for it: what every printing command has in common."""

import sys
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from assistant.places import home
from assistant.terminal.brightness import DEFAULT

if TYPE_CHECKING:
    from pathlib import Path

    from assistant.recipe.model import Recipe

TRIALS = "trials.sqlite"
"""Where trial sessions are kept, beside the records."""


@dataclass(frozen=True)
class Options:
    """`plain`: lines of text in place of a screen; `silent`: no sound; `resume`: go on with what was left.

    `guard`: whether the terminal is kept red on black, None for where it can be; `light`: a level by its name.
    """

    plain: bool = False
    silent: bool = False
    guard: bool | None = None
    light: str = DEFAULT
    resume: bool = False
    baths: Mapping[str, str] = field(default_factory=dict)
    """Tray -> the name of the bath that stands in it, where the call says so."""
    temperatures: Mapping[str, float] = field(default_factory=dict)
    """Tray -> its temperature as it was read before the session, degrees Celsius."""
    trial: bool = False
    """Kept apart from the records, and nothing of it counted: to learn by, or to show."""
    ears: bool | None = None
    """Whether it is worked by voice too; None: as the settings say."""

    @property
    def resuming(self) -> str:
        """The call that goes on with a session that was left."""
        return "traycall run --resume" + (" --trial" if self.trial else "")

    def records(self) -> "Path | None":
        """The file that the session is kept in; None for the printer's records."""
        return home() / TRIALS if self.trial else None

    @property
    def seen(self) -> bool:
        """Whether the session has the full screen, which paper may see."""
        return not self.plain and on_terminal()

    @property
    def is_read(self) -> bool:
        """Whether somebody can read what is said before the session, and answers it."""
        return on_terminal() and (self.plain or self.light != "blackout")

    def lights_paper(self, recipe: "Recipe") -> bool:
        """Whether paper will see the screen, and no test of it is being made."""
        from assistant.printing.fog_test import is_fog_test

        return self.seen and self.light != "blackout" and recipe.light == "safe" and not is_fog_test(recipe)


def on_terminal() -> bool:
    """Whether somebody sits before a terminal, to read and to press keys."""
    return sys.stdin.isatty() and sys.stdout.isatty()
