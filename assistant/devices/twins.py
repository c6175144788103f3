"""Twins of the sound desk: one that is silent by choice, one that keeps what would have been heard."""

from assistant.score.cues import Cue, Passage


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
        self._now = 0
        self.heard: list[Cue] = []

    def give(self, passage: Passage) -> None:
        """These cues wait for their moments, in place of what was left of the voice; what is past is not made up for."""
        ahead = (cue for cue in passage.cues if cue.at >= self._now and cue not in self.heard)
        self._waiting[passage.voice] = tuple(ahead)

    def hush(self, voice: int) -> None:
        """What waited of this voice is never heard."""
        self._waiting.pop(voice, None)

    def say(self, cue: Cue) -> None:
        """Heard at once."""
        self.heard.append(cue)

    def until(self, at: int) -> list[Cue]:
        """Let time run to a moment (ms); what was heard so far, in order."""
        self._now = max(self._now, at)
        for voice, cues in self._waiting.items():
            self.heard += [cue for cue in cues if cue.at <= at]
            self._waiting[voice] = tuple(cue for cue in cues if cue.at > at)
        self.heard.sort(key=lambda cue: cue.at)
        return self.heard

    def unheard(self) -> int | None:
        """All is heard here."""
        return None

    def trouble(self) -> str:
        """Nothing can go wrong here."""
        return ""
