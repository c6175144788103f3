"""`traycall check`: reads recipes and says all that is wrong with them, a line for each complaint.

A good file is one line too. Complaints go to standard output: they are what was asked for.
"""

import argparse
import os
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from assistant.printing.recipe_file import found, score_of
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import say_json, say_lines
from assistant.recipe.faults import BadRecipe, Fault
from assistant.recipe.loader import load


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    parser.add_argument(
        "recipes", metavar="FILE", type=Path, nargs="+", help="a recipe file, or a name that `traycall recipes` lists"
    )
    parser.add_argument("--json", action="store_true", help="one JSON list, an object for every file")


def run(args: argparse.Namespace) -> int:
    """Check every file; 0 when all can be printed, 1 when one can't."""
    read = [_read(file) for file in args.recipes]
    if args.json:
        say_json([one.as_object() for one in read])
    else:
        say_lines(line for one in read for line in str(one).split("\n"))
    return 0 if all(one.good for one in read) else 1


@dataclass(frozen=True)
class Checked:
    """A file that was read: its name, the recipe's title where it is good, and all complaints."""

    name: str
    title: str | None
    faults: tuple[Fault, ...]

    @property
    def good(self) -> bool:
        """Whether it can be printed, warnings or not."""
        return self.title is not None

    def __str__(self) -> str:
        lines = [fault.said(self.name) for fault in self.faults]
        return "\n".join([*lines, f"{self.name}: good"] if self.good else lines)

    def as_object(self) -> dict[str, Any]:
        """The same as plain data."""
        complaints = [asdict(fault) for fault in self.faults]
        return {"file": self.name, "good": self.good, "title": self.title, "complaints": complaints}


def _read(file: Path) -> Checked:
    name = os.fsencode(file).decode("utf-8", "replace")
    try:
        loaded = load(found(file))
        score_of(loaded, None)
    except BadRecipe as error:
        return Checked(name, None, error.faults)
    except Refusal as error:  # what the rules let through and the plan refuses: a recipe is good only where it can be printed
        return Checked(name, None, (Fault(0, 0, "", "it can't be printed", str(error)),))
    return Checked(name, loaded.recipe.title, loaded.warnings)
