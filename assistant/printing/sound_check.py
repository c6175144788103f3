"""The sound check before a session: a voice and the pip are heard, and a tap says so. No paper is out yet.

Until it is answered nothing begins; where no sound is wanted, until a tap says that all is read. Meanwhile the session's
sentences are spoken to the disk, so that none is late.
"""

import os
import select
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from assistant.buttons.button import QUIET, STUCK
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.printing.live_sound import FromNow
from assistant.printing.plain_face import pressed, single_keys
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import say
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
ASK = "Sound check: do you hear the voice and the pip? Any key: yes. n: no. "
UNHEARD = (
    "Is the output the right one, switched on and turned up? `output`, `player` and `volume` are in {file};\n"
    "`traycall sounds` plays every tone. The check is repeated; any other key continues with the sound as it is."
)
LEFT = "\x04"
"""What is sent by Ctrl+D, and where nobody is there any more."""
READ = "No sound is wanted. Read all this first: then any key begins. "
WITHOUT = "{trouble}\nAny key continues without sound: the session is only shown, and the sound is tried again."


def sound_check(score: Score | None = None) -> None:
    """Sound the check through the printer's own desk until a key answers it; Refusal where the printer leaves.

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


def read_through() -> None:
    """Keep what is on the terminal until a key answers; Refusal where the printer leaves."""
    with _keys():
        say(READ, end="")
        if pressed() == LEFT:
            raise KeyboardInterrupt
        say()
        _until_left_alone()


@contextmanager
def _keys() -> Iterator[None]:
    """Single keys; who leaves by Ctrl+C or Ctrl+D has started nothing, and needs no dark terminal."""
    with single_keys(sys.stdin):
        try:
            yield
        except KeyboardInterrupt:
            say()
            raise Refusal("Nothing was started.") from None


def _until_answered(desk: "Desk", clock: FromNow) -> None:
    from assistant.devices.settings import settings_file

    say(ASK, end="")
    trouble, again, keys = "", 0, Keystrokes()
    while True:
        now = clock.now()
        if now >= again and desk.health():
            desk.give(Passage(0, (Cue(now + 100, "tell", words.SOUND_CHECK), Cue(now + PIP_AFTER, "pip"))))
            again = now + AGAIN
        if desk.trouble() not in ("", trouble):
            trouble = desk.trouble()
            say(f"\n{WITHOUT.format(trouble=trouble)} ", end="")
        key = _key(keys)
        if key in ("n", "N"):
            say(f"\n{UNHEARD.format(file=settings_file())} ", end="")
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
    if key == LEFT:
        raise KeyboardInterrupt
    return key
