"""What a topic of `reckon` is, and how its answer is written: rows to read, or one JSON object.

No law and no reading of words here; the topics know those.
"""

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import TextIOWrapper
from typing import Any, NoReturn

from assistant.trade.wording import rounded


@dataclass(frozen=True)
class Answer:
    """What was reckoned: rows for a reader, the law in a line, what to mind, and the same as plain values."""

    rows: Sequence[str]
    law: str
    warnings: Sequence[str]
    values: dict[str, Any]

    def __str__(self) -> str:
        return "\n".join([*self.rows, f"Law: {self.law}.", *(f"Mind: {words}" for words in self.warnings)])

    def as_object(self) -> dict[str, Any]:
        """The same as plain data; spans in ms, volumes in ml."""
        return {**self.values, "law": self.law, "warnings": list(self.warnings)}


@dataclass(frozen=True)
class Topic:
    """One thing that can be reckoned: its name, a line of help, a call that works, its words, and the reckoning."""

    name: str
    line: str
    example: str
    words: Callable[[argparse.ArgumentParser], None]
    reckon: Callable[[argparse.Namespace], Answer]


class Parser(argparse.ArgumentParser):
    """A parser whose complaint ends with a call that works."""

    example = ""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and show the accepted form; exit code 2."""
        self.exit(2, f"{self.prog}: {message.rstrip('.')}.\nFor example: {self.example or f'{self.prog} --help'}\n")


def give(answer: Answer, as_json: bool) -> None:
    """Write an answer to standard output."""
    if isinstance(sys.stdout, TextIOWrapper):  # a terminal that lacks a letter is no reason to stop
        sys.stdout.reconfigure(errors="backslashreplace")
    print(json.dumps(answer.as_object(), indent=1, allow_nan=False) if as_json else answer)


def table(rows: Sequence[Sequence[str]]) -> list[str]:
    """Rows of cells as lines: the first cell to the left, the others to the right, two blanks in."""
    if not rows:
        return []
    wide = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    lines = []
    for first, *others in rows:
        cells = [cell.rjust(width) for cell, width in zip(others, wide[1:], strict=True)]
        lines.append("  ".join(["", first.ljust(wide[0]), *cells]).rstrip())
    return lines


def rounding(tick: int, off: Sequence[float]) -> list[str]:
    """The line that says what a clock with steps of `tick` ms changed at most; none for a fine clock."""
    said = rounded(tick, off)
    return [f"{said[0].upper()}{said[1:]}."] if said else []
