"""The real program worked by voice alone: two copies with toning and a note, 10 dB over the room, its own sound in its ears.

And the ears tried before it, at a live microphone.
"""

import contextlib
import json
import subprocess
import sys

import numpy as np
import pytest

from tests import waiting
from tests.rig import RATE, Rig, missing
from tests.voice import needs_voice
from tests.voice.evening import Evening, Microphone

pytestmark = [pytest.mark.rig, pytest.mark.quiet, needs_voice]
NEAR = 150
"""Room for when a phrase began, against the middle of all (ms)."""
SENTENCE = "I left the planks behind the shed."


@pytest.fixture
def rig():
    lacks = missing()
    if lacks:
        pytest.skip(lacks)
    rig = Rig().start()
    yield rig
    rig.close()


@pytest.fixture
def evening(rig):
    one = Evening(rig, Microphone(rig))
    yield one, rig
    one.close()


def of_traycall(rig, *words):
    call = [sys.executable, "-m", "assistant", *words]
    env = {**rig.env, "PULSE_SOURCE": "mic.monitor"}
    done = subprocess.run(call, env=env, capture_output=True, text=True, timeout=waiting.LONGEST, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_the_ears_are_tried_at_a_live_microphone(rig):
    with contextlib.closing(Microphone(rig, over=18)) as microphone:
        microphone.every(1.5, "how much time")
        told = of_traycall(rig, "hear", "slipway-edition", "how much time")
    assert told.count("understood: how much time") == 3
    assert -55 < float(told.split("The room is at ")[1].split(" dB")[0]) < -35
    assert float(told.split("Your voice is ")[1].split(" dB")[0]) == pytest.approx(18, abs=3)
    assert "Every phrase is understood." in told


def test_two_copies_by_voice_alone(evening):
    one, rig = evening
    begun = []

    def tap(text, answer):
        one.command(text, answer)
        begun.append((text, one.microphone.began(text) * 1000))

    for number, copy in enumerate(("one", "two"), 1):
        one.until(f"copy {copy} of two")
        if number == 2:
            one.command("make a note", "taken.")
            one.microphone.say(SENTENCE)
            one.until("noted")
        tap("next one please", f"Copy {number}: light")
        one.until(f"copy {copy} into the developer")
        tap("now it is in", f"Copy {number}: developer")
    for number, copy in enumerate(("one", "two"), 1):
        one.until(f"copy {copy} into the toner")
        tap("now it is in", f"Copy {number}: toner")
        tap("take it out now", "into the wash")
    one.until("two copies done")
    one.program.stdin.close()
    one.program.wait(waiting.LONGEST)
    record = json.loads(of_traycall(rig, "records", "show", "1", "--json"))
    steps = ["expose", "develop", "stop", "fix", "hold", "tone", "wash"]
    assert sorted(stay["step"] for stay in record["stays"]) == sorted(steps * 2)
    taps = [one for one in record["happenings"] if one["name"] == "tap"]
    assert len(taps) == len(begun), "nothing was done that was not said"
    late = [tap["at_ms"] - tap["ago"] - at for tap, (text, at) in zip(taps, begun, strict=True) if text != "next one please"]
    assert late == pytest.approx([np.median(late)] * len(late), abs=NEAR)
    note = next(one for one in record["happenings"] if one["name"] == "note")
    assert "behind the shed" in note["words"].lower()
    recording = rig.record()
    assert note["words"] in of_traycall(rig, "records", "show", "1", "--play")
    samples, _ = recording.end()
    assert (np.abs(samples) > 0.01).sum() / RATE > 0.5, "the note's words sound"
