"""Complaints about a recipe, in the trade's words: where, what is wrong, what to write instead."""

from dataclasses import dataclass
from typing import Literal

Path = tuple[str | int, ...]
"""Keys and indices that lead to a value: ("steps", 1, "for")."""


@dataclass(frozen=True, order=True)
class Fault:
    """One complaint; line and column count from one. A warning leaves the recipe printable."""

    line: int
    column: int
    where: str
    what: str
    fix: str
    severity: Literal["error", "warning"] = "error"

    def said(self, name: str) -> str:
        """The complaint on one line, as an editor can follow it."""
        place = f"{name}:{self.line}:{self.column}: "
        head = "warning: " if self.severity == "warning" else ""
        where = f"{self.where}: " if self.where else ""
        return f"{place}{head}{where}{self.what}: {self.fix}"


class BadRecipe(ValueError):
    """A recipe that can't be used, with all that is wrong with it."""

    def __init__(self, name: str, faults: tuple[Fault, ...]) -> None:
        super().__init__("\n".join(fault.said(name) for fault in faults))
        self.name, self.faults = name, faults


def where(path: Path, kinds: dict[int, str]) -> str:
    """A place in a recipe in words: "step 2, develop, agitate"; steps count from one."""
    words: list[str] = []
    for i, part in enumerate(path):
        if part == "steps" and len(path) > 1:
            continue
        if isinstance(part, int):
            before = path[i - 1] if i else ""
            kind = kinds.get(part) if before == "steps" else None
            words.append(f"step {part + 1}" if before == "steps" else f"number {part + 1}")
            words += [kind] if kind else []
        else:
            words.append(str(part))
    return ", ".join(words)
