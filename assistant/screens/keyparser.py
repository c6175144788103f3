"""Stands before Textual's reader of the keyboard (8.2.8), which breaks on some of what terminals send.

Held there: reports of releases and repeats (Textual raises on them), answers of the terminal to questions (Textual takes
each of their letters for a key), modifiers pressed alone, the function keys from F13 on, clicks in the oldest encoding.
Decides nothing about what a key means.
"""

import re
from collections.abc import Iterable, Iterator

from textual import events
from textual._keyboard_protocol import MODIFIER_FUNCTIONAL_KEYS
from textual._time import get_time
from textual._xterm_parser import XTermParser
from textual.keys import Keys
from textual.message import Message

from assistant.terminal.parser import PASTE_ENDED_AFTER, STROKE_BEGUN

ASK_RELEASES = "\x1b[=2;2u\x1b[?u"
"""To be written to the driver once it has started: report releases too, and say whether you do (`KeyboardReports`)."""

_WHOLE = re.compile(
    r"\x1b\[M(?P<click>[\s\S]{3})"
    r"|\x1b\[(?!M)(?P<csi>\[[A-E]|[0-?]*[ -/]*[@-Z\\-~])"
    r"|\x1b(?P<string>[\]PX^_][^\x07\x1b]*(?:\x07|\x1b\\))"
    r"|(?P<typed>\x1bO?[^\x1b\[\]PX^_]|[^\x1b]+)"
)
_TORN_AFTER = 0.1
"""Seconds after which what was begun will not be ended."""
_PASTE_MOST = 1 << 16
"""Characters kept of what is pasted: a long recipe."""
_LONGEST = 4096
"""Characters kept of a sequence that does not end."""
_PASTE, _PASTED = "200~", "201~"

_REPORT = re.compile(r"(?P<key>\d*)[\d:]*;(?P<modifiers>\d*):(?P<kind>[123])(?P<text>;[\d:]*)?(?P<final>[u~A-HPQRS])\Z")
_KEY = re.compile(r"(?P<key>\d*)[\d:]*(?P<rest>(?:;[\d:]*){0,2}[u~A-HPQRSZ])\Z")
_FLAGS = re.compile(r"\?(\d+)u\Z")
_ELSE = re.compile(r"<\d+;-?\d+;-?\d+[mM]\Z|\?2026;\d\$y\Z|[IO]\Z|\d+;\d+R\Z|\[[A-E]\Z")
"""What Textual reads rightly besides keys: clicks, held painting, focus, the cursor's place."""
_LATE_FUNCTION_KEYS = {f"{number}~": f"f{13 + i}" for i, number in enumerate((25, 26, 28, 29, 31, 32, 33, 34))}


class KeyReport(events.Event, bubble=False):
    """A key is still `down` or was let go, where the terminal says so; elsewhere a repeat is a `Key` like the first."""

    def __init__(self, key: str, down: bool) -> None:
        super().__init__()
        self.key, self.down = key, down


class KeyboardReports(events.Event, bubble=False):
    """The answer to `ASK_RELEASES`."""

    def __init__(self, flags: int) -> None:
        super().__init__()
        self.releases = bool(flags & 2)


class KeyParser(XTermParser):
    """Textual's reader, given only what it reads rightly. Chunks may end anywhere."""

    def __init__(self, debug: bool = False) -> None:
        super().__init__(debug)
        self._begun = ""
        self._torn_at = 0.0
        self._pasted: list[str] | None = None
        self._paste_over_at = 0.0

    @property
    def unfinished(self) -> bool:
        """Whether something has begun that `tick` may have to end."""
        return bool(self._begun) or self._pasted is not None or self._timeout_time is not None

    def feed(self, data: str) -> Iterable[Message]:
        """The messages in what has come; "" ends the stream."""
        if not data:
            yield from super().feed(data)
            return
        yield from self._paste_over()
        stream, self._begun = self._begun + data, ""
        position = 0
        while position < len(stream):
            found = _WHOLE.match(stream, position)
            if found is not None:
                position = found.end()
                yield from self._piece(found)
            elif STROKE_BEGUN.match(stream, position) and len(stream) - position <= _LONGEST:
                self._begun, self._torn_at = stream[position:], get_time() + _TORN_AFTER
                return
            else:
                yield from self._escape()
                position += 1
        self._paste_over_at = get_time() + PASTE_ENDED_AFTER

    def tick(self) -> Iterable[Message]:
        """Called often: what was begun long ago is what it looks like, or torn and dropped."""
        yield from self._paste_over()
        if self._begun and get_time() >= self._torn_at:
            begun, self._begun = self._begun, ""
            if begun == "\x1b":
                yield from self._escape()
            elif len(begun) == 2:
                yield from super().feed(begun)  # an Alt combination
        yield from super().tick()

    def _escape(self) -> Iterator[Message]:
        if self._pasted is None:
            yield events.Key("escape", "\x1b")

    def _paste_over(self) -> Iterator[Message]:
        if self._pasted is not None and get_time() >= self._paste_over_at:
            yield from self._paste_ended()

    def _paste_ended(self) -> Iterator[Message]:
        text, self._pasted = "".join(self._pasted or ())[:_PASTE_MOST], None
        if text:
            yield events.Paste(text.replace("\x00", ""))

    def _piece(self, found: re.Match[str]) -> Iterator[Message]:
        if found["csi"] == _PASTE:
            self._pasted, self._paste_over_at = [], get_time() + PASTE_ENDED_AFTER
        elif found["csi"] == _PASTED:
            yield from self._paste_ended()
        elif self._pasted is not None:
            if found["typed"] and not found["typed"].startswith("\x1b"):  # what is pasted is text; its controls are dropped
                self._pasted.append(found["typed"])
        elif found["typed"]:
            yield from super().feed(found["typed"])
        elif found["click"]:
            yield from super().feed(_click(found["click"]))
        elif found["csi"]:
            yield from self._control(found["csi"])

    def _control(self, body: str) -> Iterator[Message]:
        if flags := _FLAGS.match(body):
            yield KeyboardReports(int(flags[1]))
        elif body in _LATE_FUNCTION_KEYS:
            yield events.Key(_LATE_FUNCTION_KEYS[body], None)
        elif report := _REPORT.match(body):
            plain = f"{report['key']};{report['modifiers']}{report['text'] or ''}{report['final']}"
            for message in super().feed(f"\x1b[{plain}"):
                name, kind = message.key if isinstance(message, events.Key) else "", report["kind"]
                yield KeyReport(name, kind == "2") if name and kind != "1" else message
        elif _ELSE.match(body):
            yield from super().feed(f"\x1b[{body}")
        elif key := _KEY.match(body):
            yield from super().feed(f"\x1b[{key['key']}{key['rest']}")

    def _sequence_to_key_events(self, sequence: str, alt: bool = False) -> Iterable[events.Key]:
        try:
            found = list(super()._sequence_to_key_events(sequence, alt))
        except (ValueError, OverflowError):
            found = []  # a number that is no character
        kept = [event for event in found if event.key.rpartition("+")[2] not in _MODIFIERS]
        if not kept and _KEY.match(sequence.removeprefix("\x1b[")):
            return [events.Key(Keys.Ignore, sequence)]  # or Textual goes on to wait for the end of it
        return kept


_MODIFIERS = frozenset(MODIFIER_FUNCTIONAL_KEYS) | {"caps_lock", "num_lock", "scroll_lock"}


def _click(letters: str) -> str:
    """The oldest encoding of a click (three bytes, each 32 too high) in the one that Textual reads."""
    code, column, row = (max(0, ord(letter) - 32) for letter in letters)
    if code & 3 == 3 and not code & 64:
        return f"\x1b[<{code & ~3};{column};{row}m"
    return f"\x1b[<{code};{column};{row}M"
