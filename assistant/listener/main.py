"""The listener: a process of its own that hears, cuts and scores, so that no recognition delays a sound or a screen.

`python -m assistant.listener.main SETTINGS`: messages come in on standard input, answers go out on standard output, both by
`devices.ear_wire`. It gives way to everything else. End of input is the end: it never outlives its app.
"""

import contextlib
import os
import sys
import threading
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from assistant.devices import ear_wire as wire
from assistant.listener.cutting import CHUNK_MS, Cutter, Utterance
from assistant.listener.dictation import Dictation, kept, written
from assistant.listener.knocks import Knocking
from assistant.listener.loudness import Room
from assistant.listener.recogniser import NoModel, Recogniser
from assistant.listener.scoring import UNRIVALLED, Scorer, Wording
from assistant.listener.sources import NoSource, chunks

ALIVE_EVERY = 500
"""It tells that it hears so often (ms)."""
NICE = 12
"""How much it gives way: the sound helper and the screen come first."""
REMEMBERED = 60_000
"""Spans of the program's own words are forgotten so long after (ms)."""


@dataclass
class AppTold:
    """What the app said last: the names that are allowed, and when its own words sound (ms)."""

    allowed: frozenset[str] = frozenset()
    spans: list[tuple[float, float]] = field(default_factory=list)
    begun: threading.Event = field(default_factory=threading.Event)
    note: str | None = None
    """The file of a note that is to be taken down."""

    def hears(self, begin: float, end: float) -> bool:
        """Whether nothing of the program's own sounds in these words."""
        self.spans = [span for span in self.spans if span[1] > begin - REMEMBERED]
        return not any(begin < until and since < end for since, until in self.spans)


def main(argv: list[str]) -> None:
    """Listen until the input ends, or the source does."""
    settings, told = wire.ListenerSettings.from_line(argv[0]), AppTold()
    with contextlib.suppress(OSError, AttributeError):
        os.nice(NICE)
    threading.Thread(target=_obey, args=(told,), daemon=True).start()
    try:
        wordings = [Wording(name, number, text, said) for name, number, text, said in settings.wordings]
        recogniser = Recogniser()
        _listen(settings, told, Scorer(recogniser, wordings), recogniser)
        _tell(wire.Gone(wire.AT_END))
    except ImportError as error:
        _tell(wire.Gone(f"Listening wants the extra: pip install 'traycall[voice]' ({error.name} is missing)."))
    except (NoModel, NoSource) as error:
        _tell(wire.Gone(str(error)))
    os._exit(0)


def _listen(settings: wire.ListenerSettings, told: AppTold, scorer: Scorer, recogniser: Recogniser) -> None:
    said, speaking, room, cutter = 0.0, False, Room(), Cutter()
    note: Dictation | None = None
    writing: threading.Thread | None = None
    knocking = Knocking()
    told.begun.wait()
    for samples, at in chunks(settings.source, settings.input):
        if told.note is not None:
            note = note or Dictation()
            if note.feed(samples):
                writing = threading.Thread(target=_noted, args=(note.samples, told.note, recogniser))
                writing.start()
                note = told.note = None
        cut = None if note is not None else cutter.feed(samples)
        if cut is not None:
            _judge(cut, at + CHUNK_MS, cutter.heard, told, scorer, room)
        if (knocks := knocking.feed(samples, cutter.speaking)) is not None:
            since = at + CHUNK_MS - knocking.heard * CHUNK_MS
            _knocked(since + knocks.begin * CHUNK_MS, since + knocks.end * CHUNK_MS, told)
        if not cutter.speaking:
            room.hear(samples)
        speaks = cutter.speaking or note is not None
        if at - said >= ALIVE_EVERY or said == 0.0 or speaks != speaking:
            said, speaking = at, speaks
            _tell(wire.Alive(room.level, speaks))
    if writing is not None:
        writing.join()


def _judge(cut: Utterance, now: float, heard: int, told: AppTold, scorer: Scorer, room: Room) -> None:
    """Tell what an utterance was, unless the program itself was speaking; `now` is the end of the last chunk heard."""
    begin, end = (now - (heard - chunk) * CHUNK_MS for chunk in (cut.begin, cut.end))
    if not told.hears(begin, end):
        return
    found = scorer.found(cut.samples, told.allowed)
    if found is not None:
        one = found.wording
        score, margin, number_margin = found.score, found.margin, found.number_margin
        over = room.under(cut.words)
        _tell(wire.Understood(one.name, one.number, one.text, begin, end, score, margin, number_margin, over))


def _knocked(begin: float, end: float, told: AppTold) -> None:
    if wire.KNOCK in told.allowed and told.hears(begin, end):
        _tell(wire.Understood(wire.KNOCK, None, "three knocks", begin, end, 0.0, UNRIVALLED, UNRIVALLED))


def _noted(samples: NDArray[np.int16] | None, file: str, recogniser: Recogniser) -> None:
    """Write a note down; beside the listening, which must not stop for it."""
    if samples is None:
        _tell(wire.Noted("", "", spoken=False))
        return
    there = kept(samples, file)
    _tell(wire.Noted(written(samples, recogniser), there, spoken=True))


def _obey(told: AppTold) -> None:
    for line in sys.stdin:
        with contextlib.suppress(ValueError):
            message = wire.read_line(line)
            if isinstance(message, wire.Allow):
                told.allowed = frozenset(message.names)
                if told.allowed:
                    told.begun.set()
            elif isinstance(message, wire.Deaf):
                told.spans = [*told.spans, (message.begin, message.end)]
            elif isinstance(message, wire.TakeNote):
                told.note = message.file
    os._exit(0)


_TELLING = threading.Lock()


def _tell(answer: wire.FromListener) -> None:
    with _TELLING, contextlib.suppress(OSError):
        sys.stdout.write(wire.line_of(answer))
        sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:])
