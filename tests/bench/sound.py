"""How far from its moment a cue is heard, and how soon a tap is answered: on a real sound server, recorded.

Three ways to play, each under four loads, `COUNT` cues each: the sound desk over simpleaudio, the sound desk over an open
stream, and what a reader could write in an afternoon (`busy.Naive`). The median of a run is the constant way from the
call through server and recorder (its time stamps are good to about 1.5 ms); it is printed and taken off.
Nothing is taken off the answers to taps.
"""

import contextlib
import fcntl
import json
import os
import pty
import random
import struct
import subprocess
import sys
import termios
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.score.cues import KINDS
from assistant.sound_helper.tones import make
from tests.bench.busy import KINDS_IN_TURN, PERIOD
from tests.rig import Recording, Rig, at_rig_rate, missing, onsets

COUNT = int(os.environ.get("CUES", "100"))
LOADS = {
    "idle": "nothing else goes on",
    "textual": "the app paints as fast as it can",
    "held": "a C call holds the app's interpreter 300 ms, again and again",
    "hogs": "two busy processes",
}
AIMS = {"simpleaudio": 10.0, "stream": 2.0}
"""Player -> ms of error that 99 of 100 cues are to stay under."""
TAP_AIM = 60.0
SURE = 1 / 48
"""No error is known better than to one sample of the recording, ms."""
PLAYERS = ("simpleaudio", "stream", "naive")
BUSY = [sys.executable, "-c", "while True: pass"]


@dataclass(frozen=True)
class Errors:
    """By how much each cue that was heard missed its moment, ms, and how many were not heard or were too many."""

    ms: NDArray[np.float64]
    lost: int
    extra: int

    def about_median(self) -> NDArray[np.float64]:
        """Without the constant way, whatever the sign."""
        return np.maximum(np.abs(self.ms - np.median(self.ms)), SURE)


def run() -> None:
    """The whole table; between eleven and twelve minutes."""
    if lacks := missing():
        print(lacks)
        return
    rig = Rig().start()
    try:
        errors = {(load, player): cues(rig, player, load) for load in LOADS for player in PLAYERS}
        _ratios(errors)
        for player in PLAYERS:
            _taps(rig, player)
    finally:
        rig.close()


def cues(rig: Rig, player: str, load: str) -> Errors:
    """One run, printed: a player under a load."""
    recording = rig.record()  # first: a null sink that nobody listens to works in blocks of two seconds
    with _hogs(load == "hogs"), _app(rig, player, load, COUNT) as (_, file):
        moments = json.loads(file.read_text())
        time.sleep(max(0.0, moments[-1] - time.monotonic()) + 1.5)
    errors = matched(recording, moments)
    late = errors.about_median()
    print(
        f"{load:<8}{player:<12}{_figures(late)}   constant {np.median(errors.ms):+6.1f}   "
        f"lost {errors.lost}, extra {errors.extra}{_aim(AIMS.get(player), late)}",
        flush=True,
    )
    return errors


def matched(recording: Recording, moments: list[float]) -> Errors:
    """Each cue's onset in the recording by its own tone's matched filter, against its moment."""
    samples, _ = recording.end()
    found: list[float] = []
    extra = 0
    for i, kind in enumerate(KINDS_IN_TURN):
        heard = [recording.when(at) for at in onsets(samples, at_rig_rate(make(KINDS[kind].tone or "")), 0.6)]
        for moment in moments[i :: len(KINDS_IN_TURN)]:
            near = [at for at in heard if -0.7 * PERIOD < (at - moment) * 1000 < 1.3 * PERIOD]
            if near:
                found.append((near[0] - moment) * 1000)
                heard.remove(near[0])
        extra += len(heard)
    return Errors(np.array(found), len(moments) - len(found), extra)


def _taps(rig: Rig, player: str) -> None:
    tapped, chance = [], random.Random(7)
    recording = rig.record()
    with _app(rig, player, "idle", 0) as (terminal, _):
        time.sleep(1.0)
        for _ in range(COUNT):
            tapped.append(time.monotonic())
            os.write(terminal, b" ")
            time.sleep(chance.uniform(0.2, 0.4))
        time.sleep(1.0)
    samples, _ = recording.end()
    heard = np.array([recording.when(at) for at in onsets(samples, at_rig_rate(make("heard")), 0.7)])
    if len(heard) != len(tapped):
        print(f"tap     {player:<12}{len(heard)} answers to {len(tapped)} taps")
        return
    late = (heard - np.array(tapped)) * 1000
    print(f"tap     {player:<12}{_figures(late)}   from the key to the sound{_aim(TAP_AIM, late)}", flush=True)


def _figures(late: NDArray[np.float64]) -> str:
    p50, p95, p99 = np.percentile(late, [50, 95, 99])
    return f"p50 {p50:6.1f}  p95 {p95:6.1f}  p99 {p99:6.1f}  max {late.max():6.1f} ms"


def _aim(aim: float | None, late: NDArray[np.float64]) -> str:
    if aim is None:
        return ""
    return f"   aim: p99 <= {aim:g} ms, {'met' if np.percentile(late, 99) <= aim else 'MISSED'}"


def _ratios(errors: dict[tuple[str, str], Errors]) -> None:
    print("\nnaive against the desk, p99 over p99 (max over max)")
    for load, what in LOADS.items():
        late = {player: errors[load, player].about_median() for player in PLAYERS}
        parts = []
        for player in AIMS:
            p99 = np.percentile(late["naive"], 99) / np.percentile(late[player], 99)
            parts.append(f"{player} {p99:6.1f} ({late['naive'].max() / late[player].max():.1f})")
        print(f"{load:<8}{'   '.join(parts)}   {what}")
    print()


@contextlib.contextmanager
def _app(rig: Rig, player: str, load: str, count: int) -> Iterator[tuple[int, Path]]:
    """The app on a terminal of its own; the terminal, and the file with the moments once it is there."""
    file = rig.folder / f"{player}-{load}-{count}.json"
    terminal, other = pty.openpty()
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
    call = [sys.executable, "-m", "tests.bench.busy", player, load, str(count), str(file)]
    env = {**rig.env, "TERM": "xterm-256color"}
    app = subprocess.Popen(call, env=env, stdin=other, stdout=other, stderr=other, start_new_session=True)
    os.close(other)
    threading.Thread(target=_drain, args=(terminal,), daemon=True).start()
    try:
        until = time.monotonic() + 30
        while not file.exists():
            if app.poll() is not None or time.monotonic() > until:
                raise RuntimeError(f"{player} under {load}: the app did not begin")
            time.sleep(0.01)
        yield terminal, file
    finally:
        app.kill()
        app.wait()
        os.close(terminal)
        file.unlink(missing_ok=True)


def _drain(terminal: int) -> None:
    with contextlib.suppress(OSError):
        while os.read(terminal, 1 << 16):
            pass


@contextlib.contextmanager
def _hogs(wanted: bool) -> Iterator[None]:
    hogs = [subprocess.Popen(BUSY) for _ in range(2 if wanted else 0)]
    try:
        yield
    finally:
        for hog in hogs:
            hog.kill()
            hog.wait()
