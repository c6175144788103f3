"""The conductor: holds the bench, tells it what happened and when, and passes on what is to be heard and kept.

Knows a clock, a sound desk and a journal by their protocols, and nothing else of the world. `tell` is synchronous: on
its return the answer is sounding, the happening is on its way to the disk, and the bench is changed. An answer is shown
when what it answers is kept; it sounds at once, since a slow disk must delay no hand.
"""

from collections.abc import Callable

from assistant.conductor.ports import Clock, HappeningsJournal, Planner, SoundDesk
from assistant.score.cues import Cue
from assistant.session.advance import Outcome, advance
from assistant.session.bench import Bench
from assistant.session.happenings import Happening, HowLong, Note, Planned, SayAgain, Woke
from assistant.session.next_hand import closed
from assistant.session.passing import due
from assistant.session.view import Face, face

ALIVE_EVERY = 5_000
"""The journal is told at least so often (ms) that the program lives: so much at most, that was heard, is said to be unheard
after a crash."""
LISTENING_WAIT = 100
"""Where hands come from elsewhere, or a disk is waited for, it is looked so often (ms): that much later it is seen at most."""
LONGEST_WAIT = 1_000
"""No wait is longer than this (ms), so that a computer's nap is noticed on waking: as often as a clock on a screen moves."""

NO_NEW_PLAN = (Planned, SayAgain, HowLong, Note)
"""What changes nothing about where copies are."""
SILENCE = 3_000
"""After a silence of so long (ms) it is said where every copy is: a call of the plan may have fallen into it."""


class Conductor:
    """One session under way."""

    def __init__(
        self, bench: Bench, clock: Clock, sound: SoundDesk, journal: HappeningsJournal, planner: Planner | None = None
    ) -> None:
        self.bench = bench
        self._planner = planner
        """Asked after every hand, where several copies are on their way at once."""
        self._clock, self._sound, self._journal = clock, sound, journal
        self._heard_until = bench.now or -1  # what is said at the very beginning is still to be heard
        self._ahead: list[Cue] = []
        """What is promised and has not sounded, the next at the end."""
        self._said = ""
        self._unkept: list[Cue] = []
        """Answers that sound already and are shown when the journal has what they answer."""
        self._alive = bench.now
        self._silent_since: int | None = None
        self.listeners: list[Callable[[Cue], None]] = []
        self.inputs: list[Callable[[], None]] = []
        """Called at every beat: hands that come from elsewhere than a face, like what is said, are told then."""
        self.ears: Callable[[], str] = lambda: ""
        """How the ears are, for a face."""
        self.deaf: Callable[[], str] = lambda: ""
        """That they hear nothing at this moment, for a face that is painted anew."""
        self.asides: list[Callable[[], str]] = []
        """Asked every few seconds whether they have something to say ("" for nothing); it is no part of the session."""

    def open(self) -> None:
        """Give the sound desk all that is promised from now on."""
        for passage in self.bench.promised:
            self._sound.give(passage)
        self._look_ahead()

    def tell(self, happening: Happening, at: int | None = None, aloud: bool = True) -> Outcome:
        """Something happened, now or at a moment of its own (ms since the session began).

        Where not `aloud`, the answer is left for the caller to say, among other words.
        """
        self._notice_nap()
        self._notice_silence()
        self._pass_on(self._moment(at))
        return self._told(happening, self._moment(at), aloud)

    def _told(self, happening: Happening, at: int, aloud: bool = True) -> Outcome:
        outcome = advance(self.bench, happening, at)
        for voice in outcome.hush:
            self._sound.hush(voice)
        for passage in outcome.give:
            self._sound.give(passage)
        if outcome.answer is not None and aloud:
            self._sound.say(outcome.answer)
        self._journal.append(outcome.bench.now, happening, outcome.bench)
        self.bench = outcome.bench
        if outcome.give or outcome.hush:
            self._look_ahead()
        if outcome.answer is not None and aloud:
            self._unkept.append(outcome.answer)
        self._show_kept()
        if not isinstance(happening, NO_NEW_PLAN):
            self._plan()
        return outcome

    def _show_kept(self) -> None:
        if not self._unkept or self._journal.behind():
            return
        kept, self._unkept = self._unkept, []
        for answer in kept:
            self._notice(answer)

    def _plan(self) -> None:
        """Ask the planner, once the answer sounds; what it decides is told like any other happening, and kept."""
        planned = self._planner(self.bench) if self._planner is not None else None
        if planned is not None and planned != self.bench.planned:
            self._told(planned, self.bench.now, aloud=False)

    def _look_ahead(self) -> None:
        ahead = [cue for passage in self.bench.promised for cue in passage.cues if cue.at > self._heard_until]
        self._ahead = sorted(ahead, key=lambda cue: (-cue.at, -cue.sound.rank))

    def beat(self) -> bool:
        """Bring the bench up to now; whether anything about the copies changed."""
        self._notice_nap()
        self._notice_silence()
        self._show_kept()
        for take in self.inputs:
            take()
        now = self._moment(None)
        self._pass_on(now)
        before = self.bench
        self.bench = advance(before, None, now).bench
        if closed(self.bench):
            self._plan()
        changed = before.copies != self.bench.copies
        if changed or now - self._alive >= ALIVE_EVERY:
            self._journal.alive(now, self.bench)
            self._alive = now
            for words in filter(None, [aside() for aside in self.asides]):
                self.remark(words)
        return changed

    def remark(self, words: str, kind: str = "tell") -> None:
        """Say something that is no part of the session and is not kept: of a button, a window, a file, the ears."""
        cue = Cue(self._moment(None), kind, words)
        self._sound.say(cue)
        self._notice(cue)

    def wake_in(self) -> int:
        """How long nobody needs to look, ms, at most a second."""
        longest = LISTENING_WAIT if self.inputs or self._unkept else LONGEST_WAIT
        moments = [moment for moment in (due(self.bench), self._next_cue()) if moment is not None]
        return max(0, min([moment - self._clock.now() for moment in moments] + [longest]))

    def face(self) -> Face:
        """What a face shows now."""
        self.beat()
        return face(self.bench, self._said, self.trouble(), self.deaf() or self.ears())

    def now(self) -> int:
        """Whole ms since the session began."""
        return self._clock.now()

    def trouble(self) -> str:
        """What is wrong with the sound or the records, "" when all is well."""
        return " ".join(filter(None, (self._sound.trouble(), self._journal.trouble())))

    def more_to_say(self) -> bool:
        """Whether anything promised is still to be heard, or an answer to be shown."""
        return bool(self._unkept) or self._next_cue() is not None

    def nothing_due(self) -> bool:
        """Whether only a hand could change anything."""
        return due(self.bench) is None

    def _notice_nap(self) -> None:
        """After a sleep of the computer no pip of that time was heard; that is told before anything else."""
        nap = self._clock.slept()
        if nap is not None:
            self._pass_on(max(nap.since, self.bench.now))
            self.woke(nap.since)

    def woke(self, since: int) -> None:
        """Nobody was called from a moment (ms) until now, nor by another program before this one: none of that is shown."""
        self._heard_until = now = self._moment(None)
        self._look_ahead()
        self._told(Woke(max(since, self.bench.now)), now)

    def _notice_silence(self) -> None:
        """Where a pip went unheard nothing is taken for done; when the sound is back it is said where every copy is."""
        since, now = self._sound.unheard(), self._moment(None)
        if since is not None:
            self._told(Woke(since), now)
        if self._sound.trouble():
            self._silent_since = now if self._silent_since is None else self._silent_since
        elif self._silent_since is not None:
            lasted, self._silent_since = now - self._silent_since, None
            if lasted >= SILENCE and any(copy.live and not copy.boxed for copy in self.bench.copies):
                self._told(HowLong(), now)

    def _moment(self, at: int | None) -> int:
        return max(self.bench.now, self._clock.now() if at is None else at)

    def _next_cue(self) -> int | None:
        return self._ahead[-1].at if self._ahead else None

    def _pass_on(self, now: int) -> None:
        """Tell the listeners of every cue that has sounded by now."""
        self._heard_until = max(self._heard_until, now)
        while self._ahead and self._ahead[-1].at <= now:
            self._notice(self._ahead.pop())

    def _notice(self, cue: Cue) -> None:
        if cue.words:
            self._said = cue.words
        for listener in self.listeners:
            listener(cue)
