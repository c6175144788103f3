"""The app that `sound` measures: a real Textual app that owns a sound desk, or plays by itself, under a load.

`python -m tests.bench.busy PLAYER LOAD COUNT FILE`. It writes the moments of its cues (seconds of the monotonic clock) into
FILE when it has promised them, answers every key by a sound, and goes on until it is killed.
"""

import ctypes
import json
import sys
import threading
import time
from pathlib import Path

from textual.app import App, ComposeResult
from textual.events import Key
from textual.widgets import Static

from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.printing.live_sound import FromNow
from assistant.score.cues import KINDS, Cue, Passage
from assistant.sound_helper.tones import RATE, make

PERIOD = 370
"""From cue to cue, ms."""
KINDS_IN_TURN = ("start", "end")
"""Two tones that glide, one up, one down: a cue can be late by more than a period and still be told from the next one,
and each is found where it is (a steady tone is now and then found a cycle or two beside its place)."""
FIRST = 8_000
"""From the desk's being ready to the first cue, ms: a session begins with a sound check, which takes longer."""
HELD, FREE = 0.3, 0.3
"""The interpreter is held so long, and then let go so long, seconds."""


class ByDesk:
    """The program's own way: everything is promised ahead to the sound desk."""

    def __init__(self, player: str) -> None:
        self._clock = FromNow()
        self._desk = Desk(self._clock, helper_settings(Settings(player=player)))
        while (health := self._desk.health()) is None or health.player != player:
            time.sleep(0.02)

    def begin(self, app: App[None], count: int) -> list[float]:
        """Promise the cues, each as a voice of its own, so that each is a buffer of its own."""
        first = self._clock.now() + FIRST
        cues = [Cue(first + i * PERIOD, KINDS_IN_TURN[i % len(KINDS_IN_TURN)], "", i + 1) for i in range(count)]
        for i, cue in enumerate(cues):
            self._desk.give(Passage(i + 1, (cue,)))
        return [self._clock.to_monotonic(cue.at) for cue in cues]

    def answer(self) -> None:
        """The answer to a key."""
        self._desk.say(Cue(self._clock.now(), "heard"))


class Naive:
    """What a reader could write in an afternoon: the app's own timer, and simpleaudio in the app."""

    EARLY = 0.05

    def __init__(self) -> None:
        import simpleaudio

        self._play = simpleaudio.play_buffer
        self._tones = {kind: make(KINDS[kind].tone or "") for kind in (*KINDS_IN_TURN, "heard")}
        self._left: list[tuple[float, str]] = []

    def begin(self, app: App[None], count: int) -> list[float]:
        """A timer of the app beats in time with the cues."""
        began = time.monotonic()
        moments = [began + i * PERIOD / 1000 for i in range(5, count + 5)]
        self._left = [(moment, KINDS_IN_TURN[i % len(KINDS_IN_TURN)]) for i, moment in enumerate(moments)]
        app.set_interval(PERIOD / 1000, self._beat)
        return moments

    def _beat(self) -> None:
        while self._left and self._left[0][0] <= time.monotonic() + self.EARLY:
            self._sound(self._left.pop(0)[1])

    def _sound(self, kind: str) -> None:
        self._play(self._tones[kind], 1, 2, RATE)

    def answer(self) -> None:
        """The answer to a key."""
        self._sound("heard")


class Busy(App[None]):
    """Shows a sheet of small figures; with the load "textual" all are styled, laid out and painted as fast as it can."""

    CSS = "Screen { layout: grid; grid-size: 12; grid-rows: 1; } Screen.odd Static { background: #330000; }"
    FIGURES = 300

    def __init__(self, sound: "ByDesk | Naive", load: str, count: int, file: Path) -> None:
        super().__init__()
        self._sound, self._load, self._count, self._file = sound, load, count, file
        self._turn = 0

    def compose(self) -> ComposeResult:
        """One sheet."""
        for _ in range(self.FIGURES):
            yield Static("0")

    def on_mount(self) -> None:
        """Begin the load, then the cues."""
        if self._load == "textual":
            self._paint()
        if self._load == "held":
            threading.Thread(target=_hold, daemon=True).start()
        moments = self._sound.begin(self, self._count)
        half = self._file.with_suffix(".half")
        half.write_text(json.dumps(moments))
        half.replace(self._file)

    def on_key(self, event: Key) -> None:
        """A tap."""
        self._sound.answer()

    def _paint(self) -> None:
        self._turn += 1
        self.screen.toggle_class("odd")
        for i, figure in enumerate(self.query(Static)):
            figure.update(f"{self._turn + i:06d}")
        self.call_after_refresh(self._paint)


def _hold() -> None:
    usleep = ctypes.PyDLL(None).usleep  # called through PyDLL it keeps the interpreter
    while True:
        usleep(int(HELD * 1_000_000))
        time.sleep(FREE)


def main(argv: list[str]) -> None:
    """Run until killed."""
    player, load, count, file = argv
    Busy(Naive() if player == "naive" else ByDesk(player), load, int(count), Path(file)).run()


if __name__ == "__main__":
    main(sys.argv[1:])
