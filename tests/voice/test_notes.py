"""Notes by voice: from the first word to the quiet after the last, kept as sound and in words; shown and played afterwards."""

import wave

import numpy as np
import pytest

from assistant.cli.main import main
from assistant.devices.ear_wire import ListenerSettings
from assistant.devices.ears import Listener
from assistant.printing.by_voice import NOTES, spoken_note
from assistant.records.journal import Journal
from assistant.session import happenings as h
from assistant.session.heard import Heard, SpokenNote
from tests import waiting
from tests.devices.test_ears import FromZero
from tests.records.sessions import EVENTFUL, OVER, at, keep
from tests.voice import needs_voice
from tests.voice.rooms import RATE, clips, in_a_room
from tests.voice.spoken import TALK

SENTENCES = ("the slip was dry before the tide came in.", "I left the planks behind the shed.")


def talked(pause):
    """Two sentences with so long a pause (s) between them, in a quiet room, and when each begins and ends."""
    said = dict(zip(TALK, clips("heart-talk"), strict=True))
    return in_a_room([said[text] for text in SENTENCES], 25, 2, pause)


def taken(samples):
    """The dictation of samples, and the second at which it was over."""
    from assistant.listener.cutting import CHUNK
    from assistant.listener.dictation import Dictation

    note = Dictation()
    for begin in range(0, len(samples) - CHUNK, CHUNK):
        if note.feed(samples[begin : begin + CHUNK]):
            return note, (begin + CHUNK) / RATE
    raise AssertionError("no end")


@needs_voice
def test_a_breath_is_no_end_and_quiet_is(tmp_path):
    from assistant.listener.dictation import kept, written
    from tests.voice.measure import scorer

    samples, spans = talked(0.7)
    room = np.tile(samples[: RATE // 2], 6)
    note, over = taken(np.concatenate([samples, room]))
    assert over == pytest.approx(spans[-1][1] + 1.2, abs=0.3)
    text = written(note.samples, scorer()._recogniser).lower()
    assert "dry before the tide" in text
    assert "planks behind the shed" in text
    file = kept(note.samples, str(tmp_path / "note.wav"))
    with wave.open(file) as found:
        assert (found.getframerate(), found.getnchannels(), found.getsampwidth()) == (RATE, 1, 2)
        assert found.getnframes() / RATE == pytest.approx(spans[-1][1] - spans[0][0], abs=0.8)
    assert kept(note.samples, str(tmp_path / "nowhere" / "note.wav")) == ""


@needs_voice
def test_the_listener_takes_one_down_and_hears_commands_after_it(tmp_path):
    note, command = dict(zip(TALK, clips("heart-talk"), strict=True))[SENTENCES[0]], clips("heart")[13]
    samples, _ = in_a_room([note, command], 25, 2, 1.5)
    with wave.open(str(tmp_path / "said.wav"), "wb") as out:
        out.setparams((1, 2, RATE, 0, "NONE", "not compressed"))
        out.writeframes(samples.tobytes())
    wordings = (("undo", None, "take it back", ""),)
    listener = Listener(FromZero(), ListenerSettings(str(tmp_path / "said.wav"), "", wordings))
    notes: list[SpokenNote | None] = []
    heard: list[Heard] = []
    listener.listen(heard.append)
    waiting.until(lambda: listener.starts, "the start of the listener")
    listener.take_down(str(tmp_path / "note.wav"), notes.append)
    listener.allow(frozenset({"undo"}))
    waiting.until(lambda: notes and heard, "the note and the command")
    listener.end()
    assert notes[0].file == str(tmp_path / "note.wav")
    assert "dry before the tide" in notes[0].text.lower()
    assert [one.name for one in heard if one.score > -1][:1] == ["undo"]


@needs_voice
def test_a_long_pause_ends_it_and_silence_is_none():
    samples, spans = talked(1.6)
    note, over = taken(samples)
    assert over < spans[1][0]
    room = np.tile(samples[:RATE], 10)
    note, over = taken(room)
    assert note.samples is None
    assert over == pytest.approx(8, abs=0.1)


@needs_voice
def test_half_a_minute_ends_it():
    from itertools import chain, repeat

    sentence = clips("heart-talk")[0]
    samples, _ = in_a_room(chain.from_iterable(repeat((sentence,), 18)), 25, 2, 0.1)
    note, over = taken(samples)
    assert over <= 31
    assert len(note.samples) / RATE <= 31


@pytest.fixture
def home(monkeypatch, tmp_path):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    return tmp_path


def test_records_tell_of_it_and_where_its_sound_is(home, capsys):
    file = spoken_note(1, 2, at("3:20"))
    with Journal.open() as journal:
        spoken = (at("3:20"), h.Note("as heard: the corner is light", file.name))
        keep(journal, sorted([*EVENTFUL, spoken], key=lambda one: one[0]), OVER)
    assert file.name == "session-1-copy-2-000200.0.wav"
    assert main(["records", "show", "1"]) == 0
    out = capsys.readouterr().out
    assert "as heard: the corner is light" in out
    assert str(home / NOTES / file.name) in out
    assert main(["records", "show", "1", "--play"]) == 1
    assert "is not there any more" in capsys.readouterr().err


def test_a_note_sounds_at_the_players_rate(tmp_path):
    from assistant.sound_helper.recording import samples_of

    with wave.open(str(tmp_path / "note.wav"), "wb") as out:
        out.setparams((1, 2, RATE, 0, "NONE", "not compressed"))
        out.writeframes((np.sin(np.arange(RATE) * 2 * np.pi * 440 / RATE) * 8000).astype("<i2").tobytes())
    samples = samples_of(str(tmp_path / "note.wav"))
    assert len(samples) == 44_100
    assert np.abs(np.fft.rfft(samples)).argmax() == 440
