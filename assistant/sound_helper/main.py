"""The sound helper: a process of its own that mixes and plays, so that no stall of the app moves a sound.

One JSON line a message on standard input: `zero` (the monotonic time, ms, at which the session began), `give` (a voice
and its cues), `hush`, `say`, `prepare`, `ping`, `quit`. One JSON line of health a ping on standard output. End of input
is the end: a helper never outlives its app. What is heard when is decided in `sequencer`.
"""

import contextlib
import json
import os
import queue
import sys
import threading
import time
from pathlib import Path
from typing import Any

from assistant.score.cues import Cue
from assistant.sound_helper.mixing import Mixer
from assistant.sound_helper.open_player import open_player
from assistant.sound_helper.phrase_cache import PhraseCache
from assistant.sound_helper.players import NoDevice, Player
from assistant.sound_helper.sequencer import Sequencer
from assistant.sound_helper.speech import Voice

LOOK_EVERY = 0.25
"""Seconds between two looks at what is to be sounded next; sounds are handed over further ahead than that."""
LAST_WORDS, TAIL = 5.0, 0.15
"""At the end what sounds may go on so long; after its last sample the device needs a moment more, seconds."""
GONE = 3
"""Exit code: no device, or it is lost."""
Message = dict[str, Any]


def main(argv: list[str]) -> None:
    """Run until the input ends: `helper SETTINGS_AS_JSON`."""
    sys.setswitchinterval(0.0005)
    settings = json.loads(argv[0])
    inbox: queue.Queue[Message | None] = queue.Queue()
    threading.Thread(target=_listen, args=(inbox,), daemon=True).start()
    try:
        player = open_player(settings["player"], settings["output"])
    except NoDevice as error:
        _tell({"player": "none", "why": str(error)})
        os._exit(GONE)
    voice = Voice(settings["voice"], settings["rate"], settings["pitch"])
    phrases = PhraseCache(Path(settings["spoken"]), voice, ready=lambda: inbox.put({}))
    mixer = Mixer(Path(settings["sounds"]), Path(settings["own"]), phrases, settings["volume"])
    _tell({"player": player.name, "complaint": mixer.complaint, "age": 0.0})
    _serve(Sequencer(player, mixer, quiet=settings["quiet"], early=settings["early"]), player, inbox)


def _listen(inbox: "queue.Queue[Message | None]") -> None:
    for line in sys.stdin:
        with contextlib.suppress(ValueError):
            inbox.put(json.loads(line))
    inbox.put(None)


def _serve(sequencer: Sequencer, player: Player, inbox: "queue.Queue[Message | None]") -> None:
    while True:
        try:
            message = inbox.get(timeout=LOOK_EVERY)
        except queue.Empty:
            message = {}
        if message is None:
            os._exit(0)
        _obey(sequencer, player, message)
        if inbox.empty():
            sequencer.work()
        if player.lost():
            _tell({"player": "none", "why": "the device is gone"})
            os._exit(GONE)


def _obey(sequencer: Sequencer, player: Player, message: Message) -> None:
    what = message.get("do")
    if what == "zero":
        sequencer.zero = message["ms"]
    elif what == "give":
        sequencer.give(message["voice"], [Cue(*row) for row in message["cues"]])
    elif what == "hush":
        sequencer.hush(message["voice"])
    elif what == "say":
        sequencer.say(Cue(*message["cue"]))
    elif what == "prepare":
        sequencer.mixer.phrases.want(message["words"])
    elif what == "ping":
        _tell({"player": player.name, "complaint": sequencer.mixer.complaint, "age": player.age()})
    elif what == "quit":
        _end_well(sequencer)


def _end_well(sequencer: Sequencer) -> None:
    """Let what sounds come to its end, then leave without the interpreter's own end, which audio threads don't survive."""
    last = time.monotonic() + LAST_WORDS
    while time.monotonic() < min(last, sequencer.sounds_until + TAIL):
        sequencer.work()
        time.sleep(0.05)
    os._exit(0)


def _tell(health: Message) -> None:
    with contextlib.suppress(OSError):
        sys.stdout.write(json.dumps(health) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:])
