"""The one way in which commands print: what comes from outside can't command a terminal, and no terminal stops a command.

File names, recipes, settings, journals and voices may hold anything. A sign that is not printable (control characters,
half a letter of another encoding) is shown by its name; so is a letter that the terminal lacks. Every command prints, so what
only some printing needs is read there.
"""

import sys
from collections.abc import Iterable

TYPE_CHECKING = False
"""Type checkers take it for true, as they do the one in `typing`, which alone would cost `--help` a fifteenth of its time."""
if TYPE_CHECKING:
    from typing import TextIO


def say(text: object = "", end: str = "\n", to: "TextIO | None" = None) -> None:
    """Print text as it stands, at once: a table, an answer on the line of its question, a call to be copied, what a program
    reads. A terminal breaks at its edge what is longer, and copies it whole."""
    out = to or sys.stdout
    line = "\n".join(part if part.isprintable() else _shown(part) for part in str(text).split("\n")) + end
    try:
        out.write(line)
    except UnicodeEncodeError:
        coding = out.encoding or "ascii"
        out.write(line.encode(coding, "backslashreplace").decode(coding))
    out.flush()


def _shown(line: str) -> str:
    from assistant.trade.foreign_text import as_text

    return as_text(line)


def broken(lines: Iterable[str], to: "TextIO | None" = None) -> list[str]:
    """Lines as they are printed: on a terminal broken at words, where its edge would break them anywhere."""
    import shutil

    from assistant.screens.drawing import wrapped

    found = list(lines)
    return wrapped(found, max(20, shutil.get_terminal_size().columns - 1)) if (to or sys.stdout).isatty() else found


def say_lines(lines: Iterable[str], to: "TextIO | None" = None) -> None:
    """Print sentences. On a terminal a row ends between two words, for a screen reader that goes by rows would read two halves
    of a word; in a pipe or a file a sentence is a line."""
    say("\n".join(broken(lines, to)), to=to)


def ask(question: str) -> None:
    """Print a question, what answers it to follow on its last line."""
    say("\n".join(broken(question.split("\n"))), end=" ")


def complain(text: object) -> None:
    """Say why something was not done, where errors are said."""
    say_lines(str(text).split("\n"), to=sys.stderr)


class PercentSaid:
    """How far long work is, in per cent: a line each time that it is further; nothing where it is not `wanted`."""

    def __init__(self, wanted: bool) -> None:
        self._said = 0 if wanted else 100

    def __call__(self, percent: int) -> None:
        """So far is it."""
        if percent > self._said:
            self._said = percent
            say(f"{percent} %")


def say_json(value: object) -> None:
    """Print plain data as JSON, in ASCII alone: it is read by programs."""
    import json

    say(json.dumps(value, indent=1, ensure_ascii=True, allow_nan=False))
