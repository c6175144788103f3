"""Whether anything grows in a long session: file descriptors, threads and memory of the app and of its sound helper.

`python -m tests.bench growth`: the real helper at real speed for ten minutes, given passage after passage, while an app beside
it drives sessions of more than three hours through a conductor on a jumping clock, one after the other. Not part of a
plain `python -m tests.bench`. `python -m tests.bench.growth PLAYER SECONDS` is that app; it prints its samples as JSON.
"""

import json
import os
import random
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from assistant.conductor.conductor import Conductor
from assistant.conductor.rehearsal import Punctual
from assistant.conductor.twins import RecordingDesk
from assistant.devices.clock import JumpingClock
from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.printing.live_sound import FromNow
from assistant.printing.recipe_file import open_score
from assistant.score.cues import Cue, Passage
from assistant.score.score import Score
from assistant.session.advance import open_bench
from assistant.session.passing import due
from tests import waiting
from tests.records.memory_journal import MemoryJournal
from tests.rig import Rig, missing

SECONDS = 600
LEAST_ROWS = 80
"""Looks that are taken however slow the machine is."""
COPIES = 12
PAUSE = 120_000
"""The printer takes so long (ms) for every hand, so that the session is a long one."""
SENTENCES = ("half way", "ten to lift", "copy two of eight. place paper", "into the stop", "lift and drain")
VOICES = range(1, 7)
WHAT = ("fds", "threads", "kB")
Row = dict[str, dict[str, int]]


def run() -> None:
    """Ten minutes with each player; what there was at a quarter of the time, and at the end."""
    if lacks := missing():
        print(lacks)
        return
    for player in ("simpleaudio", "stream"):
        rig = Rig().start()
        listener = rig.record()
        try:
            told = watched(rig, player, SECONDS)
        finally:
            listener.end()
            rig.close()
        rows, hours = told["rows"], told["longest"] / 3_600_000
        early, late = settled(rows, 0.2, 0.4), settled(rows, 0.8, 1.0)
        print(f"{player}: {told['given']} passages, {told['sessions']} sessions of {hours:.1f} h beside them")
        for who in early:
            print(f"  {who:<7}" + ", ".join(f"{what} {early[who][what]} -> {late[who][what]}" for what in WHAT), flush=True)


def watched(rig: Rig, player: str, seconds: int) -> dict[str, object]:
    """What the app saw of itself and of its helper, once a second."""
    call = [sys.executable, "-m", "tests.bench.growth", player, str(seconds)]
    root = Path(__file__).parents[2]
    done = subprocess.run(call, env=rig.env, cwd=root, capture_output=True, text=True, timeout=seconds + 240, check=True)
    return dict(json.loads(done.stdout))


def settled(rows: list[Row], begin: float, end: float) -> Row:
    """The least that was there in a part of the time: what comes and goes with a sound is not counted."""
    part = rows[int(len(rows) * begin) : int(len(rows) * end)]
    return {who: {what: min(row[who][what] for row in part) for what in WHAT} for who in part[0]}


def _app(player: str, seconds: int) -> dict[str, object]:
    clock = FromNow()
    desk = Desk(clock, helper_settings(Settings(player=player)))
    while not desk.health():
        time.sleep(0.02)
    began = _of_both(desk)
    score = open_score(Path("slipway-edition"), COPIES)
    rows: list[Row] = []
    session: Iterator[int] = iter(())
    longest = sessions = given = 0
    for passage in _passages(clock):
        if clock.now() > seconds * 1000 and sessions and len(rows) >= LEAST_ROWS:
            break
        desk.give(passage)
        given += 1
        desk.say(Cue(clock.now(), "heard"))
        if given % 7 == 0:
            desk.hush(passage.voice)
        until = time.monotonic() + 0.2
        while time.monotonic() < until:
            ends = next(session, None)
            if ends is None:
                session, sessions = _session(score), sessions + 1
            longest = max(longest, ends or 0)
            time.sleep(0.001)
        if desk._helper.process is not None:
            rows.append(_of_both(desk))
    for voice in VOICES:
        desk.hush(voice)
    waiting.until(lambda: _of_both(desk)["helper"]["fds"] <= began["helper"]["fds"], "the last sound's end")
    rest, starts = {"began": began, "ended": _of_both(desk)}, desk.starts
    desk.close()
    return {"rows": rows, **rest, "given": given, "sessions": sessions, "longest": longest, "starts": starts}


def _passages(clock: FromNow) -> Iterator[Passage]:
    """Counts, runs of ticks, pips and sentences of six voices, for ever."""
    chance = random.Random(11)
    while True:
        for voice in VOICES:
            at = clock.now() + chance.randint(700, 1_500)
            ticks = [Cue(at + 500 * i, "tick", "", voice) for i in range(4)]
            yield Passage(voice, (Cue(at, "pip", chance.choice(SENTENCES), voice), *ticks))


def _session(score: Score) -> Iterator[int]:
    """A whole session through a conductor, event by event; how far it has come, ms."""
    clock = JumpingClock()
    conductor = Conductor(open_bench(score), clock, RecordingDesk(), MemoryJournal(clock))
    conductor.open()
    printer = Punctual(gap=PAUSE)
    while not conductor.bench.finished:
        hand, moment = printer.next(conductor.bench), due(conductor.bench)
        at = min(one for one in (hand and hand[0], moment) if one is not None)
        clock.jump(max(at, clock.now()))
        if hand is not None and at == hand[0]:
            conductor.tell(hand[1])
            printer.played(hand)
        conductor.face()
        yield clock.now()


def _of_both(desk: Desk) -> Row:
    assert desk._helper.process is not None
    return {"app": _seen(os.getpid()), "helper": _seen(desk._helper.process.pid)}


def _seen(pid: int) -> dict[str, int]:
    status = dict(line.split(":", 1) for line in Path(f"/proc/{pid}/status").read_text().splitlines())
    fds = len(list(Path(f"/proc/{pid}/fd").iterdir()))
    return {"fds": fds, "threads": int(status["Threads"]), "kB": int(status["VmRSS"].split()[0])}


if __name__ == "__main__":
    print(json.dumps(_app(sys.argv[1], int(sys.argv[2]))))
    sys.stdout.flush()
