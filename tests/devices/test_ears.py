"""What a conductor may count on with any ears: a script, the real listener over a file, and over a sound server's recorder.

Each hears the same four commands. The one over a recorder hears them in a sound rig, and its time is the common clock's; moments
are ms.
"""

import contextlib
import os
import shutil
import signal
import subprocess
import time
import wave

import pytest

from assistant.conductor.ports import Ears
from assistant.devices.ear_wire import AT_END, ListenerSettings
from assistant.devices.ears import DEAF_AFTER, Listener
from assistant.session.heard import Heard, Sure
from assistant.session.said import PHRASES, sure
from assistant.session.wordings import NUMBER, WORDINGS
from tests import waiting
from tests.conductor.scripted_ears import ScriptedEars
from tests.voice import needs_voice

pytestmark = needs_voice

SPOKEN = (("in", "now it is in"), ("undo", "take it back"), ("how_long", "how much time"), ("open", "listen to me"))
NAMES = [name for name, _ in SPOKEN]
ALL = frozenset(PHRASES)
PAUSE = 0.6
"""Seconds of room around each: more than a command's end needs to be told."""
NEAR = 150
"""Room for a beginning."""


class FromZero:
    """A session that began when the common clock did."""

    def to_monotonic(self, at):
        return at / 1000


@pytest.fixture(scope="module")
def recording(tmp_path_factory):
    """The commands by one voice in a quiet room, as a WAV file, and when each begins and ends."""
    from tests.voice.rooms import clips, in_a_room
    from tests.voice.spoken import COMMANDS

    said = dict(zip((text for _, _, text in COMMANDS), clips("slt"), strict=True))
    samples, spans = in_a_room([said[text] for _, text in SPOKEN], 20, 3, PAUSE)
    file = tmp_path_factory.mktemp("said") / "four.wav"
    with wave.open(str(file), "wb") as out:
        out.setparams((1, 2, 16_000, 0, "NONE", "not compressed"))
        out.writeframes(samples.tobytes())
    return file, [(round(begin * 1000), round(end * 1000)) for begin, end in spans]


def wordings():
    return tuple((name, None, text, "") for name, said in WORDINGS.items() for text in said if NUMBER not in text)


def understood(heard):
    """The names of what was understood surely, in its order."""
    return [one.name for one in heard if sure(one) is Sure.YES]


class Script:
    """Ears that read: their time passes when it is told to, and nothing can happen to them."""

    def __init__(self, recording):
        self.spans = recording[1]

    def hear(self, prepare, befalls=""):
        """All that is heard of the four commands by ears that are told something before."""
        words = zip(SPOKEN, self.spans, strict=True)
        ears = ScriptedEars([Heard(name, None, text, begin, end) for (name, text), (begin, end) in words])
        heard: list[Heard] = []
        ears.listen(heard.append)
        prepare(ears)
        ears.until(self.spans[-1][1])
        assert ears.trouble() == ""
        return heard

    def own_words(self):
        """A span in which the program speaks, and the names of the commands that are not in it."""
        return self.spans[1], [name for name in NAMES if name != "undo"]

    def close(self):
        """Nothing was opened."""


class Recorded(Script):
    """The real listener, a process, over a file that it hears as fast as it can, and again after each start."""

    def __init__(self, recording):
        super().__init__(recording)
        self.file = recording[0]

    def hear(self, prepare, befalls=""):
        file = self.file.with_name(befalls + "heard.wav")
        file.write_text("nothing") if befalls == "lost" else shutil.copy(self.file, file)
        listener = Listener(FromZero(), ListenerSettings(str(file), "", wordings()))
        heard: dict[int, list[Heard]] = {}
        ended: list[int] = []

        def told(line):
            Listener.told(listener, line)
            ended.extend([listener.starts] if AT_END in line else [])

        listener.told = told
        listener.listen(lambda one: heard.setdefault(listener.starts, []).append(one))
        prepare(listener)
        least = 1
        if befalls == "lost":
            waiting.until(lambda: "this is no WAV file" in listener.trouble(), "that it is lost")
            shutil.copy(self.file, self.file.with_name("whole.wav")).replace(file)
        elif befalls == "killed":
            waiting.until(listener.hearing, "the ears")
            least = listener.starts + 1
            with contextlib.suppress(ProcessLookupError):
                os.kill(listener._helper.process.pid, signal.SIGKILL)
        waiting.until(lambda: ended and ended[-1] >= least, "the end of the file")
        listener.end()
        return heard.get(next(start for start in ended if start >= least), [])

    def own_words(self):
        (begin, end), left = super().own_words()
        return (begin - DEAF_AFTER, end), left


class Live:
    """The real listener over a recorder, in a rig into which the file is played."""

    def __init__(self, recording, rig):
        self.file, self.rig = recording[0], rig
        self.listener = Listener(FromZero(), ListenerSettings("parec", "rig.monitor", wordings()))
        self.listener.allow(ALL)
        waiting.until(self.listener.hearing, "the ears")

    def hear(self, prepare, befalls=""):
        heard: list[Heard] = []
        spoke: list[bool] = []
        self.listener.listen(heard.append)
        self.listener.open()
        prepare(self.listener)
        starts = self.listener.starts
        if befalls == "lost":
            self.rig.stop()
            waiting.until(self.listener.trouble, "that it is lost")
            self.rig.start()
        elif befalls == "killed":
            os.kill(self.listener._helper.process.pid, signal.SIGKILL)
        if befalls:
            waiting.until(lambda: self.listener.starts > starts and self.listener.hearing(), "the ears again")
            assert self.listener.trouble() == ""
        self.listener.speaking = spoke.append
        play = ["paplay", "--device=rig", str(self.file)]
        subprocess.run(play, env=self.rig.env, check=True, timeout=waiting.LONGEST)
        waiting.until(lambda: spoke.count(False) >= len(SPOKEN), "the end of the last words")
        return heard

    def own_words(self):
        now = round(time.monotonic() * 1000)
        return (now, now + 300_000), []

    def close(self):
        self.listener.end()


@pytest.fixture(
    scope="module",
    params=[
        "script",
        pytest.param("file", marks=pytest.mark.xdist_group("ears over a file")),
        pytest.param("recorder", marks=[pytest.mark.rig, pytest.mark.xdist_group("ears over a recorder")]),
    ],
)
def stage(request, recording):
    real = {"script": Script, "file": Recorded}.get(request.param)
    stage = real(recording) if real else Live(recording, request.getfixturevalue("rig"))
    yield stage
    stage.close()


def test_each_is_heard_once_and_stamped_when_its_words_began(stage, recording):
    def told(ears: Ears):
        ears.allow(ALL)

    heard = stage.hear(told)
    assert understood(heard) == NAMES
    apart = [one.begin - begin for one, (begin, _) in zip(heard, recording[1], strict=True)]
    begun = 0 if not isinstance(stage, Live) else sorted(apart)[len(apart) // 2]
    assert apart == pytest.approx([begun] * len(apart), abs=NEAR)


def test_closed_they_hear_only_that_they_are_to_be_opened(stage):
    def closed(ears):
        ears.allow(ALL)
        ears.close()

    heard = stage.hear(closed)
    assert {one.name for one in heard} == {"open"}
    assert understood(heard) == ["open"]


def test_only_what_is_allowed_even_by_those_that_were_killed_and_are_back(stage):
    heard = stage.hear(lambda ears: ears.allow(frozenset({"undo", "hold"})), "killed")
    assert {one.name for one in heard} <= {"undo", "hold"}
    assert understood(heard) == ["undo"]


def test_nothing_from_a_span_of_the_programs_own_words_even_when_lost_and_found(stage):
    span, left = stage.own_words()

    def deaf(ears):
        ears.allow(ALL)
        ears.deaf(*span)

    assert understood(stage.hear(deaf, "lost")) == left
