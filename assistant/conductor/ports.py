"""What a conductor needs of the world: a clock, a sound desk, a journal, ears where it is worked by voice, and a planner
where several copies are on their way at once.

Each has a twin for rehearsals and tests.
"""

from collections.abc import Callable
from typing import Protocol

from assistant.score.cues import Cue, Passage
from assistant.session.bench import Bench
from assistant.session.happenings import Happening, Planned
from assistant.session.heard import Heard, SpokenNote


class Slept(Protocol):
    """A time in which nobody was called."""

    @property
    def since(self) -> int:
        """Its beginning, ms since the session began."""
        ...


class Clock(Protocol):
    """Says how long the session has been going, sleep and crashes included."""

    def now(self) -> int:
        """Whole milliseconds since the session began."""
        ...

    def slept(self) -> "Slept | None":
        """Whether the computer slept since this was last asked."""
        ...


class SoundDesk(Protocol):
    """Takes whole passages with their moments and sounds them in time. No call blocks, none raises."""

    def give(self, passage: Passage) -> None:
        """Sound this voice's cues at their moments (ms since the session began) in place of what was left of it."""
        ...

    def hush(self, voice: int) -> None:
        """Forget what is left of a voice and fade what sounds."""
        ...

    def say(self, cue: Cue) -> None:
        """Sound one cue at once: the answer to a hand. `cue.at` is when the hand acted."""
        ...

    def unheard(self) -> int | None:
        """Since when (ms since the session began) a cue may have gone unheard at whose moment something is taken for done.

        Told once; None where all was heard. It may be known only seconds later.
        """
        ...

    def trouble(self) -> str:
        """What is wrong with the sound in one sentence, "" when all is well."""
        ...


class HappeningsJournal(Protocol):
    """Keeps every happening in its order, and what became of the copies. No call waits for a slow disk."""

    def append(self, at: int, happening: Happening, bench: Bench) -> None:
        """Have one happening written at its moment (ms since the session began), with the bench it made."""
        ...

    def behind(self) -> bool:
        """Whether something is still on its way to the disk; what can't be kept is not, it is `trouble`."""
        ...

    def alive(self, at: int, bench: Bench) -> None:
        """The program lives at this moment: what was to be called until now was called, and this is how the bench stands."""
        ...

    def trouble(self) -> str:
        """Why the session is not being kept, "" when it is."""
        ...


class Planner(Protocol):
    """Decides for several copies that are on their way at once what may wait how long, and who is asked for next."""

    def __call__(self, bench: Bench) -> Planned | None:
        """What to tell the session now; None where nothing is left to plan."""
        ...


class Ears(Protocol):
    """Hear phrases and hand them on, each once and stamped when its words began. No call blocks, none raises."""

    def listen(self, heard: Callable[[Heard], None]) -> None:
        """Hand every phrase to this from now on; it may be called from any thread."""
        ...

    def allow(self, names: frozenset[str]) -> None:
        """Hear only phrases of these names."""
        ...

    def deaf(self, begin: int, end: int) -> None:
        """Hear nothing that sounds between these moments (ms since the session began): the program itself speaks."""
        ...

    def passes_over(self, at: int) -> bool:
        """Whether nothing that sounds at a moment (ms since the session began) is heard, since the program itself speaks."""
        ...

    def take_down(self, file: str, noted: Callable[[SpokenNote | None], None]) -> None:
        """Keep what is said next, up to half a minute, as sound in a file, and hand it on; None where nothing was said.

        It may be handed on from any thread.
        """
        ...

    def open(self) -> None:
        """Hear what is allowed."""
        ...

    def close(self) -> None:
        """Hear nothing but that the ears are to be opened."""
        ...

    def trouble(self) -> str:
        """What is wrong with the microphone in one sentence, "" when all is well."""
        ...
