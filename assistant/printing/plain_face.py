"""The plain face: a line for everything heard, any key or any line a tap. For terminals that can do no more.

It knows the conductor and a stream of text in and out, nothing else. A plain terminal is not dark.
"""

import os
import select
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TextIO

from assistant.conductor.conductor import Conductor
from assistant.printing.text_out import say
from assistant.printing.transcript import line, shown
from assistant.score.cues import Cue, Rank
from assistant.session import happenings as h
from assistant.session.commands import KEYS, TOLD
from assistant.session.script import typed

NOT_DARK = "This is a plain terminal: it is not dark. Keep it covered while paper is out."
HELP = (
    "Any key is a tap, but: a say it again, l how long, h hold or go on, v void, u undo, m it went in five seconds "
    "ago, e end (twice)."
)
NAMED = {key: name for name, key in KEYS.items()}
RESTING = 750
"""A key that comes again within this time (ms) is a resting glove, not a second tap."""


class PlainFace:
    """Runs a session to its end on two streams."""

    def __init__(self, conductor: Conductor, source: TextIO, out: TextIO) -> None:
        self.conductor, self.source, self.out = conductor, source, out
        self.open_source = True
        self._last_key = -RESTING
        self._trouble = ""
        conductor.listeners.append(self._heard)

    def run(self) -> None:
        """Until the session is over, or nobody can tap any more and no bath is running."""
        with single_keys(self.source) as by_key:
            say(HELP if by_key else "An empty line is a tap; else a word: void 2, undo, hold, go, moved 5s, end.", to=self.out)
            while not self._over():
                for text in self._typed(self.conductor.wake_in(), by_key):
                    self._tell(text, by_key)
                self.conductor.beat()
                self._say_trouble()
            self.conductor.beat()

    def _over(self) -> bool:
        bench = self.conductor.bench
        if bench.ended or (bench.finished and not self.conductor.more_to_say()):
            return True
        return not self.open_source and not bench.finished and self.conductor.nothing_due()

    def _typed(self, wait: int, by_key: bool) -> Iterator[str]:
        if not self.open_source:
            select.select([], [], [], wait / 1000)
            return
        ready, _, _ = select.select([self.source], [], [], wait / 1000)
        if not ready:
            return
        raw = os.read(self.source.fileno(), 4096)
        if not raw:
            self.open_source = False
            return
        text = raw.decode("utf-8", "replace")
        if by_key:
            yield text[0]
        else:
            yield from text.splitlines()

    def _tell(self, text: str, by_key: bool) -> None:
        if by_key:
            now = self.conductor.now()
            resting, self._last_key = now - self._last_key < RESTING, now
            name = NAMED.get(text, "")
            if name == "help":
                say(HELP, to=self.out)
            elif name and name not in TOLD:
                say("  Notes, temperatures and strips are typed on the screen, not here.", to=self.out)
            elif not resting:
                self.conductor.tell(TOLD[name](self.conductor.bench) if name else h.Tap())
            return
        try:
            self.conductor.tell(typed(text))
        except ValueError as error:
            say(f"  {error}", to=self.out)

    def _heard(self, cue: Cue) -> None:
        if shown(cue):
            say(line(cue), to=self.out)
        if self._trouble and cue.sound.rank is Rank.ACT:
            self.out.write("\a")
            self.out.flush()

    def _say_trouble(self) -> None:
        trouble = self.conductor.trouble()
        if trouble != self._trouble:
            say(f"  !! {trouble}" if trouble else "  sound is back", to=self.out)
            self._trouble = trouble


@contextmanager
def single_keys(source: TextIO) -> Iterator[bool]:
    """Single keys where the source is a terminal; whether it is."""
    if not source.isatty():
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


def on_this_terminal(conductor: Conductor) -> PlainFace:
    """The plain face on standard input and output."""
    say(NOT_DARK)
    return PlainFace(conductor, sys.stdin, sys.stdout)
