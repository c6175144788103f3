"""The session under every happening at every time: what must hold whatever a printer does."""

import hypothesis.strategies as st
import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from assistant.conductor.planner import planner_for
from assistant.planning.hand_times import Hands
from assistant.score.cues import Cue, Passage
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench, replay
from assistant.session.bench import Bench, ends
from assistant.session.passing import beat, due
from assistant.session.view import face, light
from tests.session import cards

SPANS = st.one_of(st.integers(0, 2_000), st.integers(0, 200_000), st.integers(0, 4_000_000))


class Desk:
    """Holds what it was given, and says what would have been heard by a moment."""

    def __init__(self) -> None:
        self.waiting: dict[int, tuple[Cue, ...]] = {}
        self.heard: list[Cue] = []

    def until(self, at: int) -> None:
        for voice, cues in self.waiting.items():
            self.heard += [cue for cue in cues if cue.at <= at]
            self.waiting[voice] = tuple(cue for cue in cues if cue.at > at)

    def take(self, give: tuple[Passage, ...], hush: tuple[int, ...]) -> None:
        for voice in hush:
            self.waiting.pop(voice, None)
        for passage in give:
            self.waiting[passage.voice] = passage.cues


def same(cues: list[Cue]) -> list[Cue]:
    return sorted(cues, key=lambda c: (c.at, c.kind, c.words, c.copy or 0))


class Session(RuleBasedStateMachine):
    """A bench told everything in one cut of time, and a twin told the same in another."""

    @initialize(card=st.sampled_from((*cards.ALL, *cards.OVERLAPPED)), copies=st.integers(1, 4))
    def begin(self, card, copies):
        self.bench = open_bench(card(copies))
        self.planner = planner_for(self.bench.score, Hands())
        self.now = 0
        self.told: list[tuple[int, h.Happening]] = []
        self.desk, self.twin_desk = Desk(), Desk()
        for desk in (self.desk, self.twin_desk):
            desk.take(self.bench.promised, ())
        self.twin = self.bench

    def tell(self, happening):
        self.desk.until(self.now)
        self.twin_desk.until(self.now)
        before = self.bench
        outcome = advance(before, happening, self.now)
        self.bench = outcome.bench
        self.desk.take(outcome.give, outcome.hush)
        twin = advance(self.twin, happening, self.now)
        self.twin = twin.bench
        self.twin_desk.take(twin.give, twin.hush)
        self.told.append((self.now, happening))
        assert outcome.answer == twin.answer
        if outcome.refused:
            quiet = beat(before, self.now) if not isinstance(happening, h.Woke) else self.bench
            assert self.bench == quiet
            assert outcome.give == ()
            assert outcome.hush == ()
        if self.planner is not None and not outcome.refused and not isinstance(happening, h.Planned):
            planned = self.planner(self.bench)  # told to both: what it decides is a happening, and is never worked out twice
            if planned is not None and planned != self.bench.planned:
                self.tell(planned)
        event(f"{type(happening).__name__} {'refused' if outcome.refused else 'done'}")

    @rule(span=SPANS)
    def time_goes_by(self, span):
        self.now += span
        self.bench = advance(self.bench, None, self.now).bench

    @rule(cuts=st.lists(st.integers(0, 60_000), max_size=6))
    def time_goes_by_in_pieces(self, cuts):
        for cut in cuts:
            self.now += cut
            self.bench = advance(self.bench, None, self.now).bench

    @precondition(lambda self: due(self.bench) is not None)
    @rule(off=st.sampled_from([-1, 0, 1, 5_000, 14_999, 15_000]))
    def to_the_next_change(self, off):
        self.now = max(self.now, (due(self.bench) or 0) + off)
        self.bench = advance(self.bench, None, self.now).bench

    @rule(ago=st.one_of(st.just(0), st.integers(0, 3_000), SPANS))
    def tap(self, ago):
        self.tell(h.Tap(ago))

    @rule(copy=st.one_of(st.none(), st.integers(0, 6)))
    def void(self, copy):
        self.tell(h.Void(copy))

    @rule(copy=st.one_of(st.none(), st.integers(0, 6)), ago=SPANS)
    def moved(self, copy, ago):
        self.tell(h.Moved(copy, ago))

    @rule(span=SPANS)
    def sleeps(self, span):
        since = self.now
        self.now += span
        for desk in (self.desk, self.twin_desk):
            desk.until(since)
            desk.waiting = {voice: tuple(c for c in cues if c.at > self.now) for voice, cues in desk.waiting.items()}
        self.tell(h.Woke(since))

    @rule(back=SPANS)
    def learns_of_a_silence_afterwards(self, back):
        self.tell(h.Woke(max(0, self.now - back)))

    @rule(
        happening=st.sampled_from(
            [h.Undo(), h.HoldPlan(), h.Go(), h.Note("thin"), h.SayAgain(), h.HowLong(), h.End(), h.Reading("developer", 19.0),
             h.Reading("nowhere", 20.0), h.Pick(2), h.NewTime(1, 3, 7_000), h.NewTime(2, 2, 20_000),
             h.Another(), h.Another("", 8_000), h.Another("nowhere"), h.Fresh("developer")]
        )
    )  # fmt: skip
    def anything_else(self, happening):
        self.tell(happening)

    @invariant()
    def nothing_is_due_in_the_past(self):
        if hasattr(self, "bench"):
            moment = due(self.bench)
            assert moment is None or moment > self.bench.now

    @invariant()
    def cut_time_makes_the_same_bench(self):
        if hasattr(self, "bench"):
            assert beat(self.twin, self.now) == beat(self.bench, self.now)

    @invariant()
    def stays_follow_each_other(self):
        for copy in self.bench.copies if hasattr(self, "bench") else ():
            for one, two in zip(copy.stays, copy.stays[1:], strict=False):
                assert one.from_ms <= one.to_ms <= two.from_ms
            assert copy.void or all(stay.verdict != "void" for stay in copy.stays)
            if copy.since is not None and copy.stays:
                assert copy.stays[-1].to_ms <= copy.since

    @invariant()
    def white_light_never_finds_a_sheet_unfixed(self):
        if not hasattr(self, "bench") or light(self.bench) != "white":
            return
        for copy in self.bench.living():
            fixed = any(stay.kind == "fix" for stay in copy.stays)
            assert copy.boxed or fixed or self.bench.step_of(copy).kind == "fix"

    @invariant()
    def no_tray_holds_more_than_it_can(self):
        for index, step in enumerate(self.bench.plan.recipe.steps) if hasattr(self, "bench") else ():
            inside = sum(1 for copy in self.bench.copies if copy.bath is not None and copy.step == index)
            assert step.tray is None or inside <= self.bench.plan.recipe.trays[step.tray].holds

    @invariant()
    def a_face_can_be_shown(self):
        if hasattr(self, "bench"):
            assert face(self.bench).title

    def teardown(self):
        if not hasattr(self, "bench"):
            return
        self.planner = None
        assert replay_all(self.bench, self.told, self.now) == beat(self.bench, self.now)
        self.desk.until(self.now)
        self.twin_desk.until(self.now)
        assert same(self.desk.heard) == same(self.twin_desk.heard)


def replay_all(bench: Bench, told, at: int) -> Bench:
    """The journal's way: a new bench, told everything again."""
    again = open_bench(bench.score)
    for moment, happening in told:
        again = advance(again, happening, moment).bench
    return beat(again, at)


TestSession = Session.TestCase
TestSession.settings = settings(max_examples=120, stateful_step_count=40, deadline=None, suppress_health_check=list(HealthCheck))


@pytest.mark.parametrize("card", cards.ALL)
def test_history_alone_makes_the_bench(card):
    """What was accepted is enough: a replay of the history is the bench."""
    bench = open_bench(card(2))
    for at, happening in [(10_000, h.Tap()), (40_000, h.Tap()), (41_000, h.Note("x")), (300_000, h.Moved(None, 2_000))]:
        bench = advance(bench, happening, at).bench
    assert replay(bench, bench.history, bench.now) == bench


@given(ahead=st.integers(0, 3_000_000))
def test_silent_a_millisecond_before_sounding_at_due(ahead):
    """A pip is promised for just the moment at which its stay ends."""
    ahead += cards.proof().opening_lasts
    bench = advance(open_bench(cards.proof()), h.Tap(), ahead).bench
    bench = beat(bench, ahead + 11_500)
    bench = advance(bench, h.Tap(), ahead + 20_000).bench
    end = ends(bench, bench.copy(1))
    pips = [cue.at for passage in bench.promised for cue in passage.cues if cue.kind == "pip"]
    assert end == ahead + 140_000
    assert min(pips) == end
    assert beat(bench, end - 1).copies == bench.copies
    assert beat(bench, end).copies != bench.copies
