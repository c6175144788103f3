"""Twins of what a conductor needs of the world, for rehearsals: time that jumps, a desk that keeps what would have been heard,
one that is silent by choice, and a journal of nothing.
"""

from assistant.conductor.ports import Slept
from assistant.score.cues import Cue, Passage
from assistant.session.bench import Bench
from assistant.session.happenings import Happening


class SetClock:
    """Time that stands still until it is set to a moment (ms since the session began)."""

    def __init__(self) -> None:
        self.at = 0

    def now(self) -> int:
        """The moment it was set to."""
        return self.at

    def slept(self) -> Slept | None:
        """It never sleeps."""
        return None


class SilentDesk:
    """No sound, asked for in so many words."""

    def give(self, passage: Passage) -> None:
        """Nothing is sounded."""

    def hush(self, voice: int) -> None:
        """Nothing sounds."""

    def say(self, cue: Cue) -> None:
        """Nothing is sounded."""

    def unheard(self) -> int | None:
        """None: who asks for silence watches the screen, so that what it shows was seen."""
        return None

    def trouble(self) -> str:
        """It is as it was asked for."""
        return ""


class RecordingDesk:
    """Keeps every cue that would have sounded by the moment it is asked about."""

    def __init__(self) -> None:
        self._waiting: dict[int, tuple[Cue, ...]] = {}
        self._now = -1
        self.heard: list[Cue] = []

    def give(self, passage: Passage) -> None:
        """These cues wait for their moments, in place of what was left of the voice; what is past is not made up for."""
        self._waiting[passage.voice] = tuple(cue for cue in passage.cues if cue.at > self._now)

    def hush(self, voice: int) -> None:
        """What waited of this voice is never heard."""
        self._waiting.pop(voice, None)

    def say(self, cue: Cue) -> None:
        """Heard at once."""
        self.heard.append(cue)

    def unheard_since(self, since: int) -> None:
        """Nobody heard what sounded after a moment (ms)."""
        self.heard = [cue for cue in self.heard if cue.at <= since]

    def until(self, at: int) -> list[Cue]:
        """Let time run to a moment (ms); what was heard so far, in order."""
        self._now = max(self._now, at)
        due: list[Cue] = []
        for voice, cues in self._waiting.items():
            if cues and cues[0].at <= at:
                due += [cue for cue in cues if cue.at <= at]
                self._waiting[voice] = tuple(cue for cue in cues if cue.at > at)
        self.heard += sorted(due, key=lambda cue: (cue.at, cue.sound.rank, cue.copy or 0, cue.kind))
        return self.heard

    def unheard(self) -> int | None:
        """All is heard here."""
        return None

    def trouble(self) -> str:
        """Nothing can go wrong here."""
        return ""


class NoJournal:
    """Keeps nothing: a rehearsal is no session."""

    def append(self, at: int, happening: Happening, bench: Bench) -> None:
        """It is not kept."""

    def alive(self, at: int, bench: Bench) -> None:
        """It is not kept."""

    def behind(self) -> bool:
        """Nothing waits."""
        return False

    def trouble(self) -> str:
        """Nothing was to be kept."""
        return ""
