"""What a conductor may count on with any journal: the one on the disk, through its buffer, and the one in memory.

A whole session is conducted into each, under a clock that jumps; what they kept must be what the bench had come to.
"""

import inspect
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from assistant.conductor import ports
from assistant.conductor.conductor import Conductor
from assistant.conductor.twins import RecordingDesk
from assistant.devices.clock import JumpingClock, TimeByHand
from assistant.history.course import course_of
from assistant.history.printed import Course
from assistant.records.buffered_journal import BufferedJournal
from assistant.records.entries import Entry
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from tests import waiting
from tests.records.memory_journal import MemoryJournal
from tests.records.sessions import EVENTFUL, MORNING, OVER, TEXT, at, score_of
from tests.session import cards

TWINS = (BufferedJournal, MemoryJournal)
METHODS = [name for name in vars(ports.HappeningsJournal) if not name.startswith("_")]


class Kept:
    """A journal to be judged, and what it kept."""

    def __init__(self, port: ports.HappeningsJournal, entries: Callable[[], list[Entry]], course: Callable[[], Course]) -> None:
        self.port, self._entries, self._course = port, entries, course

    def entries(self) -> list[Entry]:
        """What it has kept of all it was told."""
        waiting.until(lambda: not self.port.behind())
        return self._entries()

    def course(self) -> Course:
        """The same of the course."""
        waiting.until(lambda: not self.port.behind())
        return self._course()


@pytest.fixture
def clock() -> JumpingClock:
    return JumpingClock(TimeByHand(MORNING))


@pytest.fixture(params=["on the disk", "in memory"])
def kept(request: pytest.FixtureRequest, tmp_path: Path, clock: JumpingClock) -> Iterator[Kept]:
    if request.param == "in memory":
        memory = MemoryJournal(clock)
        yield Kept(memory, memory.entries, memory.course)
        return
    with Journal.open(tmp_path / "records.sqlite") as journal:
        session = journal.begin(clock, recipe=TEXT, title="Slipway panel", file="", copies=3)
        with BufferedJournal(session) as buffered:
            yield Kept(buffered, session.entries, session.course)


@pytest.mark.parametrize("twin", TWINS)
@pytest.mark.parametrize("name", METHODS)
def test_every_method_of_the_port_is_there_to_the_letter(twin: type, name: str) -> None:
    assert inspect.signature(getattr(twin, name)) == inspect.signature(getattr(ports.HappeningsJournal, name))


def test_there_is_something_to_conform_to() -> None:
    assert METHODS == ["append", "behind", "alive", "trouble"]


def test_a_conducted_session_is_kept_as_it_went_at_every_word_and_every_beat(kept: Kept, clock: JumpingClock) -> None:
    conductor = Conductor(open_bench(score_of()), clock, RecordingDesk(), kept.port)
    hands = list(EVENTFUL)
    moments = sorted({*range(0, OVER + 1, 15_000), *(moment for moment, _ in hands)})
    for moment in moments:
        clock.jump(moment)
        while hands and hands[0][0] == moment:
            conductor.tell(hands.pop(0)[1])
            assert kept.course() == course_of(conductor.bench)
        changed = conductor.beat()
        assert kept.course() == course_of(conductor.bench) or not changed
    assert kept.port.trouble() == ""
    assert kept.course() == course_of(conductor.bench)
    assert {sheet.state for sheet in kept.course().sheets} == {"done", "void"}
    assert [(entry.at, entry.happening) for entry in kept.entries()] == list(EVENTFUL)
    assert [entry.wall - MORNING for entry in kept.entries()] == [timedelta(milliseconds=at) for at, _ in EVENTFUL]


def test_a_late_tap_an_undo_and_a_void_correct_what_was_written(kept: Kept) -> None:
    bench = open_bench(score_of())

    def told(moment: int, happening: h.Happening) -> None:
        nonlocal bench
        bench = advance(bench, happening, moment).bench
        kept.port.append(moment, happening, bench)

    def developed() -> list[tuple[int, str]]:
        return [(stay.lasted, stay.verdict) for stay in kept.course().stays if stay.kind == "develop"]

    for moment, happening in EVENTFUL[:3]:
        told(moment, happening)
    bench = advance(bench, None, at("3:21")).bench
    kept.port.alive(at("3:21"), bench)
    assert developed() == [(at("2:00"), "good")]  # taken for done on its pip
    told(at("3:32"), h.Tap())
    assert developed() == [(at("2:12"), "long")]
    told(at("3:34"), h.Undo())
    assert developed() == [(at("2:00"), "good")]
    told(at("3:36"), h.Void(1))
    assert developed() == [(at("2:00"), "void")]
    assert [sheet.number for sheet in kept.course().sheets] == [1, 2, 3, 4]
    told(at("3:38"), h.Undo())
    assert developed() == [(at("2:00"), "good")]
    assert [sheet.number for sheet in kept.course().sheets] == [1, 2, 3]


def test_two_happenings_may_share_a_moment(kept: Kept) -> None:
    bench = open_bench(score_of())
    kept.port.append(1000, h.Tap(), bench)
    kept.port.append(1000, h.Undo(), bench)
    assert [entry.happening for entry in kept.entries()] == [h.Tap(), h.Undo()]


def test_to_live_adds_no_entry(kept: Kept) -> None:
    kept.port.alive(5000, open_bench(score_of()))
    assert kept.entries() == []


def test_nothing_is_added_to_a_finished_one(tmp_path: Path, clock: JumpingClock) -> None:
    bench = open_bench(score_of())
    with Journal.open(tmp_path / "records.sqlite") as journal:
        session = journal.begin(clock, recipe=TEXT, title="Slipway panel", file="", copies=3)
        for one in (session, MemoryJournal(clock)):
            one.append(1000, h.Tap(), bench)
            one.finish(2000)
            for late in (
                lambda one=one: one.append(3000, h.Tap(), bench),
                lambda one=one: one.alive(3000, bench),
                lambda one=one: one.finish(3000),
            ):
                with pytest.raises(JournalFault, match="closed"):
                    late()
            one.leave()
            assert [entry.at for entry in one.entries()] == [1000]


def test_turns_left_out_are_kept_with_their_stay_and_corrected_with_it(kept: Kept) -> None:
    bench = open_bench(cards.overlapped(3))
    planned = h.Planned(turns=((1, 1, (30_000,)),))
    for moment, happening in ((10, h.Tap()), (35, h.Tap()), (36, planned), (165, h.Tap()), (167, h.Undo()), (168, h.Void(1))):
        bench = advance(bench, happening, moment * 1_000).bench
        kept.port.append(moment * 1_000, happening, bench)
        assert kept.course() == course_of(bench)
        left = [stay.left_out for stay in kept.course().stays if stay.kind == "develop"]
        assert left == ([] if moment < 165 else [0] if moment == 168 else [2])
