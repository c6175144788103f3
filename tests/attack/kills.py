"""The program killed at random moments of a running session, and gone on with: what was acknowledged is kept."""

import contextlib
import os
import random
import subprocess
import sys
import tempfile
from pathlib import Path

from assistant.records.journal import Journal
from assistant.session import happenings as h
from tests import waiting

QUICK = str(Path(__file__).parents[1] / "pty" / "quick.yaml")
LIVES = 3
"""Of one session; all but the last end by a kill, and the last one too."""
COUNTED = 2_000
"""A happening is stamped before it is written and the wall clock when it is, ms: a slow disk lies between."""


class Session:
    """One life of the program, driven line by line."""

    def __init__(self, home: Path, *words: str) -> None:
        env = {**os.environ, "TRAYCALL_HOME": str(home), "PYTHONUNBUFFERED": "1"}
        call, pipe = [sys.executable, "-m", "assistant", "run", *words, "--plain", "--silent"], subprocess.PIPE
        both = {"stdin": pipe, "stdout": pipe, "stderr": subprocess.STDOUT}
        self.process = subprocess.Popen(call, env=env, text=True, bufsize=1, **both)

    def until(self, words: str) -> str:
        """All lines up to one with these words; all there are where it never comes."""
        seen = []
        for line in self.process.stdout:
            seen.append(line)
            if words in line:
                break
        return "".join(seen)

    def say(self, line: str) -> None:
        """Type a line."""
        with contextlib.suppress(BrokenPipeError):
            self.process.stdin.write(line + "\n")
            self.process.stdin.flush()

    def kill(self) -> str:
        """Kill it; what it had said and nobody had read."""
        self.process.kill()
        left = self.process.stdout.read()
        self.process.wait()
        with contextlib.suppress(BrokenPipeError):
            self.process.stdin.close()
        self.process.stdout.close()
        return left


def attack(seed: int) -> str:
    """What is wrong after a session of several lives, "" where nothing is."""
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory(prefix="killed") as folder:
        acknowledged: list[str] = []
        for life in range(LIVES):
            session = Session(Path(folder), *([QUICK] if life == 0 else ["--resume"]))
            said = [f"life {life} line {number}" for number in range(chance.randint(1, 4))]
            begun = session.until("An empty line is a tap")
            if "An empty line" not in begun:
                session.kill()
                return f"life {life} did not begin: {begun}"
            for words in said:
                session.say(f'note "{words}"')
                if chance.random() < 0.3:
                    session.say("tap")
            first = session.until("noted") if chance.random() < 0.8 else ""
            waiting.pause(chance.uniform(0, 0.3))
            told = first + session.kill()
            if "Traceback" in told:
                return told
            acknowledged += said[: told.count("noted")]
        return _kept(Path(folder) / "records.sqlite", acknowledged)


def _kept(records: Path, acknowledged: list[str]) -> str:
    with Journal.open(records) as journal:
        left = journal.unfinished()
        if left is None:
            return "nothing to go on with"
        entries = journal.entries(left.number)
    notes = [entry.happening.words for entry in entries if isinstance(entry.happening, h.Note)]
    lost = [words for words in acknowledged if words not in notes]
    if lost:
        return f"acknowledged and lost: {lost}"
    moments = [entry.at for entry in entries]
    if moments != sorted(moments):
        return f"moments out of order: {moments}"
    if sum(isinstance(entry.happening, h.Woke) for entry in entries) != LIVES - 1:
        return "a life that was not told of"
    for entry in entries:
        true = (entry.wall - left.started).total_seconds() * 1000
        if abs(entry.at - true) > COUNTED:
            return f"elapsed {entry.at} ms, and {true:.0f} by the wall"
    return ""
