"""The real listener over files: what it understands, when the words began, what it passes over, and that it comes back."""

import os
import signal
import wave

import pytest

from assistant.devices.ear_wire import ListenerSettings
from assistant.devices.ears import DEAF_AFTER, Listener
from assistant.session.said import PHRASES
from assistant.session.wordings import NUMBER, WORDINGS
from tests import waiting
from tests.voice import needs_voice
from tests.voice.rooms import clips, in_a_room
from tests.voice.spoken import COMMANDS

pytestmark = needs_voice
SPOKEN = (("in", "now it is in"), ("undo", "take it back"), ("how_long", "how much time"), ("open", "listen to me"))


class FromZero:
    """A session that began when the common clock did."""

    def to_monotonic(self, at):
        return at / 1000


@pytest.fixture(scope="module")
def recording(tmp_path_factory):
    """Four commands by one voice in a quiet room, as a WAV file, and when each begins (ms)."""
    said = dict(zip((text for _, _, text in COMMANDS), clips("slt"), strict=True))
    samples, spans = in_a_room([said[text] for _, text in SPOKEN], 20, 3)
    file = tmp_path_factory.mktemp("said") / "four.wav"
    with wave.open(str(file), "wb") as out:
        out.setparams((1, 2, 16_000, 0, "NONE", "not compressed"))
        out.writeframes(samples.tobytes())
    return str(file), [round(begin * 1000) for begin, _ in spans]


def wordings():
    return tuple((name, None, text, "") for name, said in WORDINGS.items() for text in said if NUMBER not in text)


class Ears:
    """A listener on a file, told before it hears anything."""

    def __init__(self, file, prepare):
        self.heard = []
        self.listener = Listener(FromZero(), ListenerSettings(file, "", wordings()))
        self.listener.listen(self.heard.append)
        prepare(self.listener)

    def until(self, done):
        waiting.until(lambda: done(self.listener), "what the ears were to hear")
        return self.heard


def at_the_end(listener):
    return "end" in listener.trouble()


@pytest.fixture
def ears(recording):
    opened = []

    def open_(prepare=lambda listener: listener.allow(frozenset(PHRASES)), file=recording[0]):
        opened.append(Ears(file, prepare))
        return opened[-1]

    yield open_
    for one in opened:
        one.listener.end()


def test_it_understands_and_stamps_the_beginning_of_the_words(ears, recording):
    heard = ears().until(at_the_end)[: len(SPOKEN)]
    assert [one.name for one in heard] == [name for name, _ in SPOKEN]
    assert [one.begin for one in heard] == pytest.approx(recording[1], abs=150)


def test_only_what_is_allowed(ears):
    heard = ears(lambda listener: listener.allow(frozenset({"undo"}))).until(at_the_end)
    assert {one.name for one in heard} == {"undo"}
    assert sum(one.score > -4 for one in heard[: len(SPOKEN)]) == 1


def test_closed_it_hears_only_that_it_is_to_be_opened(ears):
    def closed(listener):
        listener.allow(frozenset(PHRASES))
        listener.close()

    assert {one.name for one in ears(closed).until(at_the_end)} == {"open"}


def test_nothing_from_a_span_of_its_own_words(ears, recording):
    second = recording[1][1]

    def deaf(listener):
        listener.allow(frozenset(PHRASES))
        listener.deaf(second - DEAF_AFTER, second + 500)

    heard = ears(deaf).until(at_the_end)[: len(SPOKEN) - 1]
    assert [one.name for one in heard] == ["in", "how_long", "open"]


def test_a_note_is_taken_down_and_then_commands_are_heard_again(ears, recording, tmp_path):
    notes, file = [], str(tmp_path / "note.wav")

    def taking_down(listener):
        waiting.until(lambda: listener.starts, "the start of the listener")
        listener.take_down(file, notes.append)
        listener.allow(frozenset(PHRASES))

    one = ears(taking_down)
    one.until(lambda listener: notes)
    assert [note.file for note in notes] == [file]
    assert "take it back" in notes[0].text.lower()
    with wave.open(file) as found:
        spoken = found.getnframes() / found.getframerate() * 1000
    assert spoken > recording[1][-1] - recording[1][0]
    one.until(lambda listener: {heard.name for heard in one.heard} >= {"undo"})  # the file again, from its beginning


def test_killed_it_comes_back_and_is_told_again(ears):
    one = ears(lambda listener: listener.allow(frozenset({"undo"})))
    one.until(lambda listener: listener._helper.process is not None and listener.hearing() is not None)
    os.kill(one.listener._helper.process.pid, signal.SIGKILL)
    one.until(lambda listener: listener.starts > 1 and one.heard)
    assert {heard.name for heard in one.heard} == {"undo"}


def test_a_file_that_is_none_is_said(ears, tmp_path):
    bad = tmp_path / "no.wav"
    bad.write_text("nothing")
    one = ears(file=str(bad))
    one.until(lambda listener: listener.trouble())
    assert "this is no WAV file" in one.listener.trouble()
