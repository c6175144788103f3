"""`man traycall` from the parser's own words, by argparse-manpage: `make manual` writes the page that is installed.

Kept in the tree because a wheel is built where nothing but the builder is installed, so the parser can't be asked there.
"""

import os
import re
from collections.abc import Iterator
from pathlib import Path
from unittest import mock

from argparse_manpage.manpage import Manpage

from assistant import __version__
from assistant.cli.main import whole_parser

PAGE = Path(__file__).parents[2] / "man" / "traycall.1"
FORMAT = "single-commands-section"
_COMMAND = re.compile(r"(?m)^\.SS ")


def manual() -> str:
    """The page: of each command what it does and its words; how these are combined `--help` shows, set for a screen."""
    with mock.patch.dict(os.environ, {"COLUMNS": "80", "SOURCE_DATE_EPOCH": "0"}):
        head, *commands = _COMMAND.split(str(Manpage(whole_parser(), {"prog": "traycall"}, format=FORMAT)))
    head = re.sub(r"\.TH .*", f'.TH TRAYCALL 1 "" "traycall {__version__}" "traycall"', head)
    head = head.replace("traycall\n.SH SYNOPSIS", r"traycall \- a voice and a timer beside the trays" + "\n.SH SYNOPSIS")
    return "".join([head, *(".SS " + "\n\n".join(_told(one)) + "\n" for one in commands)])


def _told(command: str) -> Iterator[str]:
    """A command's paragraphs without its usage, and without its line where the same comes once more as a sentence."""
    first, *rest = command.strip().split("\n\n")
    rest = [one for one in rest if not one.startswith("usage: ")]
    name, line = first.split("\n", 1) if "\n" in first else (first, "")
    again = any(one.lower() == f"{line}.".lower() for one in rest)
    yield name if again or not line else f"{name}\n{line}"
    yield from rest


if __name__ == "__main__":
    PAGE.write_text(manual(), encoding="utf-8")
