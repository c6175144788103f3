"""What the dry side asks of the rest of the program, and what it answers with when it is left. No widget here."""

from collections.abc import Generator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Literal, Protocol, TypeAlias

if TYPE_CHECKING:  # what a place needs is read when the place is come to
    from assistant.calculations.topic import Field
    from assistant.history.printed import Printed, Session

COPIES = (1, 60)
"""From and to how many copies a session prints (`recipe.fields.MOST_COPIES`, which is not read before the app is seen)."""


class CantDo(Exception):
    """Something can't be done; the message says why and what to do."""


@dataclass(frozen=True)
class Offered:
    """A recipe that can be chosen: the name it is called by, its file, and whether it is the printer's own."""

    name: str
    file: Path
    own: bool


PlaceName: TypeAlias = Literal["print", "calculate", "records", "setup"]


@dataclass(frozen=True)
class DryState:
    """What the dry side looks like: the place, the recipe, copies (0: the recipe's own), the brightness beside the trays."""

    place: PlaceName = "print"
    recipe: str = ""
    copies: int = 0
    level: str = "paper"
    baths: bool = False
    """Whether the baths are looked at first."""
    session: int | None = None
    """The session looked back on first, by its number; None: the last one."""
    said: str = field(default="", compare=False)
    """What came of a visit elsewhere."""


@dataclass(frozen=True)
class Chosen:
    """What the printer wants printed, and how bright the screen may be meanwhile."""

    name: str
    copies: int
    level: str = "paper"


@dataclass(frozen=True)
class Elsewhere:
    """Something that takes the whole terminal is wanted, for a recipe or none; then the dry side is come back to."""

    what: Literal["rehearse", "editor", "pedal", "align"]
    state: DryState


class Outside(Protocol):
    """The rest of the program, as the dry side knows it. What can't be done raises `CantDo`."""

    def recipes(self) -> Sequence[Offered]:
        """All recipes, the printer's own first."""

    def copied(self, offered: Offered, name: str) -> Offered:
        """A copy of a recipe under a new name, among the printer's own."""

    def new(self, title: str, text: str) -> Offered:
        """A new recipe of the printer's own, its file named after its title."""

    def saved(self, offered: Offered, text: str) -> None:
        """Write a recipe of the printer's own."""

    def sessions(self) -> "Sequence[Session]":
        """All sessions, the last one first."""

    def printed(self, session: "Session") -> "Printed":
        """A session as it was printed, read when it is first asked for."""

    def baths(self) -> Sequence[tuple[str, str]]:
        """Name and state of every bath in use."""

    def done_with_bath(self, key: str, name: str, typed: Sequence[str]) -> str:
        """Do what a key stands for with the bath of a name ("" where there is none); what came of it, in words."""

    def settings(self) -> "Sequence[tuple[Field, str]]":
        """All settings, each with its value."""

    def voices(self) -> list[str]:
        """The voices that can be used; none where there is no speech. Takes a moment."""

    def wrong(self, key: str, text: str) -> str:
        """What is wrong with a setting's text, "" for nothing."""

    def put(self, key: str, text: str) -> None:
        """Change a setting; its comments and all else in the file stay."""

    def heard(self, what: Literal["tones", "voice", "check"]) -> Generator[str, None, None]:
        """Sound something; each line is given when it sounds. Waits in between: not for the thread that draws."""

    def told(self, call: Sequence[str], columns: int) -> Generator[str, None, None]:
        """What a command of the program says, line by line, made for so many columns. Waits in between."""

    def stop(self) -> None:
        """End the command that is at work; it puts away what is half written."""
