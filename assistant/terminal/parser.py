"""Cuts what a program writes into whole tokens: text, control characters, escape sequences.

A chunk may end anywhere; what is begun is kept for the next one. Nothing is judged here, that is the gate's work.
The grammar is that of ECMA-48 (control sequences, control strings), with xterm's BEL as the end of a string.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

_TOKEN = re.compile(
    r"(?P<text>[^\x00-\x1f\x7f-\x9f]+)"
    r"|\x1b\[(?P<csi>[0-?]*[ -/]*[@-~])"
    r"|\x1b_(?P<apc>[^\x07\x1b]*)(?:\x07|\x1b\\)"
    r"|\x1b[\]PX^](?P<string>[^\x07\x1b]*)(?:\x07|\x1b\\)"
    r"|\x1b(?P<escape>[ -/]*[0-OQ-WYZ\\`-~])"
    r"|(?P<control>[\x00-\x1a\x1c-\x1f\x7f-\x9f])"
)
_BEGUN = re.compile(r"\x1b(?:\[[0-?]*[ -/]*|[\]PX^_][^\x07\x1b]*\x1b?|[ -/]*)\Z")
LONGEST = 1 << 16
"""Characters kept of a sequence that does not end; a longer one is thrown away."""


class Token(NamedTuple):
    """One whole piece of the stream: its kind (`text`, `csi`, `apc`, `string`, `escape`, `control`) and what it says."""

    kind: str
    body: str


class Cutter:
    """Remembers the piece of a sequence that the last chunk ended in."""

    def __init__(self) -> None:
        self._begun = ""

    def feed(self, chunk: str) -> Iterator[Token]:
        """The whole tokens in what has come so far. A lone escape character that begins nothing is dropped."""
        stream = self._begun + chunk
        self._begun = ""
        position, end = 0, len(stream)
        while position < end:
            found = _TOKEN.match(stream, position)
            if found is not None:
                kind = found.lastgroup or ""
                yield Token(kind, found[kind])
                position = found.end()
            elif _BEGUN.match(stream, position):
                rest = stream[position:]
                self._begun = rest if len(rest) <= LONGEST else ""
                return
            else:
                position += 1
