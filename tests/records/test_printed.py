"""A record is the session: what was written while it went on is what its bench had come to, whatever happened."""

from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.history.course import course_of
from assistant.records.journal import Journal
from assistant.records.printed import printed
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from tests.records.sessions import EVENTFUL, OVER, at, keep, score_of


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "records.sqlite") as opened:
        yield opened


@pytest.mark.parametrize("late", [0, 4_000, 20_000])
def test_a_whole_edition_comes_back_as_it_was_printed(journal: Journal, late: int) -> None:
    played = rehearse(score_of(copies=8), Punctual(late))
    session = keep(journal, played.hands, played.bench.now, copies=8)
    record = printed(journal, session)
    assert record.course == course_of(played.bench)
    assert record.course.stays == played.stays


MOMENTS = st.integers(1, 120_000)
TOLD = st.one_of(
    st.just(h.Tap()),
    st.just(h.Tap()),
    st.just(h.Tap()),
    st.sampled_from([h.Undo(), h.HoldPlan(), h.Go(), h.HowLong(), h.SayAgain(), h.Void()]),
    st.builds(h.Moved, st.none() | st.integers(1, 4), st.integers(0, 60_000)),
    st.builds(h.Note, st.text("ab ", max_size=9)),
    st.builds(h.Reading, st.just("developer"), st.floats(18, 24)),
)


@settings(max_examples=60)
@given(st.lists(st.tuples(MOMENTS, st.none() | TOLD), max_size=40), MOMENTS)
def test_any_session_is_written_as_it_went(told: list[tuple[int, h.Happening | None]], rest: int) -> None:
    score, now, hands = score_of(), 0, []
    bench = open_bench(score)
    for passed, happening in told:
        now += passed
        bench = advance(bench, happening, now).bench  # None: only a beat, which no journal knows of
        if happening is not None:
            hands.append((now, happening))
    bench = advance(bench, None, now + rest).bench
    with TemporaryDirectory() as folder, Journal.open(Path(folder) / "records.sqlite") as journal:
        session = keep(journal, hands, now + rest, ended=False)
        record = printed(journal, session)
    assert record.course == course_of(bench)


def test_times_that_were_worked_out_by_hand(journal: Journal) -> None:
    record = printed(journal, keep(journal, EVENTFUL, OVER))
    times = {(stay.copy, stay.name): (stay.lasted, stay.verdict) for stay in record.course.stays}
    assert times[1, "Developer"] == (at("2:08"), "long")  # 1:20 to 3:28: over by more than 5 %
    assert times[1, "Stop"] == (at("0:30"), "good")  # 3:28 to its pip
    assert times[1, "Fixer"] == (at("2:07"), "good")  # 3:58 to 6:05, said in time
    assert times[1, "Holding water"] == (at("15:55"), "good")  # 6:05 to 22:00
    assert times[2, "Developer"] == (at("0:50"), "void")
    assert times[3, "Fixer"] == (at("3:20"), "good")  # 11:40 to 15:00, called by nobody at 13:40
    assert times[1, "Final wash"] == (at("43:10"), "good")  # until forty minutes after the last came in
    assert times[4, "Final wash"] == (at("40:00"), "good")
    assert [(stay.copy, stay.lasted) for stay in record.course.toned] == [(1, at("1:20")), (3, at("1:50"))]
    assert record.unattended == ((at("12:00"), at("15:00")),)
    assert [sheet.state for sheet in record.course.sheets] == ["done", "void", "done", "done"]
    assert record.course.left == ()


def test_an_unfinished_one_stands_where_the_program_last_lived(journal: Journal) -> None:
    started = EVENTFUL[:3]
    record = printed(journal, keep(journal, started, at("2:00"), ended=False))
    assert [(sheet.number, within.since) for sheet, within in record.course.left] == [(1, at("1:20"))]
    assert [sheet.state for sheet in record.course.sheets] == ["not finished", "not begun", "not begun"]
    assert record.until == at("2:00")


def test_after_the_last_mark_no_pip_is_taken_for_done(journal: Journal) -> None:
    """The program died at 2:00; development would have ended at 3:20, but nobody called it."""
    session = keep(journal, EVENTFUL[:3], at("2:00"), ended=False)
    assert "Stop" not in {stay.name for stay in printed(journal, session).course.stays}
    alive = keep(journal, EVENTFUL[:3], at("3:40"), ended=False)
    assert printed(journal, alive).course.stays[-1].name == "Developer"


def test_a_sheet_touches_each_bath_once_and_a_spoiled_one_too(journal: Journal) -> None:
    record = printed(journal, keep(journal, EVENTFUL, OVER))
    first, torn, _, untoned = record.course.sheets
    assert list(first.touched) == ["developer", "stop", "fixer", "water", "toner", "washer"]
    assert first.touched["fixer"] == at("3:58")
    assert torn.touched == {"developer": at("7:10")}
    assert "toner" not in untoned.touched


def test_a_sheet_still_in_its_bath_has_touched_it(journal: Journal) -> None:
    record = printed(journal, keep(journal, EVENTFUL[:3], at("2:00"), ended=False))
    assert record.course.sheets[0].touched == {"developer": at("1:20")}
