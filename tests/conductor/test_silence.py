"""A desk that knows only afterwards that a pip went unheard: what was taken for done is taken back, and said."""

import pytest

from assistant.conductor.conductor import SILENCE, Conductor
from assistant.conductor.twins import RecordingDesk
from assistant.devices.clock import JumpingClock
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench, replay
from assistant.session.place import Assumed, Called, InBath
from tests.records.memory_journal import MemoryJournal
from tests.session import cards


class Doubtful(RecordingDesk):
    """A desk whose silences a test makes."""

    missed = None
    says = ""

    def unheard(self):
        missed, self.missed = self.missed, None
        return missed

    def trouble(self):
        return self.says


class Evening:
    def __init__(self, score):
        self.clock, self.desk = JumpingClock(), Doubtful()
        self.journal = MemoryJournal(self.clock)
        self.conductor = Conductor(open_bench(score), self.clock, self.desk, self.journal)
        self.conductor.open()

    def run(self, until):
        while self.clock.now() < until:
            self.clock.jump(min(until, self.clock.now() + 250))
            self.desk.until(self.clock.now())
            self.conductor.beat()

    def place(self, number=1):
        return self.conductor.bench.copy(number).place

    def tap(self):
        for _ in range(60):  # until what is asked has been heard
            if not self.conductor.tell(h.Tap()).refused:
                return
            self.run(self.clock.now() + 1_000)
        raise AssertionError("no tap was wanted within a minute")

    def into_the_developer(self):
        """Copy one is in the developer; when its pip will come."""
        self.tap()
        self.run(self.clock.now() + 15_000)
        self.tap()
        assert isinstance(self.place(), InBath)
        return self.place().since + self.place().target


@pytest.fixture
def evening():
    return Evening(cards.proof())


def test_a_pip_that_went_unheard_is_no_move_and_a_hand_says_when_it_was(evening):
    pip = evening.into_the_developer()
    evening.run(pip + 2_000)
    assert isinstance(evening.place(), Assumed)
    evening.desk.missed = pip - 1
    evening.run(pip + 2_500)
    assert isinstance(evening.place(), Called)
    assert "copy one" in evening.desk.heard[-1].words or "developer" in evening.desk.heard[-1].words
    evening.run(pip + 8_000)
    evening.conductor.tell(h.Tap())
    (developed,) = [stay for stay in evening.conductor.bench.copy(1).stays if stay.kind == "develop"]
    assert developed.to_ms - pip == pytest.approx(8_000, abs=300)
    assert developed.verdict == "long"


def test_two_pips_that_went_unheard_leave_the_copy_where_the_first_would_have_moved_it(evening):
    pip = evening.into_the_developer()
    evening.run(pip + 33_000)
    assert evening.place().step == 3, "two pips on"
    evening.desk.missed = pip - 1
    evening.run(pip + 33_500)
    assert isinstance(evening.place(), Called)
    assert evening.conductor.bench.step_of(evening.conductor.bench.copy(1)).kind == "develop"


def test_a_light_whose_end_went_unheard_is_void(evening):
    evening.tap()
    lit = evening.place()
    evening.run(lit.since + 20_000)
    end = evening.conductor.bench.copy(1).stays[0].to_ms
    evening.desk.missed = end - 1
    evening.run(lit.since + 20_500)
    assert evening.conductor.bench.copy(1).void


def test_what_a_hand_did_meanwhile_stays(evening):
    pip = evening.into_the_developer()
    evening.run(pip + 1_000)
    evening.conductor.tell(h.Note("smells of vinegar"))
    evening.run(pip + 2_000)
    evening.desk.missed = pip - 1
    evening.run(pip + 2_500)
    assert [words for _, words in evening.conductor.bench.notes] == ["smells of vinegar"]
    assert isinstance(evening.place(), Called)


def test_the_journal_makes_the_same_bench_again(evening):
    pip = evening.into_the_developer()
    evening.run(pip + 1_000)
    evening.conductor.tell(h.Note("smells of vinegar"))
    evening.desk.missed = pip - 1
    evening.run(pip + 4_000)
    evening.conductor.tell(h.Tap())
    bench = evening.conductor.bench
    again = open_bench(bench.score)
    for entry in evening.journal.entries():
        again = advance(again, entry.happening, entry.at).bench
    assert again.copies == bench.copies
    assert replay(bench, bench.history, bench.now).copies == bench.copies


def test_what_is_no_longer_promised_is_hushed(evening):
    pip = evening.into_the_developer()
    evening.run(pip + 2_000)
    evening.desk.missed = pip - 1
    evening.run(pip + 2_500)
    before = len(evening.desk.heard)
    evening.run(pip + 31_000)
    assert [cue.kind for cue in evening.desk.heard[before:] if cue.kind in ("pip", "lift")] == []


def test_when_the_sound_is_back_it_is_said_where_the_copy_is(evening):
    pip = evening.into_the_developer()
    evening.desk.says = "No sound."
    evening.run(pip - 60_000)
    evening.desk.says = ""
    evening.run(pip - 59_500)
    assert "developer" in evening.desk.heard[-1].words
    said = len(evening.desk.heard)
    evening.desk.says = "The sound stopped; it is being started again."
    evening.run(evening.clock.now() + SILENCE - 500)
    evening.desk.says = ""
    evening.run(evening.clock.now() + 500)
    assert [cue.words for cue in evening.desk.heard[said:] if "developer" in cue.words] == [], "not for every hiccup"


def test_a_session_that_is_gone_on_with_shows_nothing_that_nobody_was_called_for(evening):
    """The program was gone over the lift and the pip: neither is shown as if it were called now."""
    pip = evening.into_the_developer()
    again = Conductor(evening.conductor.bench, evening.clock, RecordingDesk(), evening.journal)
    shown = []
    again.listeners.append(lambda cue: shown.append(cue.words))
    again.open()
    evening.clock.jump(pip + 20_000)
    again.woke(pip - 60_000)
    again.beat()
    assert shown == ["nothing was called for one minute twenty. copy one is twenty seconds over in the developer"]
