"""The real program worked by voice alone: two copies with toning, a voice 10 dB over the room, its own sound in its ears."""

import json
import subprocess
import sys

import pytest

from tests.rig import Rig, missing
from tests.voice import needs_voice
from tests.voice.evening import TAKEN, Evening, Microphone

pytestmark = [pytest.mark.rig, needs_voice]


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
    for number in ("one", "two"):
        one.until(f"copy {number} of two")
        assert "light" in one.command("next one please")
        one.until(f"copy {number} into the developer")
        assert "developer" in one.command("now it is in")
    for number in ("one", "two"):
        one.until(f"copy {number} into the toner")
        assert "toner" in one.command("now it is in")
        assert "into the wash" in one.command("take it out now")
    one.until("two copies done")
    one.program.stdin.close()
    shown = subprocess.run(
        [sys.executable, "-m", "assistant", "records", "show", "1", "--json"],
        env=rig.env, capture_output=True, text=True, check=True,
    )  # fmt: skip
    record = json.loads(shown.stdout)
    steps = ["expose", "develop", "stop", "fix", "hold", "tone", "wash"]
    assert sorted(stay["step"] for stay in record["stays"]) == sorted(steps * 2)
    taken = [line for line in one.seen if TAKEN in line]
    assert len(taken) == 8, "nothing was done that was not said"
