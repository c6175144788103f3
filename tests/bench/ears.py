"""What the ears cost, and how soon they answer: the real program, a real sound server, words beside a room.

From the end of the words to the program's line of answer; processor and memory of the listener; pips without and with ears, turn
about, by the same recording as in `sound`.
"""

import contextlib
import os
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from assistant.devices.ear_wire import ListenerSettings
from assistant.devices.ears import Listener
from assistant.printing.by_voice import BeforeIt, wordings_of
from assistant.printing.recipe_file import open_score
from tests import waiting
from tests.bench import sound
from tests.rig import Rig, missing
from tests.voice import MISSING
from tests.voice.evening import Evening, Microphone

TIMES = int(os.environ.get("WORDS", "20"))
APART = 3.0
"""Seconds from one command to the next: as often as a printer at full work."""
AIMS = {"answer": 0.8, "core": 12.0, "memory": 280.0}
"""Median seconds, per cent of one core, MB."""
TURNS = 2
TICKS = os.sysconf("SC_CLK_TCK")


def run() -> None:
    """Both tables; about ten minutes."""
    if lacks := missing() or ", ".join(MISSING):
        print(lacks)
        return
    rig = Rig().start()
    try:
        _answers(rig)
    finally:
        rig.close()
    for player in ("simpleaudio", "stream"):
        for _ in range(TURNS):
            for ears in (False, True):
                _pips(player, ears)


def _answers(rig: Rig) -> None:
    evening = Evening(rig, Microphone(rig))
    try:
        evening.until("copy one of two")
        pid = next(one for one in waiting.descendants(evening.program.pid) if "assistant.listener" in _call(one))
        used, began, late, unheard = _used(pid), time.monotonic(), [], 0
        for _ in range(TIMES):
            spoken = len(evening.microphone.over)
            evening.microphone.say("how much time")
            line = evening.until("no bath is running", seconds=APART + 2)
            if line:
                late.append(time.monotonic() - evening.microphone.over[spoken])
            unheard += not line
            waiting.pause(APART)
        core = 100 * (_used(pid) - used) / (time.monotonic() - began)
        memory = _memory(pid)
        p50, p95 = np.percentile(late, [50, 95])
        print(f"end of words to answer: median {p50:.2f} s{_aim('answer', p50)}, p95 {p95:.2f} s, {unheard} of {TIMES} unheard")
        print(f"listener: {core:.1f} % of a core{_aim('core', core)}, {memory:.0f} MB{_aim('memory', memory)}", flush=True)
    finally:
        evening.close()


def _aim(what: str, value: float) -> str:
    return f" (aim {AIMS[what]:g}: {'met' if value <= AIMS[what] else 'MISSED'})"


def _call(pid: int) -> str:
    with contextlib.suppress(OSError):
        return Path(f"/proc/{pid}/cmdline").read_text(encoding="utf-8", errors="replace")
    return ""


def _used(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / TICKS


def _memory(pid: int) -> float:
    status = Path(f"/proc/{pid}/status").read_text(encoding="utf-8")
    return int(status.split("VmHWM:")[1].split()[0]) / 1000


def _pips(player: str, ears: bool) -> None:
    rig = Rig().start()
    try:
        print("with ears    " if ears else "without ears ", end="")
        with _listening(rig) if ears else contextlib.nullcontext():
            sound.cues(rig, player, "idle")
    finally:
        rig.close()


@contextlib.contextmanager
def _listening(rig: Rig) -> Iterator[None]:
    """Ears on a room in which a command is said every few seconds."""
    before = dict(os.environ)
    os.environ.update(rig.env)
    microphone = Microphone(rig)
    wordings = wordings_of(open_score(Path("slipway-edition"), None))
    listener = Listener(BeforeIt(), ListenerSettings("parec", "mic.monitor", wordings))
    listener.allow(frozenset({"how_long", "undo", "in", "begin"}))
    microphone.every(APART, "how much time")
    try:
        listener.ready(30)
        yield
    finally:
        listener.end()
        microphone.close()
        os.environ.clear()
        os.environ.update(before)
