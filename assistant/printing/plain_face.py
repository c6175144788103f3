"""The plain face: a sentence on a line for everything heard, nothing ever painted anew; any key or any line is a tap.

For terminals that can do no more, and for screen readers: no columns, no clock, no names of the program's own.

It knows the conductor and a stream of text in and out, nothing else. A plain terminal is not dark.
"""

import os
import re
import select
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from typing import TextIO

from assistant.buttons.button import QUIET
from assistant.buttons.one_button import one_button
from assistant.buttons.pedal import kept
from assistant.conductor.conductor import Conductor
from assistant.printing.text_out import ask, say, say_lines
from assistant.printing.transcript import shown
from assistant.score.cues import Cue, Rank
from assistant.score.score import Score
from assistant.score.words import HOLD_FIRST, number
from assistant.session.commands import TOLD
from assistant.session.named_keys import KEYS, RESTING, TOO_SOON
from assistant.session.script import typed
from assistant.terminal.parser import Keystrokes

NOT_DARK = "This is a plain terminal: it is not dark. Keep it covered while paper is out."
HELP = (
    "Any key is a tap; held, it takes that tap back and holds the plan. But: a say it again, l how long, h hold or go on, "
    "on hold v asks whether the sheet in hand is void, u undo, m it went in five seconds ago, e end (twice), ? this once more."
)
HELP_BY_LINE = "An empty line is a tap; else a word: void 2, undo, hold, go, moved 5s, end."
TONES = {"start": "light on", "end": "light off", "heard": "taken", "agitate": "agitate", "pip": "now"}
"""What a tone without words says."""
NAMED = {key: name for name, key in KEYS.items()}
"""Key -> the name of what it means; the settings' own keys are the screen's alone."""
NOBODY = ("\x1b", "\x03", "\x04")
"""Esc, Ctrl+C, and the end of what is typed: no answer."""
_LONGEST = 4096
"""Bytes kept of a line that does not end."""
_ESCAPE = 0.1
"""Seconds of quiet after which an escape character is the key and not the beginning of something."""


class PlainFace:
    """Runs a session to its end on two streams; how it is answered is said first, but where it was `explained` before."""

    def __init__(self, conductor: Conductor, source: TextIO, out: TextIO, quiet: int = QUIET, explained: bool = False) -> None:
        self.conductor, self.source, self.out, self.explained = conductor, source, out, explained
        self.open_source = True
        self._keys = Keystrokes()
        self._line = b""
        self._hand = one_button(conductor, quiet)
        self._named, self._last, self._rests = "", -RESTING, False
        self._trouble = self._ears = ""
        conductor.listeners.append(self._heard)

    def run(self) -> None:
        """Until the session is over, or nobody can tap any more and no bath is running."""
        with single_keys(self.source) as by_key:
            if not self.explained:
                say_lines([HELP if by_key else HELP_BY_LINE], self.out)
            while not self._over():
                for text in self._typed(self._wait(), by_key):
                    self._tell(text, by_key)
                self.conductor.beat()
                self._hand.beat(self.conductor.now())
                self._say_trouble()
            self.conductor.beat()

    def _over(self) -> bool:
        bench = self.conductor.bench
        if bench.ended or (bench.finished and not self.conductor.more_to_say()):
            return True
        no_hand = not self.open_source and not self.conductor.inputs
        return no_hand and not bench.finished and self.conductor.nothing_due()

    def _wait(self) -> int:
        due = self._hand.due()
        return self.conductor.wake_in() if due is None else min(self.conductor.wake_in(), max(0, due - self.conductor.now()))

    def _typed(self, wait: int, by_key: bool) -> Iterator[str]:
        if not self.open_source:
            select.select([], [], [], wait / 1000)
            return
        ready, _, _ = select.select([self.source], [], [], wait / 1000)
        if not ready:
            yield from self._keys.feed(b"") if by_key else ()
            return
        raw = os.read(self.source.fileno(), 4096)
        self.open_source = bool(raw)
        if by_key:
            yield from self._keys.feed(raw) if raw else ()
            return
        *lines, rest = (self._line + (raw or b"\n" * bool(self._line))).split(b"\n")
        self._line = rest[:_LONGEST]
        for line in lines:
            yield line.decode("utf-8", "replace").removesuffix("\r")

    def _tell(self, text: str, by_key: bool) -> None:
        if by_key:
            self._pressed(text, self.conductor.now())
            return
        try:
            self.conductor.tell(typed(text))
        except ValueError as error:
            say_lines([f"{error}"], self.out)

    def _pressed(self, key: str, now: int) -> None:
        name = NAMED.get(key, "")
        if not name:
            self._hand.down(now, releases=False)
            return
        rested, self._rests = self._rests, key == self._named and now - self._last < RESTING
        self._named, self._last = key, now
        if self._rests:
            if not rested:  # once: a key that is held down sends thirty a second
                say_lines([f"{TOO_SOON.capitalize()}."], self.out)
            return
        if name == "help":
            say_lines([HELP], self.out)
        elif name == "void" and not self.conductor.bench.held:
            self.conductor.remark(HOLD_FIRST, "refused")
        elif name in TOLD:
            self.conductor.tell(TOLD[name](self.conductor.bench))
        else:
            say_lines(["Notes, temperatures, fresh baths and strips are typed on the screen, not here."], self.out)

    def _heard(self, cue: Cue) -> None:
        if shown(cue):
            say_lines([sentence(cue, self.conductor.bench.score)], self.out)
        if self._trouble and cue.sound.rank is Rank.ACT:
            self.out.write("\a")
            self.out.flush()

    def _say_trouble(self) -> None:
        trouble = self.conductor.trouble()
        if trouble != self._trouble:
            say_lines([trouble or "All is well again."], self.out)
            self._trouble = trouble
        ears = self.conductor.ears()
        if ears != self._ears:
            say_lines([f"  {ears}"], self.out)
            self._ears = ears


def sentence(cue: Cue, score: Score) -> str:
    """A cue in words, as they are said: whose, where they do not name it themselves, and what."""
    words, called = cue.words or TONES.get(cue.kind, cue.kind), score.plan.recipe.called
    named = cue.copy is None or re.search(rf"^{number(cue.copy)}[ .]|\b{called} {number(cue.copy)}\b", words)
    whose = "" if named else f"{called.capitalize()} {cue.copy}: "
    return f"{whose}{words}" + ("" if words.endswith((".", "?", "!")) else ".")


def pressed(seconds: float | None = None, strokes: Keystrokes | None = None) -> str:
    """The first key or mouse button pressed within so long (None: for ever), as it was sent; "" for none.

    What a terminal says of itself, and what is pasted, is none. "\\x04" where there is nobody to press any more.
    """
    strokes = strokes or Keystrokes()
    while True:
        ready, _, _ = select.select([sys.stdin], [], [], seconds if seconds is not None else _ESCAPE)
        came = os.read(sys.stdin.fileno(), 4096) if ready else b""
        if ready and not came:
            return "\x04"
        found = strokes.feed(came)
        if found or seconds is not None:
            return found[0] if found else ""


@contextmanager
def single_keys(source: TextIO) -> Iterator[bool]:
    """Single keys where the source is a terminal and the system gives them; whether it is so."""
    if not source.isatty() or _only_lines():
        yield False
        return
    import termios
    import tty

    before = termios.tcgetattr(source)
    try:
        tty.setcbreak(source)
        yield True
    finally:
        termios.tcsetattr(source, termios.TCSAFLUSH, before)  # a key too many answers nothing that comes next


def _only_lines() -> bool:
    return find_spec("termios") is None  # Windows


def answered(question: str) -> str:
    """One key or click that answers a question, without Enter; "" for Esc and Ctrl+C, and where nobody is there any more.

    Where the system gives no single keys it is typed and ended by Enter.
    """
    if _only_lines():
        ask(f"{question}Then Enter.")
        line = sys.stdin.readline()
        key = (line.strip() or line)[:1]  # Enter alone is a key too
        return "" if key in NOBODY else key
    with single_keys(sys.stdin):
        ask(question)
        key = pressed()
    say(key if key.isprintable() else "")
    return "" if key in NOBODY else key


def numbered(question: str, least: int, most: int) -> int | None:
    """A number that answers a question, None for none: one key where it can be; else it is typed, then Enter."""
    if most > 9 or _only_lines():
        return _typed_number(f"{question} Type its number, then Enter; Enter alone: none.", least, most)
    with single_keys(sys.stdin):
        ask(f"{question} Press its number; Enter: none.")
        while (key := pressed()) not in (*NOBODY, "\r", "\n"):
            if key.isdecimal() and least <= int(key) <= most:  # any other key is a wet hand's
                say(key)
                return int(key)
    say("")
    return None


def _typed_number(question: str, least: int, most: int) -> int | None:
    while True:
        ask(question)
        typed = sys.stdin.readline().strip()
        if not typed:
            return None
        if typed.isdecimal() and least <= int(typed) <= most:
            return int(typed)


def how_answered() -> str:
    """How a session is answered on a plain terminal at which somebody sits, to be read before it begins."""
    help_ = HELP_BY_LINE if _only_lines() else HELP
    return f"Once it has begun: {help_[0].lower()}{help_[1:]}"


def on_this_terminal(conductor: Conductor, explained: bool) -> PlainFace:
    """The plain face on standard input and output."""
    say_lines([NOT_DARK])
    pedal = kept()
    return PlainFace(conductor, sys.stdin, sys.stdout, pedal.quiet if pedal else QUIET, explained)
