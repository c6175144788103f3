"""What is to be read before a session, in pages, and the sound check: a voice and the pip are heard, and a tap says so.

No paper is out yet. Until it is answered nothing begins; where no sound is wanted, until a tap says that all is read.
Meanwhile the session's sentences are spoken to the disk, so that none is late.
"""

import os
import select
import shutil
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from assistant.buttons.button import QUIET, STUCK
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.printing.live_sound import FromNow
from assistant.printing.plain_face import NOBODY, answered, pressed, single_keys
from assistant.printing.refusal import Declined
from assistant.printing.text_out import ask, broken, say
from assistant.score import words
from assistant.score.cues import Cue, Passage
from assistant.score.score import Score
from assistant.terminal.parser import Keystrokes

if TYPE_CHECKING:
    from assistant.devices.desk import Desk

PIP_AFTER = 4_500
"""The pip comes after the question has been spoken (ms), at any rate of speech that can be set."""
AGAIN = 9_000
"""The check is heard again until it is answered, so often (ms): the pip has been over for four seconds by then."""
ASK = "Sound check: do you hear the voice and the pip? Any key: yes. n: no."
UNHEARD = (
    "Is the output the right one, switched on and turned up? `output`, `player` and `volume` are in {file}; "
    "`traycall sounds` plays every tone. The check is repeated; any other key continues with the sound as it is."
)
READ = "No sound is wanted. Read all this first: then any key begins."
MORE = "More: any key."
WITHOUT = "{trouble}\nAny key continues without sound: the session is only shown, and the sound is tried again."


def sound_check(score: Score | None = None) -> None:
    """Sound the check through the printer's own desk until a key answers it; Declined where the printer leaves.

    With a score its sentences are spoken to the disk meanwhile.
    """
    from assistant.devices.desk import Desk
    from assistant.devices.settings import helper_settings

    clock = FromNow()
    desk = Desk(clock, helper_settings())
    try:
        sentences = [cue.words for cue in rehearse(score, Punctual()).heard if cue.words] if score else []
        desk.prepare([words.SOUND_CHECK, *dict.fromkeys(sentences)])
        with _keys():
            _until_answered(desk, clock)
            say()
            desk.hush(0)
            desk.close()
            _until_left_alone()
    finally:
        desk.close()


def say_in_pages(lines: Sequence[str], above: Sequence[str] = ()) -> None:
    """Print lines, each time as many as the window holds above the question that follows.

    `above`: what stands there already and is to be read with the first page. Declined where the printer leaves.
    """
    rows, high = broken(lines), shutil.get_terminal_size().lines
    each = max(1, high - max(len(broken([question])) for question in (ASK, READ)))
    first = max(1, each - len(broken(above)))
    say("\n".join(rows[:first]))
    for at in range(first, len(rows), each):
        with _answered(MORE):
            say("\n".join(rows[at : at + each]))


def read_through() -> None:
    """Keep what is on the terminal until a key answers; Declined where the printer leaves."""
    with _answered(READ):
        pass


@contextmanager
def _answered(question: str) -> Iterator[None]:
    with _keys():
        if not answered(question):
            raise KeyboardInterrupt
        yield
        _until_left_alone()


@contextmanager
def _keys() -> Iterator[None]:
    """Single keys; who leaves by Esc, Ctrl+C or Ctrl+D has started nothing, and needs no dark terminal."""
    with single_keys(sys.stdin):
        try:
            yield
        except KeyboardInterrupt:
            say()
            raise Declined("Nothing was started.") from None


def _until_answered(desk: "Desk", clock: FromNow) -> None:
    from assistant.devices.settings import settings_file

    ask(ASK)
    trouble, again, keys = "", 0, Keystrokes()
    while True:
        now = clock.now()
        if now >= again and desk.health():
            desk.give(Passage(0, (Cue(now + 100, "tell", words.SOUND_CHECK), Cue(now + PIP_AFTER, "pip"))))
            again = now + AGAIN
        if desk.trouble() not in ("", trouble):
            trouble = desk.trouble()
            ask(f"\n{WITHOUT.format(trouble=trouble)}")
        key = _key(keys)
        if key in ("n", "N"):
            ask(f"\n{UNHEARD.format(file=settings_file())}")
        elif key:
            return


def _until_left_alone() -> None:
    """Take the touches that still belong to the answer: a second tap, a key that repeats. None of them begins a print."""
    end = time.monotonic() + STUCK / 1000
    while time.monotonic() < end and select.select([sys.stdin], [], [], QUIET / 1000)[0]:
        if not os.read(sys.stdin.fileno(), 4096):
            return


def _key(keys: Keystrokes) -> str:
    """A key or a mouse button pressed within a tenth of a second, "" for none."""
    key = pressed(0.1, keys)
    if key in NOBODY:
        raise KeyboardInterrupt
    return key
