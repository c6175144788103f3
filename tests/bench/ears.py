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
from numpy.typing import NDArray

from assistant.devices.ear_wire import ListenerSettings
from assistant.devices.ears import DEAF_AFTER, Listener
from assistant.printing.by_voice import BeforeIt, wordings_of
from assistant.printing.recipe_file import open_score
from tests import waiting
from tests.bench import sound
from tests.rig import RATE, Rig, missing
from tests.voice import MISSING
from tests.voice.evening import Evening, Microphone

TIMES = int(os.environ.get("WORDS", "20"))
APART = 3.0
"""Seconds from one command to the next where nothing answers: as often as a printer at full work."""
QUIET, SOUNDS = 0.5, 0.003
"""A printer speaks once the program has been silent so long (s); what it plays is sound from so much on (of full scale)."""
AHEAD = 0.25
"""Seconds of room that are written ahead: the words begin so soon after the program was found silent."""
PATIENCE = 5.0
"""Seconds after which no answer is to be expected."""
ASKED = "how much time"
UNHEARD, SPOKEN_OVER = "unheard", "spoken over"
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
    evening = Evening(rig, Microphone(rig, ahead=AHEAD))
    try:
        evening.until("copy one of two")
        pid = next(one for one in waiting.descendants(evening.program.pid) if "assistant.listener" in _call(one))
        used, began = _used(pid), time.monotonic()
        tried = [_asked(evening, rig) for _ in range(TIMES)]
        lasted = time.monotonic() - began
        core, memory = 100 * (_used(pid) - used) / lasted, _memory(pid)
        p50, p95 = np.percentile([one for one in tried if isinstance(one, float)], [50, 95])
        print(f"end of words to answer: median {p50:.2f} s{_aim('answer', p50)}, p95 {p95:.2f} s")
        print(f"of {TIMES}: {tried.count(UNHEARD)} unheard, {tried.count(SPOKEN_OVER)} said while the program began to speak")
        print(f"listener, a command every {lasted / TIMES:.1f} s, load {os.getloadavg()[0]:.1f}: ", end="")
        print(f"{core:.1f} % of a core{_aim('core', core)}, {memory:.0f} MB{_aim('memory', memory)}", flush=True)
    finally:
        evening.close()


def _asked(evening: Evening, rig: Rig) -> float | str:
    """Seconds from the end of the words to the answer, or why there was none; asked as a printer does, once nobody speaks."""
    played, lately = rig.record(), round(QUIET * RATE)
    silent = lambda: len(heard := played.so_far()) >= lately and not _sounds(heard[-lately:])  # noqa: E731
    waiting.until(silent, "an end of the program's words")
    evening.microphone.say(ASKED)
    line, answered = evening.until("no bath is running", seconds=PATIENCE), time.monotonic()
    samples, zero = played.end()
    if line:
        return answered - evening.microphone.over[-1]
    begin, end = (round((at - zero) * RATE) for at in (evening.microphone.began(ASKED), evening.microphone.over[-1]))
    around = round(DEAF_AFTER / 1000 * RATE)
    return SPOKEN_OVER if _sounds(samples[max(0, begin - around) : end + around]) else UNHEARD


def _sounds(samples: NDArray[np.float64]) -> bool:
    return bool(np.abs(samples).max(initial=0) >= SOUNDS)


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
    microphone.every(APART, ASKED)
    try:
        listener.ready(30)
        yield
    finally:
        listener.end()
        microphone.close()
        os.environ.clear()
        os.environ.update(before)
