"""What is said to a session: every phrase in its place and out of it, moments of words that have begun, and what can never be."""

from dataclasses import replace

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from assistant.session.answers import Refused
from assistant.session.bench import ends
from assistant.session.heard import Heard, Sure, how_sure, syllables
from assistant.session.passing import beat, due
from assistant.session.place import Assumed, InBath, InLight
from assistant.session.said import PHRASES, Listen, Question, TakeDown, Tell, meant, sure, texts, wanted
from tests.session import cards
from tests.session.test_tables import in_the_toner, told

BEGIN, IN = 10, 35
PIP = IN + 120
DEVELOPING = ((BEGIN, h.Tap()), (IN, h.Tap()))


def heard(name, seconds, number=None, late=0.7):
    """A phrase that began at a second, and the bench's own second is `late` after it."""
    return Heard(name, number, "", round(seconds * 1000), round((seconds + late) * 1000))


def said(bench, name, seconds, number=None, asked=None, late=0.7):
    words = heard(name, seconds, number, late)
    return meant(beat(bench, words.end), words, asked)


def after(score, hands, seconds):
    return beat(told(score, hands), seconds * 1000)


def do(bench, name, seconds, number=None, late=0.7):
    """The outcome of a phrase that is a happening."""
    happening = said(bench, name, seconds, number, late=late)
    assert isinstance(happening, h.Happening), happening
    return advance(bench, happening, round((seconds + late) * 1000))


def strip():
    from assistant.planning.plan import make_plan
    from assistant.score.score import Score

    expose = {"kind": "expose", "strip": {"first": "5 s", "strips": 4, "step": "1/2"}}
    return Score(make_plan(cards.recipe(expose, cards.DEVELOP, cards.STOP, cards.FIX, cards.WASH)))


def test_next_one_begins_the_light_now_and_not_when_the_words_began():
    outcome = do(open_bench(cards.edition(2)), "begin", 12)
    assert outcome.bench.copy(1).place == InLight(0, 0, 12_700)


def test_next_one_is_refused_where_a_hand_is_wanted_for_something_else():
    bench = after(cards.edition(2), DEVELOPING, PIP + 3)
    assert said(bench, "begin", PIP + 4) == Refused("not that. copy one, stop, is next")


def test_now_it_is_in_is_stamped_when_the_words_began():
    bench = told(cards.edition(2), [(BEGIN, h.Tap())])
    assert do(bench, "in", IN).bench.copy(1).place == InBath(1, IN * 1000, 120_000)


def test_words_that_began_before_the_pip_are_what_a_tap_would_have_been():
    bench = told(cards.edition(2), DEVELOPING)
    outcome = do(bench, "in", PIP - 0.3)
    assert isinstance(beat(bench, PIP * 1000).copy(1).place, Assumed)
    assert outcome.bench.copy(1).place == InBath(2, PIP * 1000 - 300, 30_000)
    assert outcome.bench.copy(1).stays[-1].lasted == 119_700


def test_words_that_began_too_soon_before_the_pip_mean_nothing():
    bench = told(cards.edition(2), DEVELOPING)
    outcome = advance(bench, h.Tap(6_000), PIP * 1000 + 100)
    assert outcome.refused


def test_now_it_is_in_never_begins_a_light():
    assert said(open_bench(cards.edition(2)), "in", 12) == Refused("not that. copy one, exposure, is next")


def test_take_it_out_now_ends_toning_when_the_words_began():
    bench = in_the_toner()
    number = next(c.number for c in bench.living() if bench.step_of(c).kind == "tone")
    at = bench.now / 1000 + 50
    assert do(bench, "out", at).bench.copy(number).stays[-1].lasted == 50_000
    assert isinstance(said(told(cards.edition(2), DEVELOPING), "out", 60), Refused)


def test_first_tone_is_stamped_when_the_words_began():
    bench = told(cards.by_hand(1), [(BEGIN, h.Tap()), (IN, h.Tap())])
    assert do(bench, "first_tone", IN + 20).bench.emerged == ((1, 20_000),)
    assert isinstance(said(told(cards.edition(2), DEVELOPING), "first_tone", 60), Refused)


def test_seconds_ago_count_from_when_the_words_began():
    bench = after(cards.edition(2), DEVELOPING, PIP + 9)
    moved = said(bench, "moved", PIP + 9, 5.0)
    assert moved == h.Moved(None, 5_700)
    place = advance(bench, moved, PIP * 1000 + 9_700).bench.copy(1).place
    assert place.since == PIP * 1000 + 4_000


def test_a_strip_is_taken_once_it_has_had_its_light():
    bench = open_bench(strip())
    assert isinstance(said(bench, "pick", 11, 3.0), Refused)
    lit = beat(advance(bench, h.Tap(), 12_000).bench, 60_000)
    assert do(lit, "pick", 61, 3.0).bench.picked == 3
    assert advance(lit, said(lit, "pick", 61, 9.0), 62_000).refused


def test_a_temperature_belongs_to_the_one_bath_with_a_law():
    assert said(open_bench(cards.with_a_law(2)), "reading", 12, 20.5) == h.Reading("developer", 20.5)
    assert "reading" not in wanted(open_bench(cards.edition(2)))


def test_waiting_and_going_on():
    bench = told(cards.edition(2), DEVELOPING)
    held = do(bench, "hold", 60).bench
    assert held.held
    assert isinstance(said(held, "hold", 62), Refused)  # held again it would ask whether the sheet is void
    assert not do(held, "go", 65).bench.held
    assert advance(bench, said(bench, "go", 60), 61_000).refused


def test_three_knocks_are_a_tap_but_for_a_light():
    bench = told(cards.edition(2), DEVELOPING[:1])
    assert isinstance(said(bench, "knock", 40), h.Tap)
    asked = open_bench(cards.edition(2))
    assert meant(beat(asked, 12_000), Heard("begin", None, "next one please", 12_000, 12_000)) == h.Tap()
    assert isinstance(meant(beat(asked, 12_000), Heard("knock", None, "three knocks", 12_000, 12_000)), Refused)


def test_taken_back():
    bench = told(cards.edition(2), DEVELOPING)
    assert do(bench, "undo", IN + 3).bench.copy(1).bath is None


def test_a_sheet_is_dropped_only_after_a_yes():
    bench = told(cards.edition(3), DEVELOPING)
    question = said(bench, "void", 60, 1.0)
    assert question == Question(1, 60_700, 2)
    assert said(bench, "yes", 64, asked=question) == h.Void(1)
    assert said(bench, "no", 64, asked=question) == Tell("copy one stays")
    assert said(bench, "yes", 69, asked=question) == Refused("nothing was asked")
    assert said(bench, "yes", 64) == Refused("nothing was asked")
    moved_on = advance(bench, h.Note("thin"), 62_000).bench
    assert said(moved_on, "yes", 64, asked=question) == Refused("nothing was asked"), "any hand means no"
    assert said(bench, "void", 60, 7.0) == Refused("no such copy")
    gone = advance(bench, h.Void(1), 61_000).bench
    assert said(gone, "void", 62, 1.0) == Refused("copy one is void")


def test_answers():
    bench = told(cards.edition(2), DEVELOPING)
    assert said(bench, "again", 60) == h.SayAgain()
    assert said(bench, "how_long", 60) == h.HowLong()
    assert said(bench, "coming", 60) == Tell("in thirty four seconds: half way")
    assert said(bench, "note", 60) == TakeDown()
    assert said(bench, "close", 60) == Listen(False)
    assert said(bench, "open", 60) == Listen(True)


def test_every_phrase_is_tried_here():
    source = __import__("pathlib").Path(__file__).read_text()
    assert all(f'"{name}", ' in source for name in PHRASES)


def test_every_wording_is_its_own_and_has_three_syllables():
    bench = open_bench(strip())
    listed = [(name, text) for name in PHRASES for _, _, text in texts(name, bench)]
    assert len({text for _, text in listed}) == len(listed)
    assert [text for _, text in listed if syllables(text) < 3] == []


@pytest.mark.parametrize(("own", "one", "two"), [
    ({}, "one second ago", "two seconds ago"),
    ({"moved": "it went in {} seconds before"}, "it went in one second before", "it went in two seconds before"),
])  # fmt: skip
def test_one_second_is_said_in_the_singular(own, one, two):
    listed = texts("moved", open_bench(strip()), own)
    assert [(number, text) for number, _, text in listed[:2]] == [(1.0, one), (2.0, two)]
    assert len(listed) == 20


@pytest.mark.parametrize(
    ("text", "count"),
    [("take it out now", 4), ("next one please", 3), ("twelve seconds ago", 5), ("that is right", 3), ("what comes next", 3),
     ("it is twenty point five degrees", 8), ("drop number seven", 5), ("how much time", 3)],
)  # fmt: skip
def test_syllables(text, count):
    """Counted by hand."""
    assert syllables(text) == count


CLEAR = Heard("in", None, "now it is in", 1_000, 1_900)


@pytest.mark.parametrize(
    ("changed", "verdict"),
    [
        ({}, Sure.YES),
        ({"score": -4.0, "margin": 3.0}, Sure.YES),
        ({"score": -4.1, "margin": 4.9}, Sure.HALF),
        ({"score": -7.0, "margin": 5.0}, Sure.YES),
        ({"score": -7.1}, Sure.HALF),
        ({"score": -10.1}, Sure.TALK),
        ({"margin": 2.9}, Sure.HALF),
        ({"number_margin": 2.5}, Sure.YES),
        ({"number_margin": 2.4}, Sure.HALF),
        ({"name": "reading", "number": 20.5, "number_margin": 4.0}, Sure.YES),
        ({"name": "reading", "number": 20.5, "number_margin": 3.9}, Sure.HALF),
        ({"end": 1_000 + 4 * 139}, Sure.TALK),
        ({"end": 1_000 + 4 * 451 + 150}, Sure.TALK),
        ({"name": "begin", "text": "next one please", "score": -3.0}, Sure.YES),
        ({"name": "begin", "text": "next one please", "score": -3.5}, Sure.HALF),
        ({"name": "yes", "text": "that is right", "score": -3.5}, Sure.HALF),
        ({"name": "void", "text": "drop number two", "number": 2.0, "score": -3.5}, Sure.HALF),
    ],
)
def test_limits(changed, verdict):
    assert sure(replace(CLEAR, **changed)) is verdict


def test_a_grave_phrase_needs_more():
    assert how_sure(replace(CLEAR, score=-3.5), grave=True) is Sure.HALF


BY_KEYS = (h.Tap, h.Moved, h.Pick, h.Reading, h.HoldPlan, h.Go, h.Undo, h.SayAgain, h.HowLong)


@st.composite
def benches(draw):
    """A bench after some hands and words at some moments, mostly near those at which something changes by itself."""
    bench = open_bench(draw(st.sampled_from([*cards.ALL, cards.with_a_law]))(draw(st.integers(1, 3))))
    for _ in range(draw(st.integers(0, 14))):
        near = due(bench)
        later = draw(st.integers(0, 60_000))
        step = later if near is None or draw(st.booleans()) else near - bench.now + draw(st.integers(-2_000, 9_000))
        hand = draw(st.sampled_from([h.Tap(), h.Tap(), h.Tap(), h.HoldPlan(), h.Go(), h.Void(), h.Undo()]))
        bench = advance(bench, hand, bench.now + max(0, step)).bench
    return bench


@settings(max_examples=100, deadline=None)
@given(bench=benches(), name=st.sampled_from(list(PHRASES)), number=st.integers(0, 30), ago=st.integers(0, 3_000), data=st.data())
def test_no_phrase_does_what_keys_cannot(bench, name, number, ago, data):
    """Of its own it tells only what single keys and typed lines tell, never an end; a sheet is spoiled only by a yes."""
    words = Heard(name, float(number), "", max(0, bench.now - ago), bench.now)
    asked = data.draw(st.none() | st.builds(Question, st.integers(1, 3), st.integers(0, bench.now), st.just(len(bench.history))))
    happening = meant(bench, words, asked)
    if isinstance(happening, h.Void):
        assert name == "yes"
        assert asked is not None
        assert asked.copy == happening.copy
    else:
        assert isinstance(happening, (*BY_KEYS, Question, TakeDown, Tell, Listen, Refused))
    if isinstance(happening, (*BY_KEYS, h.Void)):
        outcome = advance(bench, happening, bench.now)
        lit = [c.place.since for c in outcome.bench.copies if isinstance(c.place, InLight) and c not in bench.copies]
        assert all(since == bench.now for since in lit), "no light begins in the past"


@settings(max_examples=120, deadline=None)
@given(bench=benches(), ago=st.integers(0, 3_000))
def test_said_late_is_as_tapped_at_once(bench, ago):
    """A tap that was meant `ago` ms ago leaves every bath as a tap at that moment would have left it; or is refused."""
    then, at = bench.now, bench.now + ago
    at_once, late = advance(bench, h.Tap(), then), advance(beat(bench, at), h.Tap(ago), at)
    if late.refused:
        return
    assert not at_once.refused
    if any(isinstance(copy.place, InLight) for copy in at_once.bench.copies):
        return
    if any((ends(at_once.bench, copy) or at + 1) <= at for copy in at_once.bench.living()):
        return  # nobody was called at that end, so a hand has to say that it has moved
    assert baths(beat(at_once.bench, at)) == baths(late.bench)


def test_what_was_said_before_a_window_closed_on_hold_does_not_go_on():
    """It was meant for the pip, and nobody can say of what came after it."""
    bench = advance(told(cards.edition(2), DEVELOPING), h.HoldPlan(), PIP * 1000 - 5_000).bench
    closed = beat(bench, PIP * 1000 + 30_000).copy(1).place.until  # into the fixer
    assert not advance(beat(bench, closed), h.Tap(1_000), closed).refused
    late = advance(beat(bench, closed + 500), h.Tap(1_000), closed + 500)
    assert late.refused
    assert late.bench.held
    assert not advance(beat(bench, closed + 500), h.Tap(400), closed + 500).bench.held


def baths(bench):
    return [(c.number, c.bath.step, c.bath.since, c.stays) for c in bench.copies if c.bath is not None]


def test_said_late_is_not_always_refused():
    """The property above is about something: words half a second late are taken at every kind of tap but a light's."""
    bench = told(cards.edition(2), DEVELOPING)
    for at in (PIP * 1000 - 100, PIP * 1000, PIP * 1000 + 14_000):
        assert not advance(beat(bench, at + 500), h.Tap(500), at + 500).refused
