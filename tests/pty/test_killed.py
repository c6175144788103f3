"""Kills at random moments of a running session: nothing acknowledged is lost, and elapsed time stays true."""

import contextlib
import os
import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.records.journal import Journal
from assistant.session import happenings as h
from tests import waiting

pytestmark = pytest.mark.pty
QUICK = str(Path(__file__).with_name("quick.yaml"))
KILLS = 20
STAMPED = 2_000
"""A happening is stamped before it is written and the wall clock when it is, ms: a slow disk lies between. Dead time that
was not counted would add up to far more."""


class Session:
    """One life of the program, driven line by line."""

    def __init__(self, env, *words):
        call = [sys.executable, "-m", "assistant", "run", *words, "--plain", "--silent"]
        self.process = subprocess.Popen(
            call, env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, bufsize=1
        )

    def until(self, words):
        seen = []
        for line in self.process.stdout:
            seen.append(line)
            if words in line:
                return line
        raise AssertionError("".join(seen))

    def say(self, line):
        with contextlib.suppress(BrokenPipeError):
            self.process.stdin.write(line + "\n")
            self.process.stdin.flush()

    def kill(self):
        self.process.kill()
        self.process.wait()
        left = self.process.stdout.read()
        with contextlib.suppress(BrokenPipeError):
            self.process.stdin.close()
        self.process.stdout.close()
        return left


def test_killed_twenty_times(tmp_path):
    chance = random.Random(556)
    env = {**os.environ, "TRAYCALL_HOME": str(tmp_path), "PYTHONUNBUFFERED": "1"}
    acknowledged = []
    began = None
    for life in range(KILLS):
        session = Session(env, QUICK) if life == 0 else Session(env, "--resume")
        session.until("An empty line is a tap")
        said = []
        for number in range(chance.randint(1, 4)):
            words = f"life {life} line {number}"
            session.say(f'note "{words}"')
            said.append(words)
        if chance.random() < 0.4:
            session.say("tap")
        if chance.random() < 0.8:
            session.until("noted")
            acknowledged.append(said[0])
            began = began or time.monotonic()
        waiting.pause(chance.uniform(0, 0.05))
        rest = session.kill()
        acknowledged += said[1 : 1 + rest.count("noted")] if acknowledged and acknowledged[-1] == said[0] else []
    with Journal.open(tmp_path / "records.sqlite") as journal:
        left = journal.unfinished()
        assert left is not None
        entries = journal.entries(left.number)
    notes = [entry.happening.words for entry in entries if isinstance(entry.happening, h.Note)]
    assert [words for words in acknowledged if words not in notes] == []
    assert len(acknowledged) > KILLS / 2
    assert sum(isinstance(entry.happening, h.Woke) for entry in entries) == KILLS - 1
    moments = [entry.at for entry in entries]
    assert moments == sorted(moments)
    for entry in entries:
        true = (entry.wall - left.started).total_seconds() * 1000
        assert abs(entry.at - true) < STAMPED
