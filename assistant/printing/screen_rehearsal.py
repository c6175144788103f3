"""A rehearsal at a pace: a conductor whose clock jumps from event to event, never ahead of the time that a player lets pass."""

import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from assistant.conductor.conductor import Conductor
from assistant.conductor.ports import HappeningsJournal, Planner, SoundDesk
from assistant.conductor.rehearsal import MOST_EVENTS, Printer
from assistant.devices.clock import JumpingClock
from assistant.score.cues import Cue, Passage
from assistant.session.bench import Bench
from assistant.session.passing import due

PACES = (0.25, 1.0, 2.0, 5.0, 10.0, 30.0, 60.0)
"""How many times real speed."""
USUAL = 10.0
"""A bath of two minutes in twelve seconds: an edition is soon through, and can still be followed."""
LOOK_EVERY = 20
"""No look comes sooner after the last one (real ms): fifty a second are enough for the eye."""


class PacedTime:
    """How session time follows real time: at a pace, or not at all while paused."""

    def __init__(self, seconds: Callable[[], float] = time.monotonic) -> None:
        self._seconds = seconds
        self._zero, self._from = seconds(), 0
        self.pace, self.paused = USUAL, False

    def now(self) -> int:
        """Whole ms since the session began."""
        return self._from if self.paused else self._from + round((self._seconds() - self._zero) * 1000 * self.pace)

    def to_monotonic(self, at: int) -> float:
        """Seconds of `time.monotonic()` at a moment of the session."""
        return self._zero + (at - self._from) / 1000 / self.pace

    def set(self, pace: float, paused: bool, at: int | None = None) -> None:
        """Another pace, or none, from now or from a moment ahead on."""
        self._from = self.now() if at is None else at
        self._zero, self.pace, self.paused = self._seconds(), pace, paused


class Closing(SoundDesk, Protocol):
    """A sound desk that can be closed."""

    def close(self) -> None:
        """Sound no more; takes a moment."""
        ...


class OnRequest:
    """A sound desk that sounds only while it is asked to: opened then, and told all that is still promised."""

    def __init__(self, opened: Callable[[], Closing]) -> None:
        self._open = opened
        self._desk: Closing | None = None
        self._given: dict[int, Passage] = {}

    def give(self, passage: Passage) -> None:
        """Sound it, or keep it until sound is asked for."""
        self._given[passage.voice] = passage
        if self._desk is not None:
            self._desk.give(passage)

    def hush(self, voice: int) -> None:
        """Forget it."""
        self._given.pop(voice, None)
        if self._desk is not None:
            self._desk.hush(voice)

    def say(self, cue: Cue) -> None:
        """Sound it, or not."""
        if self._desk is not None:
            self._desk.say(cue)

    def unheard(self) -> int | None:
        """None: nothing of a rehearsal counts, heard or not."""
        return None

    def trouble(self) -> str:
        """Silence that was asked for is no trouble."""
        return self._desk.trouble() if self._desk is not None else ""

    @property
    def sounding(self) -> bool:
        """Whether it is asked to."""
        return self._desk is not None

    def let(self, sounding: bool) -> None:
        """Sound from here on, or fall silent."""
        if sounding and self._desk is None:
            self._desk = self._open()
            for passage in self._given.values():
                self._desk.give(passage)
        elif not sounding and self._desk is not None:
            desk, self._desk = self._desk, None
            for voice in self._given:
                desk.hush(voice)
            threading.Thread(target=desk.close, name="closing the sound").start()  # it waits for what sounds to end


class PacedConductor(Conductor):
    """A conductor who plays the printer's hands too, and brings the session up to the paced time at every look."""

    def __init__(
        self,
        bench: Bench,
        clock: JumpingClock,
        sound: SoundDesk,
        journal: HappeningsJournal,
        printer: Printer,
        planner: Planner | None = None,
    ) -> None:
        super().__init__(bench, clock, sound, journal, planner)
        self._jumping = clock
        self._printer = printer
        self.time = PacedTime()

    def beat(self) -> bool:
        """All that happens by the paced moment, in its order."""
        until, changed = max(self.time.now(), self._jumping.now()), False
        for _ in range(MOST_EVENTS):
            if (at := self.next_event()) is None or at > until:
                break
            changed = self._event(at) or changed
        self._jumping.jump(until)
        return super().beat() or changed

    def next_event(self) -> int | None:
        """When something happens next: a hand, or time's own; None where nothing will."""
        hand = self._printer.next(self.bench)
        moments = [at for at in (due(self.bench), hand[0] if hand else None) if at is not None]
        return max(self._jumping.now(), min(moments)) if moments else None

    def next_cue(self) -> int | None:
        """When something is heard next; None where nothing is promised."""
        return self._next_cue()

    def _event(self, at: int) -> bool:
        self._jumping.jump(at)
        hand, own = self._printer.next(self.bench), due(self.bench)
        if hand is not None and hand[0] <= at and (own is None or hand[0] < own):
            self.tell(hand[1], at)
            self._printer.played(hand)
            return True
        return super().beat()

    def wake_in(self) -> int:
        """The same in real ms."""
        return max(LOOK_EVERY, round(super().wake_in() / self.time.pace))


class PacedPlayer:
    """What the keys of a rehearsal do."""

    def __init__(self, conductor: PacedConductor, desk: OnRequest) -> None:
        self._conductor, self._desk = conductor, desk
        self._time = conductor.time

    @property
    def keys(self) -> dict[str, Callable[[], None]]:
        """What each key does."""
        faster, slower, step = self.faster, self.slower, self.step
        paces = {"plus": faster, "up": faster, "minus": slower, "down": slower}
        return {**paces, "space": self.pause, "right": step, "n": step, "s": self.sound}

    def how(self) -> str:
        """How it goes, and the keys."""
        pace, sound = "paused" if self._time.paused else f"{self._time.pace:g}x", "on" if self._desk.sounding else "off"
        return f"rehearsal {pace}  esc leave  space pause  + - pace  n next  s sound {sound}"

    def faster(self) -> None:
        """The next pace; beyond real speed nothing is heard."""
        self._set(next((pace for pace in PACES if pace > self._time.pace), PACES[-1]), False)

    def slower(self) -> None:
        """The pace before."""
        self._set(next((pace for pace in reversed(PACES) if pace < self._time.pace), PACES[0]), False)

    def pause(self) -> None:
        """Stand still, or go on."""
        self._set(self._time.pace, not self._time.paused)

    def step(self) -> None:
        """To the next thing that is heard or done, and stand still there."""
        moments = [at for at in (self._conductor.next_event(), self._conductor.next_cue()) if at is not None]
        self._desk.let(False)
        self._time.set(self._time.pace, True, max(self._time.now(), min(moments)) if moments else None)

    def sound(self) -> None:
        """Real speed and sound; or silence."""
        if self._desk.sounding:
            self._desk.let(False)
        else:
            self._time.set(1.0, False)
            self._desk.let(True)

    def _set(self, pace: float, paused: bool) -> None:
        self._time.set(pace, paused)
        self._desk.let(self._desk.sounding and pace == 1.0 and not paused)


def rehearse_on_screen(file: Path, copies: int | None) -> str:
    """Show the whole session of a recipe at a pace; "" or why it can't be."""
    from assistant.buttons.one_button import one_button
    from assistant.conductor.planner import planner_for
    from assistant.conductor.rehearsal import Punctual
    from assistant.conductor.twins import NoJournal
    from assistant.devices.desk import Desk
    from assistant.devices.settings import BadSetting, helper_settings, read_settings
    from assistant.printing.recipe_file import open_score
    from assistant.printing.refusal import Refusal
    from assistant.screens.app import Seen
    from assistant.screens.dry.rehearsal import Rehearsing
    from assistant.session.advance import open_bench
    from assistant.terminal.brightness import is_guarded

    try:
        score, hands = open_score(file, copies), read_settings().own_hands
    except (Refusal, BadSetting) as error:
        return str(error)
    clock, desk = JumpingClock(), OnRequest(lambda: Desk(conductor.time, helper_settings()))
    conductor = PacedConductor(open_bench(score), clock, desk, NoJournal(), Punctual(), planner_for(score, hands))
    conductor.open()
    try:
        player = PacedPlayer(conductor, desk)
        Rehearsing(conductor, one_button(conductor), Seen("setup", is_guarded()), player.keys, player.how).until_left()
    finally:
        desk.let(False)
    return ""
