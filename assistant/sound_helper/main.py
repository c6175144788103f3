"""The sound helper: a process of its own that mixes and plays, so that no stall of the app moves a sound.

`python -m assistant.sound_helper.main SETTINGS`: messages come in on standard input, answers go out on standard output,
both by `devices.wire`. End of input is the end, whatever else it is doing: a helper never outlives its app. What is
heard when is decided in `sequencer`.
"""

import contextlib
import os
import queue
import signal
import sys
import threading
import time
from pathlib import Path

from assistant.devices import wire
from assistant.devices.wire import HelperSettings
from assistant.sound_helper.mixing import Mixer
from assistant.sound_helper.open_player import open_player
from assistant.sound_helper.phrase_cache import PhraseCache
from assistant.sound_helper.players import NoDevice, Player
from assistant.sound_helper.sequencer import Sequencer
from assistant.sound_helper.speech import Voice
from assistant.sound_helper.taken import Taken

LOOK_EVERY = 0.25
"""Seconds between two looks at what is to be sounded next; sounds are handed over further ahead than that."""
LAST_WORDS, TAIL = 5.0, 0.15
"""At the end what sounds may go on so long; after its last sample the device needs a moment more, seconds."""
GONE = 3
"""Exit code: no device, or it is lost."""
DEAD_AFTER = 10.0
"""A helper that did not come round for so long, seconds, is ended by the system: a sound library that hangs may hold the
interpreter, so that no thread of it notices the end of input. The app gives it up sooner, after 8 s at its start."""
SWITCH = 0.0005
"""Threads of the helper give way to one another after so long (seconds; the interpreter's own is ten times that): the
player's thread is never late for it."""
Inbox = queue.Queue["wire.ToHelper | None"]
"""What is to be done; None: something new can be sounded."""


def main(argv: list[str]) -> None:
    """Run until the input ends."""
    sys.setswitchinterval(SWITCH)
    _comes_round()
    settings = HelperSettings.from_line(argv[0])
    inbox: Inbox = queue.Queue()
    threading.Thread(target=_listen, args=(inbox,), daemon=True).start()
    try:
        player = open_player(settings.player, settings.output)
    except NoDevice as error:
        _tell(wire.NoPlayer(str(error)))
        os._exit(GONE)
    voice = Voice(settings.voice, settings.rate, settings.pitch)
    phrases = PhraseCache(Path(settings.spoken), voice, ready=lambda: inbox.put(None))
    mixer = Mixer(Path(settings.sounds), Path(settings.own), phrases, settings.volume)
    helper = Helper(player, Sequencer(player, mixer, quiet=settings.quiet, early=settings.early))
    helper.tell_health()
    helper.serve(inbox)


def _listen(inbox: Inbox) -> None:
    """Ends the process at the end of input, from a thread of its own: the others may be held up by a device."""
    for line in sys.stdin:
        with contextlib.suppress(ValueError):
            inbox.put(wire.read_message(line))
    os._exit(0)


def _comes_round() -> None:
    """Put off the end that the system's own clock sets to this process: its signal is taken by nobody, and so ends it."""
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, DEAD_AFTER)


class Helper:
    """One player and what is to be sounded on it."""

    def __init__(self, player: Player, sequencer: Sequencer) -> None:
        self._player, self._sequencer = player, sequencer
        self._taken = Taken(time.monotonic())

    def serve(self, inbox: Inbox) -> None:
        """Do what is asked, and sound what is due, until the device is lost."""
        while True:
            _comes_round()
            with contextlib.suppress(queue.Empty):
                message = inbox.get(timeout=LOOK_EVERY)
                if message is not None:
                    self._obey(message)
            if self._player.slipped():
                self._sequencer.again()
            if inbox.empty():
                self._sequencer.work()
            for begin, end in self._sequencer.spoken():
                _tell(wire.Speaks(begin, end))
            self._taken.look(self._player.taken())
            if self._player.lost():
                _tell(wire.NoPlayer("the device is gone"))
                os._exit(GONE)

    def tell_health(self) -> None:
        """Answer how it is."""
        self._taken.look(self._player.taken())
        span, missed = self._taken, self._sequencer.missed()
        complaint = self._sequencer.mixer.complaint
        _tell(wire.Health(self._player.name, complaint, self._player.age(), span.since, span.until, missed))

    def _obey(self, message: wire.ToHelper) -> None:
        sequencer = self._sequencer
        if isinstance(message, wire.Zero):
            sequencer.zero = message.ms
        elif isinstance(message, wire.Give):
            sequencer.give(message.voice, message.cues)
        elif isinstance(message, wire.Hush):
            sequencer.hush(message.voice)
        elif isinstance(message, wire.Say):
            sequencer.say(message.cue)
        elif isinstance(message, wire.Prepare):
            sequencer.mixer.phrases.want(message.words)
        elif isinstance(message, wire.Listening):
            sequencer.listening(message.speaking)
        elif isinstance(message, wire.Ping):
            self.tell_health()
        else:
            self._end_well()

    def _end_well(self) -> None:
        """Let what sounds come to its end, then leave without the interpreter's own end: audio threads don't survive it."""
        last = time.monotonic() + LAST_WORDS
        while time.monotonic() < min(last, self._sequencer.sounds_until + TAIL):
            self._sequencer.work()
            time.sleep(0.05)
        os._exit(0)


def _tell(answer: wire.FromHelper) -> None:
    with contextlib.suppress(OSError):
        sys.stdout.write(wire.answer_line(answer))
        sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:])
