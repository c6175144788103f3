"""The journal on the disk: what was written comes back as it was, and a session is gone on with where it was left."""

from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant import __version__
from assistant.devices.clock import JumpingClock, SessionClock, TimeByHand
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from assistant.records.session_journal import SessionJournal
from assistant.session import happenings as h
from assistant.session.advance import open_bench
from tests.records.sessions import score_of

MORNING = datetime(2031, 3, 30, 9, 30, tzinfo=timezone(timedelta(hours=1)))
TEXT = "format: 1\ntitle: Slipway panel  # “as it stands”, spaces and all \n"
BENCH = open_bench(score_of())

WORDS = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
MAYBE = st.none() | st.integers(1, 60)
HAPPENINGS = st.one_of(
    st.sampled_from([h.Tap(), h.Undo(), h.HoldPlan(), h.Go(), h.SayAgain(), h.HowLong(), h.End()]),
    st.builds(h.Void, MAYBE),
    st.builds(h.Moved, MAYBE, st.integers(0, 10**7)),
    st.builds(h.Note, WORDS),
    st.builds(h.Woke, st.integers(0, 10**9)),
    st.builds(h.Reading, WORDS, st.floats(-5, 60)),
    st.builds(h.Pick, st.integers(1, 12)),
)


@pytest.fixture
def clock() -> JumpingClock:
    return JumpingClock(TimeByHand(MORNING))


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "records.sqlite") as opened:
        yield opened


def begin(journal: Journal, clock: SessionClock, **other: Any) -> SessionJournal:
    words: dict[str, Any] = {"recipe": TEXT, "title": "Slipway panel", "file": "slipway.yaml", "copies": 8}
    return journal.begin(clock, **{**words, **other})


# What is kept.


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(0, 10**9), HAPPENINGS), max_size=12))
def test_every_happening_is_read_back_as_it_was(told: list[tuple[int, h.Happening]]) -> None:
    clock = JumpingClock(TimeByHand(MORNING))
    with TemporaryDirectory() as folder, Journal.open(Path(folder) / "records.sqlite") as journal:
        kept = begin(journal, clock)
        for at, happening in told:
            kept.append(at, happening, BENCH)
        assert [(entry.at, entry.happening) for entry in kept.entries()] == told
        kept.leave()


def test_a_session_is_kept_as_it_was_begun(journal: Journal, clock: JumpingClock, tmp_path: Path) -> None:
    kept = begin(journal, clock)
    clock.jump(7_200_000)
    kept.finish(clock.now())
    with Journal.open(tmp_path / "records.sqlite") as again:
        (session,) = again.sessions()
        assert session == again.session(1)
    assert (session.number, session.started, session.copies) == (1, MORNING, 8)
    assert (session.title, session.file, session.recipe) == ("Slipway panel", "slipway.yaml", TEXT)
    assert session.program == __version__
    assert (session.ended, session.ended_wall) == (7_200_000, MORNING + timedelta(hours=2))


def test_wall_times_keep_their_offset(journal: Journal, clock: JumpingClock) -> None:
    begin(journal, clock)
    assert journal.session(1).started.utcoffset() == timedelta(hours=1)


def test_a_number_that_is_not_there_is_answered_with_those_that_are(journal: Journal, clock: JumpingClock) -> None:
    with pytest.raises(JournalFault, match="There is no session 7: none was kept so far"):
        journal.session(7)
    begin(journal, clock)
    with pytest.raises(JournalFault, match="There is no session 7: the last is session 1"):
        journal.session(7)


# Going on with one.


def test_one_goes_on_where_the_program_last_lived(journal: Journal, clock: JumpingClock) -> None:
    kept = begin(journal, clock)
    clock.jump(60_000)
    kept.append(60_000, h.Tap(), BENCH)
    clock.jump(90_000)
    kept.alive(90_000, BENCH)
    clock.jump(95_000)
    kept.leave()
    again, same_clock = journal.resume(1, lambda mark: JumpingClock.resumed(mark, clock.by_hand))
    assert (again.mark.at, again.mark.wall) == (90_000, MORNING + timedelta(seconds=90))
    assert (same_clock.origin, same_clock.now()) == (clock.origin, 95_000)
    again.append(95_000, h.Woke(again.mark.at), BENCH)
    assert [entry.at for entry in again.entries()] == [60_000, 95_000]


def test_over_two_reboots_it_still_knows_its_age(journal: Journal, clock: JumpingClock) -> None:
    kept = begin(journal, clock)
    by_hand = clock.by_hand
    for number in (1, 2):
        by_hand.run(60_000)
        kept.alive(number * 60_000 + (number - 1) * 40_000, BENCH)
        kept.leave()
        by_hand.reboot(40_000, f"boot {number}")
        kept, clock = journal.resume(1, lambda mark: JumpingClock.resumed(mark, by_hand))
        assert clock.now() == number * 100_000
        kept.append(clock.now(), h.Woke(kept.mark.at), BENCH)
    assert kept.session.started == MORNING


def test_a_mark_never_goes_back(journal: Journal, clock: JumpingClock) -> None:
    kept = begin(journal, clock)
    kept.alive(50_000, BENCH)
    kept.append(20_000, h.Tap(), BENCH)
    kept.alive(30_000, BENCH)
    kept.leave()
    again, _ = journal.resume(1, lambda mark: clock)
    assert again.mark.at == 50_000


def test_until_it_is_gone_on_with_the_mark_stays(journal: Journal, clock: JumpingClock) -> None:
    """A second crash, before the first one could be written down, must not make the time between look lived."""
    begin(journal, clock).leave()
    for at in (10_000, 20_000):
        clock.jump(at)
        again, _ = journal.resume(1, lambda mark: clock)
        assert again.mark.at == 0
        again.leave()


def test_the_latest_unfinished_one_is_offered(journal: Journal, clock: JumpingClock) -> None:
    assert journal.unfinished() is None
    for title in ("Slipway", "Boathouse", "Winch"):
        begin(journal, clock, title=title).leave()
    last, _ = journal.resume(3, lambda mark: clock)
    last.finish(0)
    unfinished = journal.unfinished()
    assert unfinished is not None
    assert unfinished.title == "Boathouse"
    assert journal.unfinished() == unfinished, "to look takes nothing"


def test_a_session_is_driven_by_one_program_at_a_time(journal: Journal, clock: JumpingClock, tmp_path: Path) -> None:
    kept = begin(journal, clock)
    with Journal.open(tmp_path / "records.sqlite") as other:
        assert other.unfinished() is None
        with pytest.raises(JournalFault, match="Session 1 is being printed by another traycall"):
            other.resume(1, lambda mark: clock)
        kept.append(1000, h.Tap(), BENCH)
        assert len(other.entries(1)) == 1, "to read is always allowed"
        kept.leave()
        again, _ = other.resume(1, lambda mark: clock)
        with pytest.raises(JournalFault, match="being printed"):
            journal.resume(1, lambda mark: clock)
        again.leave()


def test_an_ended_one_is_not_gone_on_with(journal: Journal, clock: JumpingClock) -> None:
    begin(journal, clock).finish(1000)
    with pytest.raises(JournalFault, match="Session 1 has ended"):
        journal.resume(1, lambda mark: clock)
    with pytest.raises(JournalFault, match="has ended"):
        journal.resume(1, lambda mark: clock)  # the refusal did not leave it held


def test_an_ended_one_leaves_no_file_beside_the_records(journal: Journal, clock: JumpingClock, tmp_path: Path) -> None:
    kept = begin(journal, clock)
    assert [path.name for path in tmp_path.glob("*.hold")] == ["records.sqlite.1.hold"]
    kept.finish(0)
    assert list(tmp_path.glob("*.hold")) == []


def test_a_clock_that_cannot_be_made_leaves_the_session_to_others(journal: Journal, clock: JumpingClock) -> None:
    begin(journal, clock).leave()

    def no_clock(mark: object) -> JumpingClock:
        raise RuntimeError("no clock")

    with pytest.raises(RuntimeError, match="no clock"):
        journal.resume(1, no_clock)
    assert journal.unfinished() is not None
