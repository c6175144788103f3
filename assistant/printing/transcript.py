"""A session as lines of text, one for each thing heard: what `rehearse` prints and what a plain terminal shows."""

from assistant.score.cues import Cue
from assistant.score.score import Score

SILENT = frozenset({"tick", "tenth"})
"""Left out of a transcript: a line a second says nothing."""


def clock(ms: int) -> str:
    """A moment (ms) as `m:ss.s` or `h:mm:ss.s`, tenths cut and not rounded, so that no line is ahead of its time."""
    minutes, rest = divmod(ms // 100, 600)
    hours, minutes = divmod(minutes, 60)
    seconds, tenth = divmod(rest, 10)
    head = f"{hours}:{minutes:02}" if hours else str(minutes)
    return f"{head}:{seconds:02}.{tenth}"


def line(cue: Cue, score: Score) -> str:
    """One cue: moment, whose, how it sounds, what is said."""
    whose = f"{score.plan.recipe.called} {cue.copy}" if cue.copy is not None else "all" if cue.step else ""
    return f"{clock(cue.at):>9}  {whose:<7}  {cue.kind:<7}  {cue.words}".rstrip()


def shown(cue: Cue) -> bool:
    """Whether a transcript has a line for it."""
    return cue.kind not in SILENT and (bool(cue.words) or cue.sound.tone is not None)
