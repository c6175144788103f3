"""A session as a sound file: every sound at its moment, nothing left behind when it can't be made."""

import wave
from pathlib import Path

import numpy as np
import pytest

from assistant.devices.settings import helper_settings
from assistant.score.cues import Cue
from assistant.sound_helper.render import LEAD_IN, SPEAKING, CantRender, render
from assistant.sound_helper.tones import RATE, make


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path / "home"))


CUES = [Cue(0, "start"), *(Cue(1_000 * i, "tick") for i in range(1, 12)), Cue(9_900, "end"), Cue(15_000, "pip", "lift", 1)]


def test_every_tone_stands_in_the_file_to_the_sample_over_the_seams_too(tmp_path):
    far = []
    sheet = render(CUES, tmp_path / "session.wav", helper_settings(), "Slipway", far.append)
    assert far == sorted(far)
    assert (far[0], far[-1]) == (SPEAKING, 100)
    with wave.open(str(tmp_path / "session.wav")) as file:
        samples = np.frombuffer(file.readframes(file.getnframes()), "<i2")
    for cue in CUES:
        begin = (cue.at + LEAD_IN) * RATE // 1000
        tone = make(cue.sound.tone)
        if cue.kind != "tick":
            assert np.array_equal(samples[begin : begin + len(tone)], tone), cue
    assert sheet.read_text().splitlines() == [
        "Slipway", "", "   0:01.0           light on", "   0:10.9           light off", "   0:16.0  copy 1   lift",
    ]  # fmt: skip


def test_a_file_that_can_not_be_made_is_a_sentence_and_leaves_nothing(tmp_path):
    with pytest.raises(CantRender, match="the name of a sound file ends in"):
        render(CUES, tmp_path / "session.aiff", helper_settings())
    with pytest.raises(CantRender, match="can't be written"):
        render(CUES, tmp_path / "nowhere" / "session.wav", helper_settings())
    below = Path(__file__) / "session.wav"  # in a file, not in a folder
    with pytest.raises(CantRender, match=f"^{below}: this file can't be written"):
        render(CUES, below, helper_settings())
    assert [file.name for file in tmp_path.iterdir() if file.name != "home"] == []
