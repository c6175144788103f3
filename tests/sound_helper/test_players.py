"""simpleaudio on the sound rig: what is hushed fades out without a click, and no more sounds at once than the server bears."""

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from assistant.sound_helper.players import MOST_AT_ONCE
from tests.rig import RATE, Rig, missing

pytestmark = [pytest.mark.rig, pytest.mark.skipif(bool(missing()), reason=missing() or "the rig is there")]

HUSHED = """
import json, os, sys, time
import numpy as np
from assistant.sound_helper.open_player import open_player
from assistant.sound_helper.tones import RATE
from tests.waiting import pause
player = open_player(sys.argv[1])
pause(0.5)
steady = (9000 * np.sin(2 * np.pi * 500 * np.arange(3 * RATE) / RATE)).astype(np.int16)
begin = time.monotonic() + 0.7
player.at(begin, steady, 1)
player.at(begin + 2.0, steady, 2)
pause(begin + 1.0 - time.monotonic())
player.stop(1)
hushed = time.monotonic()
player.stop(2)
pause(2.5)
print(json.dumps([begin, hushed]), flush=True)
os._exit(0)
"""
CROWD = """
import json, os
import numpy as np
from assistant.sound_helper.players import SimpleaudioPlayer
from assistant.sound_helper.tones import RATE
from tests.waiting import pause, until
player = SimpleaudioPlayer()
pause(1.0)
tasks = lambda: len(os.listdir("/proc/self/task"))
alone, most = tasks(), 0
for number in range(24):
    player.now((600 * np.sin(np.arange(4 * RATE) / 12)).astype(np.int16), number)
    pause(0.15)
    most = max(most, tasks())
for number in range(24):
    player.stop(number)
until(lambda: tasks() <= alone, "all are let go")
print(json.dumps([alone, most, tasks(), player.lost()]), flush=True)
os._exit(0)
"""
FADED = 1.0
"""Seconds after which all is still; unhushed it would have sounded for two."""
ROOT = Path(__file__).parents[2]
LEAVING = 5
"""So many of those hushed may still be on their way out."""


@pytest.fixture(scope="module")
def rig():
    rig = Rig().start()
    yield rig
    rig.close()


def told(rig, script, *words):
    """What a program of its own says: an interpreter does not survive its end while simpleaudio plays."""
    call = [sys.executable, "-c", script, *words]
    return json.loads(subprocess.run(call, env=rig.env, cwd=ROOT, capture_output=True, text=True, check=True).stdout)


@pytest.mark.parametrize("player", ["simpleaudio", "stream"])
def test_what_is_hushed_fades_out_soon_and_without_a_click(rig, player):
    recording = rig.record()
    begin, hushed = told(rig, HUSHED, player)
    samples, _ = recording.judged()
    loud = np.flatnonzero(np.abs(samples) > 0.01)
    first, last = (recording.when(place / RATE) for place in (loud[0], loud[-1]))
    assert first == pytest.approx(begin, abs=recording.near)
    assert 0 < last - hushed < FADED
    if not recording.calm:
        pytest.skip("this machine is too busy to tell a click from a gap of its own")
    steepest = np.abs(np.diff(samples, 2))
    click = steepest[loud[-1] - RATE // 10 : loud[-1] + RATE // 100].max()
    assert click < 3 * np.median(steepest[loud[0] + RATE // 10 : loud[0] + RATE // 2])


def test_no_more_sound_at_once_than_the_server_bears_and_all_are_let_go(rig):
    alone, most, left, lost = told(rig, CROWD)
    assert not lost
    assert most > alone + MOST_AT_ONCE, "several did sound at once"
    assert (most - alone) / 2 <= MOST_AT_ONCE + LEAVING  # a buffer is two threads: its own and the server's
    assert left <= alone
