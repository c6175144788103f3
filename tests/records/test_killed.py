"""kill -9 at any moment: what was acknowledged is there, the file is sound, and the session can go on."""

import random
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.records.journal import Journal
from assistant.session.happenings import Note

WRITER = Path(__file__).with_name("endless_writer.py")
ROOT = Path(__file__).parents[2]
ROUNDS = 40


def written_until_killed(records: Path, after: float) -> list[tuple[int, int, int]]:
    """Every acknowledgement (session, number, moment) of a writer that is killed `after` its first."""
    call = [sys.executable, str(WRITER), str(records)]
    with subprocess.Popen(call, stdout=subprocess.PIPE, cwd=ROOT, env={"PYTHONPATH": str(ROOT)}) as writer:
        first = writer.stdout.readline()
        assert first, "the writer died by itself"
        time.sleep(after)
        writer.kill()
        lines = [first, *writer.stdout.read().splitlines(keepends=True)]
    return [tuple(map(int, line.split())) for line in lines if line.endswith(b"\n")]


@pytest.mark.parametrize("seed", [1871])
def test_nothing_acknowledged_is_ever_lost(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    records = tmp_path / "records.sqlite"
    kept_before = 0
    for _ in range(ROUNDS):
        session, number, at = written_until_killed(records, chance.uniform(0, 0.03))[-1]
        with sqlite3.connect(records) as sound:
            assert sound.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        sound.close()
        with Journal.open(records) as journal:
            unfinished = journal.unfinished()
            assert unfinished is not None
            assert unfinished.number == session == 1
            entries = journal.entries(session)
            # One more may have reached the disk just before its acknowledgement could be said.
            assert number <= len(entries) <= number + 1
            assert [entry.happening for entry in entries] == [Note(f"1 {n}") for n in range(1, len(entries) + 1)]
            moments = [entry.at for entry in entries]
            assert moments == sorted(moments)
            assert moments[number - 1] == at
            taken_up, _ = journal.resume(session, lambda mark: StandingClock())
            assert taken_up.mark.at == moments[-1]
            taken_up.leave()
        assert len(entries) > kept_before
        kept_before = len(entries)


def test_killed_while_the_file_is_made_leaves_one_that_opens(tmp_path: Path) -> None:
    chance = random.Random(1871)
    for number in range(20):
        records = tmp_path / f"{number}.sqlite"
        call = [sys.executable, str(WRITER), str(records)]
        with subprocess.Popen(call, stdout=subprocess.PIPE, cwd=ROOT, env={"PYTHONPATH": str(ROOT)}) as writer:
            while not records.exists() and writer.poll() is None:
                pass
            time.sleep(chance.uniform(0, 0.004))
            writer.kill()
            promised = [line for line in writer.stdout.read().splitlines() if len(line.split()) == 3]
        with Journal.open(records) as journal:
            assert len(journal.sessions()) <= 1
            kept = journal.entries(1) if journal.sessions() else []
            assert len(kept) >= len(promised)


def test_two_programs_write_two_sessions_and_one_is_killed(tmp_path: Path) -> None:
    records = tmp_path / "records.sqlite"
    call = [sys.executable, str(WRITER), str(records), "0.001"]  # a moment's pause, or one starves the other
    running = {"stdout": subprocess.PIPE, "cwd": ROOT, "env": {"PYTHONPATH": str(ROOT)}}
    with subprocess.Popen(call, **running) as one, subprocess.Popen(call, **running) as other:
        firsts = {int(writer.stdout.readline().split()[0]): writer for writer in (one, other)}
        assert sorted(firsts) == [1, 2], "each has a session of its own"
        with Journal.open(records) as journal:
            assert journal.unfinished() is None, "both are being driven"
            firsts[1].kill()
            firsts[1].wait()
            unfinished = journal.unfinished()
            assert unfinished is not None
            assert unfinished.number == 1
        for _ in range(20):
            assert firsts[2].stdout.readline(), "the other goes on"
        firsts[2].kill()
        last = {n: w.stdout.read().splitlines() for n, w in firsts.items()}
    with Journal.open(records) as journal:
        for session, lines in last.items():
            acknowledged = [line for line in lines if len(line.split()) == 3]
            if acknowledged:
                assert len(journal.entries(session)) >= int(acknowledged[-1].split()[1])


class StandingClock:
    """A clock that only lets a session be looked at."""

    boot = "none"
    origin = 0

    def wall(self) -> None:
        raise AssertionError("nothing is written in this test")
