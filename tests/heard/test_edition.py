"""A session of the real program, recorded from the sound server: every command that the record knows is heard in time."""

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from assistant.sound_helper.tones import make
from tests import waiting
from tests.rig import RATE, at_rig_rate, onsets

pytestmark = pytest.mark.rig
PLAYERS = [pytest.param(player, marks=pytest.mark.xdist_group(f"edition by {player}")) for player in ("simpleaudio", "stream")]
SLIP = Path(__file__).with_name("slip.yaml")


@pytest.fixture(scope="module", params=PLAYERS)
def printed(rig, request):
    home = Path(rig.env["TRAYCALL_HOME"]) / request.param
    home.mkdir(parents=True)
    (home / "settings.toml").write_text(f'player = "{request.param}"\n')
    env = {**rig.env, "TRAYCALL_HOME": str(home), "PYTHONUNBUFFERED": "1"}
    recording = rig.record()
    program = [sys.executable, "-m", "assistant"]
    session = subprocess.Popen(
        [*program, "run", str(SLIP), "--plain"], env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, bufsize=1
    )
    for asked in ("place paper", "into the developer"):
        seen = next((line for line in session.stdout if asked in line), None)
        assert seen, f"it never asked for {asked}"
        session.stdin.write("tap\n")
    assert any("squeegee" in line for line in session.stdout), "the last pip never came"
    over = recording.count + 3 * RATE  # of its sound, which an end would cut
    waiting.until(lambda: recording.count > over, "three seconds more of what is recorded")
    session.stdin.write("end\nend\n")  # white light would be safe in half a minute: nobody waits for that here
    session.stdin.close()
    session.stdout.read()
    assert session.wait(waiting.LONGEST) == 0
    session.stdout.close()
    samples, _ = recording.judged()
    shown = subprocess.run([*program, "records", "show", "1", "--json"], env=env, capture_output=True, text=True, check=True)
    return samples, recording.near, json.loads(shown.stdout)


def heard(samples, name):
    return onsets(samples, at_rig_rate(make(name)), 0.7)


def moments(record):
    stays = {stay["step"]: stay for stay in record["stays"]}
    light = stays["expose"]
    pips = [stays[kind]["to_ms"] for kind in ("develop", "stop", "fix")]
    return {"start": [light["from_ms"]], "end": [light["to_ms"]], "now": pips}


def test_every_command_is_heard_once_and_in_time(printed):
    samples, near, record = printed
    wanted = moments(record)
    found = {name: heard(samples, name) for name in wanted}
    assert {name: len(times) for name, times in found.items()} == {"start": 1, "end": 1, "now": 3}
    offsets = [at - ms / 1000 for name, times in wanted.items() for at, ms in zip(found[name], times, strict=True)]
    assert max(offsets) - min(offsets) < near


def test_ticks_of_the_exposure_stand_to_the_sample(printed):
    samples, _, _ = printed
    start = heard(samples, "start")[0]
    part = samples[round((start - 0.1) * 48_000) : round((start + 3.5) * 48_000)]
    ticks = onsets(part, at_rig_rate(make("tick")), 0.8)
    assert len(ticks) == 2
    assert ticks[1] - ticks[0] == pytest.approx(1.0, abs=1 / 10_000)


def test_something_is_said(printed):
    samples, _, _ = printed
    tenths = samples[: len(samples) // 4800 * 4800].reshape(-1, 4800)
    assert (np.sqrt((tenths**2).mean(axis=1)) > 0.02).mean() > 0.1
