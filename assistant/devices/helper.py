"""The sound helper: a process of its own that speaks, mixes and plays, so that no stall of the app moves a sound.

One JSON line a message on standard input: `give` (a voice and its cues, moments in `time.monotonic()` ms), `hush`,
`say`, `prepare`, `ping`, `quit`. One JSON line of health a ping on standard output. End of input is the end.
"""

import json
import os
import queue
import sys
import threading
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

from assistant.devices.mixing import Mixer, Shot
from assistant.devices.players import NoDevice, Player, open_player
from assistant.devices.speech import Speaker, SpeechFailed, Voice
from assistant.devices.tones import RATE
from assistant.score.arrange import Placed, arrange
from assistant.score.cues import Cue, Rank

AHEAD = 600
"""A sound is handed to the player so long before it begins (ms)."""
LOOK = 20_000
"""How far ahead cues are arranged (ms)."""
SOONEST = 12_000
"""No sound begins so long before its cue's moment (ms)."""
LEAST_LATE = 250
"""What should have begun longer ago than this is left out (ms): never a burst after a stall."""
LAST_WORDS = 5_000
TAIL = 150
"""At the end what sounds may go on so long; after its last sample the device needs a moment more (ms)."""
ANSWERS = -1
"""The owner of answers to a hand: no voice hushes them."""


class Helper:
    """Arranges what the voices want to say and hands it to the player in time."""

    def __init__(self, player: Player, mixer: Mixer, quiet: bool = False) -> None:
        self.player, self.mixer, self.quiet = player, mixer, quiet
        self.lines: dict[int, list[Cue]] = {}
        self.speaking: list[tuple[int, int, int]] = []
        self.sounds_until = 0

    def give(self, voice: int, cues: list[Cue]) -> None:
        """All that a voice has to say from now on."""
        self.hush(voice)
        self.lines[voice] = sorted(cues, key=lambda cue: cue.at)

    def hush(self, voice: int) -> None:
        """Nothing more of this voice."""
        self.lines.pop(voice, None)
        self.player.stop(voice)
        now = _now()
        self.speaking = [one for one in self.speaking if one[2] != voice or one[0] <= now]

    def say(self, cue: Cue) -> None:
        """One cue at once; its tone now, its words as soon as nobody else speaks."""
        present = replace(cue, at=_now() + 1)
        for one in arrange([(present, self.mixer.lengths(self._allowed(present)))], _now(), self._spoken()):
            self._sound([one], ANSWERS)

    def work(self) -> None:
        """Hand over what begins soon. Cheap when nothing does."""
        now = _now()
        if all(cues[0].at > now + SOONEST for cues in self.lines.values() if cues):
            return
        self.speaking = [one for one in self.speaking if one[1] > now - 1000]
        wanted = [(voice, cue) for voice, cues in self.lines.items() for cue in cues if cue.at < now + LOOK]
        owner = {id(cue): voice for voice, cue in wanted}
        lengths = [(cue, self.mixer.lengths(self._allowed(cue))) for _, cue in wanted]
        placed = arrange(lengths, now, self._spoken())
        done: set[int] = set()
        for one in placed:
            begin = _begins(one)
            if id(one.cue) in done or (begin is not None and begin > now + AHEAD):
                continue
            if begin is None and one.cue.at > now + AHEAD:
                continue
            voice = owner[id(one.cue)]
            group = self._lamp_run(one, placed, owner, voice)
            done |= {id(member.cue) for member in group}
            self._sound(group, voice)
        for voice, cues in self.lines.items():
            self.lines[voice] = [cue for cue in cues if id(cue) not in done]

    def _allowed(self, cue: Cue) -> Cue:
        return cue if not self.quiet or cue.sound.rank is Rank.ACT else Cue(cue.at, cue.kind, "", cue.copy, cue.step)

    def _spoken(self) -> list[tuple[int, int]]:
        return [(begin, end) for begin, end, _ in self.speaking]

    def _lamp_run(self, one: Placed, placed: list[Placed], owner: dict[int, int], voice: int) -> list[Placed]:
        """A whole exposure is one buffer: its ticks stand to the sample."""
        if one.cue.step != "expose" or one.cue.kind not in ("count", "start"):
            return [one]
        own = [p for p in placed if owner[id(p.cue)] == voice and p.cue.step == "expose" and p.cue.at >= one.cue.at]
        rest = [cue for cue in self.lines[voice] if cue.step == "expose" and id(cue) not in {id(p.cue) for p in own}]
        whole = [*own, *(Placed(cue, cue.at, None) for cue in rest if cue.at >= one.cue.at)]
        ends = [p.cue.at for p in whole if p.cue.kind == "end"]
        return [p for p in whole if p.cue.at <= min(ends)] if ends else [one]

    def _sound(self, group: list[Placed], voice: int) -> None:
        now = _now()
        shots: list[Shot] = []
        for one in group:
            if one.cue.sound.tone is not None and one.tone is not None and one.tone > now - LEAST_LATE:
                shots.append(self.mixer.tone(one))
            words = self._allowed(one.cue).words
            if words and one.words is not None and one.words > now - LEAST_LATE:
                shot = self.mixer.words(one.words, words)
                if shot is not None:
                    shots.append(shot)
                    self.speaking.append((shot.at, shot.at + shot.lasts, voice))
        if shots:
            begin, samples = self.mixer.mixed(shots)
            self.player.at(begin / 1000, samples, voice)
            self.sounds_until = max(self.sounds_until, begin + len(samples) * 1000 // RATE)


def _begins(one: Placed) -> int | None:
    return min((at for at in (one.tone, one.words) if at is not None), default=None)


def _now() -> int:
    return time.monotonic_ns() // 1_000_000


def main(argv: list[str]) -> None:
    """Run until the input ends: `helper.py SETTINGS_AS_JSON`."""
    sys.setswitchinterval(0.001)
    settings = json.loads(argv[0]) if argv else {}
    health: dict[str, Any] = {"player": "none", "why": "", "speech": ""}
    try:
        player = open_player(settings.get("player", "auto"))
        health["player"] = player.name
    except NoDevice as error:
        health["why"] = str(error)
        _tell(health)
        time.sleep(0.2)
        os._exit(3)
    speaker = None
    try:
        voice = Voice(settings.get("voice", "en-us+f5"), settings.get("rate", 165), settings.get("pitch", 40))
        speaker = Speaker(voice)
    except SpeechFailed as error:
        health["speech"] = str(error)
    mixer = Mixer(Path(settings["sounds"]), Path(settings["own"]), speaker, settings.get("volume", 1.0))
    helper = Helper(player, mixer, settings.get("quiet", False))
    _serve(helper, health)


def _serve(helper: Helper, health: dict[str, Any]) -> None:
    inbox: queue.Queue[dict[str, Any] | None] = queue.Queue()
    threading.Thread(target=_listen, args=(inbox,), daemon=True).start()
    while True:
        try:
            message = inbox.get(timeout=0.1)
        except queue.Empty:
            message = {}
        if message is None:
            os._exit(0)
        _obey(helper, message, health)
        helper.work()


def _listen(inbox: "queue.Queue[dict[str, Any] | None]") -> None:
    for line in sys.stdin:
        try:
            inbox.put(json.loads(line))
        except ValueError:
            continue
    inbox.put(None)


def _obey(helper: Helper, message: dict[str, Any], health: dict[str, Any]) -> None:
    what = message.get("do")
    if what == "give":
        helper.give(message["voice"], [_cue(row) for row in message["cues"]])
    elif what == "hush":
        helper.hush(message["voice"])
    elif what == "say":
        helper.say(_cue(message["cue"]))
    elif what == "prepare":
        helper.mixer.prepare(message["words"])
    elif what == "ping":
        speech = helper.mixer.failed or health["speech"]
        _tell({**health, "speech": speech, "age": helper.player.age(), "ping": message.get("ping", 0)})
    elif what == "quit":
        _end_well(helper)


def _end_well(helper: Helper) -> None:
    """Let what sounds come to its end, then leave without the interpreter's own end, which audio threads don't survive."""
    last = _now() + LAST_WORDS
    while _now() < min(last, helper.sounds_until + TAIL):
        helper.work()
        time.sleep(0.05)
    os._exit(0)


def _cue(row: list[Any]) -> Cue:
    return Cue(*row)


def _tell(health: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(health) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:])
