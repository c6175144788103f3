"""A complaint about a recipe, and how it is worded: where it is, what is wrong there, what to write instead.

Complaints are values; all of them are handed over at once. What is wrong is found in `yaml_places` (the file as such),
`field_reading` (single values), `step_rules` and `step_order` (what values and steps mean to each other).
Nothing here reads a file.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal, NamedTuple, TypeAlias

from assistant.trade.foreign_text import as_text

Path: TypeAlias = tuple[str | int, ...]
"""The way to a value by keys and positions, as written: ("steps", 1, "develop", "for"). Positions count from zero."""

Severity: TypeAlias = Literal["error", "warning"]


class Finding(NamedTuple):
    """A complaint that knows the way to its value, and not yet the line; a warning leaves the recipe printable."""

    path: Path
    what: str
    fix: str
    severity: Severity = "error"
    of_key: bool = False
    """It is the key itself that is wrong, not its value."""


def warning(path: Path, words: str) -> Finding:
    """A warning of the trade's room as a finding: what, a colon, what to do."""
    what, _, fix = words.rstrip(".").rpartition(": ")
    return Finding(path, what[:1].lower() + what[1:], fix, "warning")


@dataclass(frozen=True, order=True)
class Fault:
    """A complaint with its line and column, both from one; both 0 where it concerns the file as a whole.

    Its words are made printable: they may quote a file that holds anything.
    """

    line: int
    column: int
    where: str
    what: str
    fix: str
    severity: Severity = "error"

    def __post_init__(self) -> None:
        for name in ("where", "what", "fix"):
            object.__setattr__(self, name, as_text(getattr(self, name)))

    def said(self, name: str) -> str:
        """The complaint on one line, as an editor can follow it; `name` is the file's."""
        place = f"{name}:{self.line}:{self.column}" if self.line else name
        head = ["warning"] if self.severity == "warning" else []
        return ": ".join([place, *head, *filter(None, [self.where]), f"{self.what}; {self.fix}"])


class BadRecipe(ValueError):
    """A recipe that can't be used: the file's name and all complaints in the file's order, warnings among them."""

    def __init__(self, name: str, faults: Iterable[Fault]) -> None:
        self.name = name
        self.faults = tuple(sorted(faults))
        super().__init__("\n".join(fault.said(name) for fault in self.faults))


def where(path: Path) -> str:
    """The way to a value in the trade's words: "step 2, develop, for", "tray fixer, holds", "copies"."""
    words: list[str] = []
    for part in path:
        if isinstance(part, int):
            words[-1:] = [f"{'step' if words == ['steps'] else words[-1]} {part + 1}"] if words else []
        elif words == ["trays"]:
            words = [f"tray {part}"]
        else:
            words.append(part)
    return ", ".join(words)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that was most likely meant, if any comes near: three letters in five alike, `difflib`'s own measure."""
    plain = {one.lower(): one for one in known}
    close = get_close_matches(word.lower().replace("-", "_"), plain, n=1, cutoff=0.6)
    return plain[close[0]] if close else None


def one_of(known: Iterable[str]) -> str:
    """Words to choose from: "a, b or c"."""
    words = list(known)
    return " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
