"""The real program worked by voice alone: two copies with toning, a voice 10 dB over the room, its own sound in its ears."""

import json
import subprocess
import sys

import pytest

from tests.rig import Rig, missing
from tests.voice import needs_voice
from tests.voice.evening import Evening, Microphone

pytestmark = [pytest.mark.rig, pytest.mark.quiet, needs_voice]


@pytest.fixture
def evening():
    lacks = missing()
    if lacks:
        pytest.skip(lacks)
    rig = Rig().start()
    microphone = Microphone(rig)
    one = Evening(rig, microphone)
    try:
        yield one, rig
    finally:
        one.close()
        rig.close()


def test_two_copies_by_voice_alone(evening):
    one, rig = evening
    for number, copy in enumerate(("one", "two"), 1):
        one.until(f"copy {copy} of two")
        one.command("next one please", f"Copy {number}: light")
        one.until(f"copy {copy} into the developer")
        one.command("now it is in", f"Copy {number}: developer")
    for number, copy in enumerate(("one", "two"), 1):
        one.until(f"copy {copy} into the toner")
        one.command("now it is in", f"Copy {number}: toner")
        one.command("take it out now", "into the wash")
    one.until("two copies done")
    one.program.stdin.close()
    shown = subprocess.run(
        [sys.executable, "-m", "assistant", "records", "show", "1", "--json"],
        env=rig.env, capture_output=True, text=True, check=True,
    )  # fmt: skip
    record = json.loads(shown.stdout)
    steps = ["expose", "develop", "stop", "fix", "hold", "tone", "wash"]
    assert sorted(stay["step"] for stay in record["stays"]) == sorted(steps * 2)
    assert len([one for one in record["happenings"] if one["name"] == "tap"]) == 8, "nothing was done that was not said"
