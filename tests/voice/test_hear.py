"""`traycall hear` over recordings: level, what was understood, the verdict; and what can't be heard is said."""

import wave

import numpy as np
import pytest

from assistant.cli.main import main
from assistant.devices.ear_wire import Understood
from assistant.printing.hear import Try, verdict
from tests.voice import needs_voice
from tests.voice.rooms import clips, in_a_room
from tests.voice.spoken import COMMANDS


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    return tmp_path


def once(text, asked="", score=0.0, over=20.0):
    return Try(asked or text, Understood("undo", None, text, 0, 800, score, 9.0, 99.0, over))


def test_a_voice_well_over_its_room_and_every_phrase_understood():
    lines, well = verdict([once("take it back")] * 3, ["take it back"])
    assert well
    assert lines[:2] == ["Your voice is 20 dB over the room: good.", "Every phrase is understood."]


@pytest.mark.parametrize(
    ("tries", "said"),
    [
        ([once("take it back", over=7.0)] * 3, "use the button"),
        ([once("take it back", score=-9.0)] * 2 + [once("take it back")], '"take it back" 1 of 3'),
        ([once("say it again", "take it back"), *[once("take it back")] * 2], '"take it back" for "say it again"'),
        ([Try("take it back", None)] * 3, "No voice was heard"),
    ],
)
def test_what_is_not_to_be_relied_on(tries, said):
    lines, well = verdict(tries, ["take it back"])
    assert not well
    assert said in "\n".join(lines)
    assert "utton" in "\n".join(lines)


def recording(folder, decibels, rate, texts):
    """A stereo recording of commands at a rate of its own."""
    said = dict(zip((text for _, _, text in COMMANDS), clips("heart"), strict=True))
    samples, _ = in_a_room([said[text] for text in texts], decibels, 5)
    count = len(samples) * rate // 16_000
    other = np.interp(np.arange(count) * 16_000 / rate, np.arange(len(samples)), samples).round().astype("<i2")
    file = folder / "said.wav"
    with wave.open(str(file), "wb") as out:
        out.setparams((2, 2, rate, 0, "NONE", "not compressed"))
        out.writeframes(np.repeat(other, 2).tobytes())
    return str(file)


@needs_voice
def test_a_recording_of_any_rate_is_heard_with_its_level(home, capsys):
    file = recording(home, 18, 44_100, ["take it back"] * 2 + ["what comes next"])
    assert main(["hear", "slipway-edition", "take it back", "--file", file]) == 0
    out = capsys.readouterr().out
    assert out.count("understood: take it back") == 2
    assert "understood: what comes next" in out
    level = float(out.split("Your voice is ")[1].split(" dB")[0])
    assert level == pytest.approx(18, abs=3)


@needs_voice
def test_a_phrase_of_the_printers_own_is_heard_in_place_of_the_shipped_one(home, capsys):
    (home / "settings.toml").write_text('say.first_tone = "here comes the image"\nsay.open = "first tone now"\n')
    file = recording(home, 20, 16_000, ["first tone now", "listen to me"])
    assert main(["hear", "slipway-edition", "--file", file]) == 0
    out = capsys.readouterr().out
    assert "understood: first tone now" in out
    assert "understood: listen to me" not in out


def test_what_cannot_be_heard_is_said(home, capsys):
    assert main(["hear", "slipway-edition", "--list"]) == 0
    assert "drop number" in capsys.readouterr().out
    assert main(["hear", "slipway-edition", "polish the brass bell"]) == 1
    err = capsys.readouterr().err
    assert "is no phrase of this session" in err or "No ears" in err


@needs_voice
def test_a_file_that_is_no_recording_is_said(home, capsys):
    file = home / "words.wav"
    file.write_text("no sound")
    assert main(["hear", "--file", str(file)]) == 1
    assert "this is no WAV file" in capsys.readouterr().err
