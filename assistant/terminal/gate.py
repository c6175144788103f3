"""The output gate: an allow-list between a program and the terminal. Text in, safe text out; it writes nothing itself.

Whatever comes in, what leaves is letters, cursor moves, erasing, scrolling, a few modes and one shape of colour
instruction. All that is not named here is dropped. Blackout is done here too: what is painted is swallowed.
"""

import codecs
import re

from assistant.terminal import sequences
from assistant.terminal.brightness import BEGUN, DEFAULT, LEVELS, peak, request_in
from assistant.terminal.colours import Pen, after, drawable, reds
from assistant.terminal.parser import Token, Tokenizer

_MOVES = frozenset("HfABCDEFGd`Iar")
"""Finals that move the cursor or set the scroll region."""
_ERASES = frozenset("JKXLMP@ST")
"""Finals that bring up new ground, which takes the colour that is set: so the colour goes before them."""
_MODES = frozenset(["7", "1000", "1002", "1003", "1004", "1006", "1015", "2004", "2026"])
"""Private modes a program may set: wrapping, mouse, focus, pasting, held painting. The cursor and the screen are ours."""
_LOOKS = re.compile(r"[\d;:]*\Z")
_PLAIN = re.compile(r"(?:\d{0,4};){0,4}\d{0,4}\Z")
_KEYBOARD = re.compile(r"[<=>?][\d;]{0,8}u\Z")
"""The progressive keyboard protocol: push, pop, set, ask. Passed only to a terminal that knows it: to one that does not, `u`
restores a saved cursor, and the pen with it."""
_SYNC_QUERY = "?2026$p"
"""Whether held painting is known: asked by the toolkit before it uses that."""
_LINES_KEPT = 4096
"""Characters of plain lines that are remembered: some dozens of sentences."""
_OTHER_SCREEN_OFF = "?1049l"
"""The toolkit leaves its screen: what follows are a program's last words."""


class Gate:
    """Holds the pen, the level and what the terminal was last told."""

    def __init__(
        self, kind: str = "true", level: str = DEFAULT, key: str = "", console: bool = False, keyboard: bool = False
    ) -> None:
        self.kind = kind
        self.level = level
        self.begun = False
        """Whether the program said that its session began: paper may be out."""
        self.painted = 0
        """Letters, blanks among them, that have left since the screen last went black."""
        self._keyboard = keyboard
        self._letters = codecs.getincrementaldecoder("utf-8")("replace")
        self._lines = ""
        self._console = console
        self._key = key
        self._cutter = Tokenizer()
        self._pen = Pen()
        self._told = ""

    @property
    def dark(self) -> bool:
        """Whether nothing is painted at all."""
        return LEVELS[self.level] == 0

    @property
    def last_lines(self) -> list[str]:
        """What the program has said in plain lines since it last erased the screen or moved about on it."""
        return [line for line in self._lines.splitlines() if line.strip()]

    def feed(self, chunk: bytes) -> str:
        """What may leave of what the program has written so far. Bytes that are no UTF-8 become U+FFFD."""
        return "".join([self._pass(token) for token in self._cutter.feed(self._letters.decode(chunk))])

    def set_level(self, level: str) -> str:
        """Change the brightness: the screen goes black until the program paints it anew. ValueError for no such level."""
        ceiling = peak(level)
        self.level = level
        return sequences.colours(self.kind, ceiling, self._console) + self.wipe()

    def wipe(self) -> str:
        """All black: for a new level, and for the cells that a window has gained, which come in colours of its own."""
        self._told = sequences.black(self.kind)
        self._lines = ""
        self.painted = 0
        return sequences.wipe(self.kind)

    def forget(self) -> None:
        """Begin anew after a fault, or after another hand wrote to the terminal: nothing begun, no pen, nothing told."""
        self._letters.reset()
        self._cutter = Tokenizer()
        self._pen = Pen()
        self._told = self._lines = ""
        self.painted = 0

    def _pass(self, token: Token) -> str:
        if token.kind == "text":
            self._lines = (self._lines + token.body)[-_LINES_KEPT:]
            self.painted += len(token.body)
            return "" if self.dark else self._ink() + drawable(token.body)
        if token.kind == "csi":
            return self._sequence(token.body)
        if token.kind == "control":
            self._lines += "\n" * (token.body == "\n")
            return self._ink() + token.body if token.body in "\n\r\b\t" and not self.dark else ""
        if token.kind == "apc":
            asked = request_in(token.body, self._key)
            self.begun = self.begun or asked == BEGUN
            return self.set_level(asked) if asked in LEVELS and asked != self.level else ""
        return ""

    def _sequence(self, body: str) -> str:
        parameters, final = body[:-1], body[-1]
        if final == "m" and _LOOKS.match(parameters):
            self._pen = after(self._pen, parameters)  # written later, just before ink
            return ""
        if body == _OTHER_SCREEN_OFF:
            return self.wipe()  # what is said from now on stands alone
        if final in "hl" and parameters.startswith("?"):
            kept = [mode for mode in parameters[1:].split(";") if mode in _MODES]
            return f"\x1b[?{';'.join(kept)}{final}" if kept else ""
        if body == _SYNC_QUERY:
            return f"\x1b[{body}"
        if _KEYBOARD.match(body):
            return f"\x1b[{body}" if self._keyboard else ""
        self._lines = ""
        if self.dark or not _PLAIN.match(parameters):
            return ""
        if final in _ERASES:
            return self._ink() + f"\x1b[{body}"
        return f"\x1b[{body}" if final in _MOVES else ""

    def _ink(self) -> str:
        wanted = sequences.ink(self.kind, LEVELS[self.level], *reds(self._pen))
        if wanted == self._told:
            return ""
        self._told = wanted
        return wanted
