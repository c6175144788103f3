"""Ears of a session: opened before its sound check, so that no pip falls into their loading; wired to conductor and desk."""

import contextlib
from collections.abc import Callable, Iterator
from pathlib import Path

from assistant.conductor.by_voice import ByVoice
from assistant.conductor.conductor import Conductor
from assistant.conductor.ports import SoundDesk
from assistant.devices.desk import Desk, SessionTime
from assistant.devices.ear_wire import ListenerSettings, WordingRow
from assistant.devices.ears import Listener, missing
from assistant.devices.settings import read_settings
from assistant.places import home
from assistant.printing.options import Options
from assistant.printing.text_out import say_lines
from assistant.score.score import Score
from assistant.session.advance import open_bench
from assistant.session.said import texts, wanted

NOTES = "notes"
"""The folder for the sound of notes, beside the records."""
LOADING = 20.0
"""Seconds that the ears may need to open before it is said that they did not: 2 as a rule. It is tried again
after that."""


class BeforeIt:
    """No session has begun: its moments are the common clock's own."""

    def to_monotonic(self, at: int) -> float:
        """Seconds of `time.monotonic()` at a moment, ms."""
        return at / 1000


def wordings_of(score: Score) -> tuple[WordingRow, ...]:
    """All that can be said in a session, the printer's own words in place of the shipped ones."""
    bench, own = open_bench(score), read_settings().say
    return tuple((name, number, text, said) for name in sorted(wanted(bench)) for number, said, text in texts(name, bench, own))


@contextlib.contextmanager
def ears_for(options: Options, score: Score) -> Iterator[Listener | None]:
    """Ears that hear what this session can want, if they were asked for; None else, or where there can be none, which is said."""
    settings = read_settings()
    asked = settings.ears if options.ears is None else options.ears
    lacking = missing() if asked else ""
    if lacking:
        say_lines([lacking])
    if not asked or lacking:
        yield None
        return
    listener = Listener(BeforeIt(), ListenerSettings("microphone", settings.microphone, wordings_of(score)))
    try:
        if not listener.ready(LOADING):
            say_lines([f"No ears yet, it is tried again and again: {listener.trouble() or 'they are still being opened.'}"])
        yield listener
    finally:
        listener.end()


def worked_by_voice(
    conductor: Conductor, desk: SoundDesk, ears: Listener, clock: SessionTime, session: int | None
) -> Callable[[], None]:
    """Let what is said be done; what closes the ears, or opens them again, by a key. `session` is its number in
    the records, None where nothing is kept of it.
    """
    ears.follow(clock)
    if isinstance(desk, Desk):
        desk.speaks, ears.speaking = ears.deaf, desk.listening
    file = lambda copy, at: str(spoken_note(session, copy, at)) if session is not None else ""  # noqa: E731
    settings = read_settings()
    return ByVoice(conductor, ears, settings.attention, file, settings.knock).turn


def spoken_note(session: int, copy: int | None, at: int) -> Path:
    """The file for a note's sound, named by session, copy and moment (s); beside the records."""
    folder = home() / NOTES
    with contextlib.suppress(OSError):  # its words are kept without
        folder.mkdir(exist_ok=True)
    whose = f"copy-{copy}" if copy is not None else "all"
    return folder / f"session-{session}-{whose}-{at / 1000:08.1f}.wav"
