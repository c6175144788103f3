"""Cuts streams into whole pieces: what a program writes into text, control characters and sequences; what is typed into keys.

A chunk may end anywhere; what is begun is kept for the next one. Nothing is judged here, that is the gate's work.
The grammar is that of ECMA-48 (control sequences, control strings), with xterm's BEL as the end of a string.
"""

import codecs
import re
import time
from collections.abc import Callable, Iterator
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


class Tokenizer:
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


PASTE_ENDED_AFTER = 0.25
"""Seconds of quiet after which a paste whose end never came is over: pasted text comes without a gap, keys do not."""
_STROKE = re.compile(
    r"\x1b\[M(?P<old>[\s\S])[\s\S]{2}"
    r"|\x1b\[(?!M)(?P<csi>\[[A-E]|[0-?]*[ -/]*[@-Z\\-~])"
    r"|\x1b[\]PX^_][^\x07\x1b]*(?:\x07|\x1b\\|\x1b(?=\x1b))"  # rxvt ends its answers with a bare escape
    r"|(?P<key>\x1bO[^\x1b]|\x1b[^\x1b\[\]OPX^_]|[^\x1b])"
)
STROKE_BEGUN = re.compile(r"\x1b(?:\[M[\s\S]{0,2}|\[\[|\[[0-?]*[ -/]*|[\]PX^_][^\x07\x1b]*\x1b?|O?)\Z")
_IS_KEY = re.compile(r"(?:\d+(?:[\d:;]*);?\d*(?::1)?)?[~uA-HPQSZ]\Z|\[[A-E]\Z|1;\d+R\Z")
_RELEASED = re.compile(r"[\d:;]*;\d*:[23][u~A-HPQRSZ]\Z")
_CLICK = re.compile(r"<([0-3]|[48]|12|16|20|24|28);\d+;\d+M\Z")
"""A button that goes down, with or without shift, alt and control: neither movement (32) nor wheel (64) nor release (m)."""


class Keystrokes:
    """Cuts what comes from a terminal into single presses of keys and mouse buttons.

    Answers to questions, pastes, focus, releases, repeats that are reported as such, movement and the wheel are none.
    """

    def __init__(self, now: Callable[[], float] = time.monotonic) -> None:
        self._letters = codecs.getincrementaldecoder("utf-8")("replace")
        self._now = now
        self._begun = ""
        self._pasting_at: float | None = None

    def feed(self, came: bytes) -> list[str]:
        """The presses in what has come, each as it was sent; b"" says that it has been quiet: a lone escape is a key then."""
        if self._pasting_at is not None and self._now() - self._pasting_at > PASTE_ENDED_AFTER:
            self._pasting_at = None
        if not came:
            begun, self._begun = self._begun + self._letters.decode(b"", final=True), ""
            return [begun] if begun in ("\x1b", "\x1bO", "\ufffd") and self._pasting_at is None else []
        stream, self._begun = self._begun + self._letters.decode(came), ""
        found, at = [], 0
        while at < len(stream):
            stroke = _STROKE.match(stream, at)
            if stroke is not None:
                at = stroke.end()
                found += self._pressed(stroke)
            elif STROKE_BEGUN.match(stream, at) and len(stream) - at <= LONGEST:
                self._begun = stream[at:]
                break
            else:
                found += ["\x1b"] if self._pasting_at is None else []
                at += 1
        if self._pasting_at is not None:
            self._pasting_at = self._now()
        return found

    def _pressed(self, stroke: re.Match[str]) -> list[str]:
        csi = stroke["csi"] or ""
        if csi in ("200~", "201~"):
            self._pasting_at = self._now() if csi == "200~" else None
            return []
        if self._pasting_at is not None:
            return []
        click = stroke["old"] is not None and (ord(stroke["old"]) - 32) & 0x63 in (0, 1, 2)
        key = bool(csi) and (_CLICK.match(csi) or (_IS_KEY.match(csi) and not _RELEASED.match(csi)))
        return [stroke[0]] if click or key or stroke["key"] else []
