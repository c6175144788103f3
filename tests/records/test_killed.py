"""kill -9 at any moment: what was acknowledged is there, the file is sound, and the session can go on."""

import random
import shutil
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.cli.records import whole
from assistant.printing.records_read import record_of
from assistant.records.journal import Journal
from assistant.records.schema import STEPS
from assistant.records.transfer import export, take_in
from assistant.session.happenings import Note
from tests import waiting
from tests.records.starter import Starter

WRITER = Path(__file__).with_name("endless_writer.py")
ROOT = Path(__file__).parents[2]
ROUNDS = 40


@pytest.fixture
def starter() -> Iterator[Starter]:
    with Starter() as starter:
        yield starter


def written_until_killed(starter: Starter, records: Path, after: float) -> list[tuple[int, int, int]]:
    """Every acknowledgement (session, number, moment) of a writer that is killed `after` its first."""
    first = starter.begin("write", records).line()
    waiting.pause(after)
    return [tuple(map(int, line.split())) for line in [first, *starter.kill()]]


def test_nothing_acknowledged_is_ever_lost(tmp_path: Path, starter: Starter) -> None:
    chance = random.Random(1871)
    records = tmp_path / "records.sqlite"
    kept_before = 0
    for _ in range(ROUNDS):
        session, number, at = written_until_killed(starter, records, chance.uniform(0, 0.03))[-1]
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


def test_killed_while_the_file_is_made_leaves_one_that_opens(tmp_path: Path, starter: Starter) -> None:
    chance = random.Random(1871)
    for number in range(20):
        records = tmp_path / f"{number}.sqlite"
        starter.begin("write", records)
        waiting.until(records.exists, "the file")
        waiting.pause(chance.uniform(0, 0.004))
        promised = starter.kill()
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


# Bringing a file up to date, and taking one in.

OLD = Path(__file__).with_name("fixtures") / "schema-1.sqlite"
KILLS = 20


def killed(starter: Starter, chance: random.Random, longest: float, *words: object) -> None:
    """Do a piece of work and kill it at a random moment."""
    assert starter.begin("work", *words).line() == b"begun\n"
    waiting.pause(chance.uniform(0, longest))
    starter.kill()


def taken_by(starter: Starter, *words: object) -> float:
    """How long the work takes undisturbed, seconds."""
    starter.begin("work", *words).line()
    begun = time.monotonic()
    assert starter.line() == b"done\n"
    took = time.monotonic() - begun
    starter.kill()
    return took


def read_back(records: Path) -> list[object]:
    with Journal.open(records) as journal:
        return [whole(journal, record_of(journal, session)) for session in journal.sessions()]


def test_killed_while_it_is_brought_up_to_date_it_is_the_old_file_or_the_new(tmp_path: Path, starter: Starter) -> None:
    chance = random.Random(1871)
    (tmp_path / "whole").mkdir()
    whole_file = Path(shutil.copy(OLD, tmp_path / "whole" / "records.sqlite"))
    longest = taken_by(starter, "open", whole_file)
    wanted, versions = read_back(whole_file), set()
    for number in range(KILLS):
        folder = tmp_path / str(number)
        folder.mkdir()
        records = Path(shutil.copy(OLD, folder / "records.sqlite"))
        killed(starter, chance, longest, "open", records)
        with sqlite3.connect(records) as left:
            assert left.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            versions.add(left.execute("PRAGMA user_version").fetchone()[0])
        left.close()
        assert read_back(records) == wanted
        for copy in folder.glob("records-schema-*.sqlite"):
            with sqlite3.connect(copy) as beside:
                assert beside.execute("PRAGMA user_version").fetchone() == (1,)
                assert beside.execute("SELECT count(*) FROM entries").fetchone()[0] > 100
            beside.close()
    assert 1 in versions, "some were killed before the end"
    assert versions <= {1, len(STEPS)}, "never half way between two versions"


def test_killed_while_a_file_is_taken_in_all_of_it_is_there_or_nothing(tmp_path: Path, starter: Starter) -> None:
    chance = random.Random(1907)
    source = Path(shutil.copy(OLD, tmp_path / "source.sqlite"))
    with Journal.open(source) as journal:
        export(journal, tmp_path / "all.jsonl", "0")
    longest = taken_by(starter, "import", tmp_path / "whole.sqlite", tmp_path / "all.jsonl")
    wanted, seen = read_back(tmp_path / "whole.sqlite"), set()
    for number in range(KILLS):
        records = tmp_path / f"{number}.sqlite"
        killed(starter, chance, longest, "import", records, tmp_path / "all.jsonl")
        found = read_back(records)
        assert found in ([], wanted)
        seen.add(bool(found))
        with Journal.open(records) as journal:
            take_in(journal, tmp_path / "all.jsonl")
        assert read_back(records) == wanted
    assert False in seen, "some were killed before the end"
