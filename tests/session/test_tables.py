"""A line for every row of the session's tables: every tap, every happening, every way from place to place."""

from itertools import product

import pytest

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.score import words
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from assistant.session.bench import ends
from assistant.session.changes import CHANGES
from assistant.session.hands import meant
from assistant.session.passing import beat
from assistant.session.place import AskedFor
from assistant.session.rules import HAPPENINGS
from assistant.session.taps import TAPS
from assistant.session.view import light, tap_words
from tests.session import cards

BEGIN, IN = 10, 35
"""Seconds: the first question is spoken, and a hand takes the sheet to the developer."""
EDITION = (cards.edition, [(BEGIN, h.Tap()), (IN, h.Tap())])

TAPPED = {
    "begin": (cards.proof, [], 12, "light"),
    "set right": (*EDITION, IN + 123, "stop, late by three seconds"),
    "moved on": (*EDITION, IN + 117, "stop, early by three seconds"),
    "first tone": (cards.by_hand, [(BEGIN, h.Tap()), (IN, h.Tap())], IN + 20, "first tone. in all one minute forty"),
    "pull": (cards.edition, None, 52, "took fifty two seconds. into the toned prints' water"),
    "alone": (
        lambda copies: cards.overlapped(3),
        [(BEGIN, h.Tap()), (IN, h.Tap()), (40, h.Planned(offer=60_000))],
        62,
        "one at a time from the next sheet on",
    ),
    "void": (
        cards.proof,
        [(BEGIN, h.Tap()), (11, h.HoldPlan()), (15, h.HoldPlan())],
        17,
        "copy one is void. copy two replaces it",
    ),
}
"""Row -> a card, what was told at which seconds (None: all up to the first toner), when a tap comes, and its answer."""


def told(score, hands):
    bench = open_bench(score)
    for seconds, happening in hands:
        bench = advance(bench, happening, seconds * 1000).bench
    return bench


def in_the_toner():
    score = cards.edition(2, 0)
    played = rehearse(score, Punctual())
    toning = next(stay for stay in played.stays if stay.kind == "tone")
    bench = open_bench(score)
    for at, happening in played.hands:
        if at <= toning.from_ms:
            bench = advance(bench, happening, at).bench
    return bench


def test_every_tap_has_its_line_here():
    assert set(TAPPED) == set(TAPS)


@pytest.mark.parametrize("row", TAPPED)
def test_a_tap_does_what_it_means_and_says_so(row):
    card, hands, seconds, said = TAPPED[row]
    bench = in_the_toner() if hands is None else told(card(1), hands)
    at = bench.now + seconds * 1000 if hands is None else seconds * 1000
    hand = meant(beat(bench, at), at)
    assert hand is not None
    assert hand.what == row
    outcome = advance(bench, h.Tap(), at)
    assert outcome.answer is not None
    assert outcome.answer.words == said
    assert outcome.bench.copies != beat(bench, at).copies or outcome.bench.one_by_one


HAPPENED = {
    h.Tap: ([(BEGIN, h.Tap())], lambda b: b.copy(1).since == 10_000),
    h.Void: ([(BEGIN, h.Tap()), (12, h.Void(1))], lambda b: b.copy(1).void),
    h.Moved: ([(BEGIN, h.Tap()), (IN, h.Tap()), (IN + 5, h.Moved(1, 3_000))], lambda b: b.copy(1).since == (IN + 2) * 1000),
    h.Woke: ([(BEGIN, h.Tap()), (40, h.Woke(11_000))], lambda b: b.copy(1).void),
    h.HoldPlan: ([(1, h.HoldPlan())], lambda b: b.held),
    h.Go: ([(1, h.HoldPlan()), (2, h.Go())], lambda b: not b.held and len(b.history) == 2),
    h.Note: ([(1, h.Note("thin"))], lambda b: b.notes == ((1_000, "thin"),)),
    h.End: ([(1, h.End()), (3, h.End())], lambda b: b.ended),
    h.Reading: ([(1, h.Reading("developer", 19.0))], lambda b: b.readings[0].celsius == 19.0),
    h.Fresh: ([(1, h.Fresh("Developer"))], lambda b: (b.fresh, b.mixed("fixer")) == (((1_000, "developer"),), 0)),
    h.NewTime: ([(1, h.NewTime(2, 2, 7_000))], lambda b: (b.copies[0].base, b.copies[1].base) == (None, 7_000)),
    h.Another: ([(1, h.Another("", 7_000))], lambda b: (b.copy(3).base, b.copy(3).boxed) == (7_000, True)),
    h.Planned: ([(1, h.Planned())], lambda b: b.planned == h.Planned() and b.promised != ()),
    h.Undone: ([(1, h.Undone(((1, 500),)))], lambda b: b.copy(1).place == AskedFor(500)),
    h.Pick: ([(1, h.Pick(2))], lambda b: b.picked is None),  # no strip is made here: refused
}


def test_every_happening_has_its_line_here():
    assert set(HAPPENED) == set(HAPPENINGS)


@pytest.mark.parametrize("kind", HAPPENED, ids=lambda kind: kind.__name__)
def test_a_happening_does_what_it_says(kind):
    hands, holds = HAPPENED[kind]
    assert holds(told(cards.proof(2), hands))


def test_every_way_from_place_to_place_is_gone_somewhere(monkeypatch):
    """No line of the table is dead: sessions of all cards, with late hands, naps and spoiled sheets, use each of them."""
    used = set()

    def watched(key, change):
        return lambda *given: used.add(key) or change(*given)

    for key, change in list(CHANGES.items()):
        monkeypatch.setitem(CHANGES, key, watched(key, change))
    punctual = [(BEGIN, h.Tap()), (IN, h.Tap())]
    scores = (*(card(1) for card in cards.ALL), cards.proof(2))
    for score, seconds in product(scores, (5, 10, 11, 12, 20, 30, 34, 60, IN + 121, IN + 153, IN + 190, 400, 3_000)):
        naps = [h.Woke(1_000 * max(0, seconds - asleep)) for asleep in (4, 10, 60)]
        told_what = (*naps, h.Void(1), h.Moved(1, 2_000), h.HoldPlan())
        for what, hands in product(told_what, (punctual, [*punctual, (IN + 122, h.Tap())])):
            bench = told(score, [*(hand for hand in hands if hand[0] < seconds), (seconds, what)])
            for later in (3, 20, 40, 300):
                bench = advance(bench, h.Tap(), bench.now + later * 1000).bench
    asked = h.Planned(ask=h.NextAsk(2, 0, 0, (IN + 95) * 1000))  # its light would meet the lift of copy one
    company = cards.overlapped(2, first="in company")
    told(company, [*punctual, (IN + 1, asked), (IN + 100, h.Tap())])
    told(company, [*punctual, (IN + 1, h.Planned()), (IN + 125, h.HoldPlan()), (IN + 147, h.Tap())])  # its stop is half a minute
    assert set(CHANGES) - used == set()


def test_a_sheet_that_is_over_before_the_question_is_answered_is_not_void():
    """Asked a millisecond before the end of the wash, its last bath."""
    bench = told(cards.proof(1), [(BEGIN, h.Tap()), (IN, h.Tap())])
    bench = beat(bench, bench.now + 600_000)
    over = ends(bench, bench.copy(1))
    bench = advance(advance(bench, h.HoldPlan(), over - 2).bench, h.HoldPlan(), over - 1).bench
    assert bench.void_asked == (1, over - 1)
    assert meant(beat(bench, over + 1_000), over + 1_000) is None
    assert advance(bench, h.Tap(), over + 1_000).bench.copy(1).done


# --- a light that is stopped -----------------------------------------------------------------------------------------------


def test_hold_in_the_count_in_stops_the_light_and_nothing_is_lost():
    bench = told(cards.proof(2), [(BEGIN, h.Tap()), (12, h.HoldPlan())])
    heard = [cue.kind for passage in bench.promised for cue in passage.cues]
    assert "start" not in heard
    assert bench.copy(1).boxed
    going = advance(bench, h.Tap(), 20_000).bench
    again = beat(going, 22_000)
    assert meant(again, 22_000).what == "begin"


def test_hold_in_the_light_ends_it_and_the_sheet_is_void():
    bench = told(cards.proof(2), [(BEGIN, h.Tap())])
    outcome = advance(bench, h.HoldPlan(), 16_000)
    assert outcome.bench.copy(1).void
    assert outcome.bench.held
    assert outcome.answer.words.startswith(f"{words.LIGHT_OFF}. copy one is void")
    assert not any(cue.kind in ("end", "tick") for passage in outcome.bench.promised for cue in passage.cues)


def test_no_answer_to_whether_a_sheet_is_void_means_no():
    bench = told(cards.proof(2), [(BEGIN, h.Tap()), (11, h.HoldPlan()), (15, h.HoldPlan())])
    later = advance(bench, h.Tap(), 24_000).bench
    assert not any(copy.void for copy in later.copies)
    assert not later.held


@pytest.mark.parametrize("score", [cards.edition(2, 0), cards.overlapped(2)])
def test_on_hold_a_tap_answers_what_was_said_last(score):
    """One went into the stop on its pip, and the plan is held ten seconds later: the question, the hold, or a pip since."""
    pip = IN + 120
    held = told(score, [(BEGIN, h.Tap()), (IN, h.Tap()), (pip + 10, h.HoldPlan())])
    assert tap_words(held) == "resume the plan"
    assert not advance(held, h.Tap(), (pip + 11) * 1000).bench.held
    asked = advance(held, h.HoldPlan(), (pip + 13) * 1000).bench
    assert tap_words(asked) == "copy one: it is void"
    assert advance(asked, h.Tap(), (pip + 15) * 1000).bench.copy(1).void
    since = beat(asked, (pip + 33) * 1000)  # called into the fixer after 30 s in the stop
    assert tap_words(since) == "copy one: it went into the fixer now"
    assert advance(since, h.Tap(), since.now).answer.words == "fixer, late by three seconds"


# --- questions ------------------------------------------------------------------------------------------------------------


def test_a_tap_before_the_question_begins_nothing_and_says_what_comes():
    outcome = advance(open_bench(cards.proof(2)), h.Tap(), 9_999)
    assert outcome.refused
    assert outcome.answer.words == "not yet. copy one, exposure, comes next"
    assert outcome.bench.copy(1).boxed


@pytest.mark.parametrize("asleep", [12, 16, 20, 300])
def test_a_question_that_fell_into_a_sleep_is_asked_now(asleep):
    """The last pip has sounded and its window is open when the computer falls asleep; the next sheet is wanted meanwhile."""
    since = IN + 120 + 30 + 120 + 2
    bench = told(cards.edition(2, 0), [(BEGIN, h.Tap()), (IN, h.Tap()), (since + asleep, h.Woke(since * 1000))])
    waking = (since + asleep) * 1000
    asks = [cue.at for passage in bench.promised for cue in passage.cues if cue.kind == "ask"]
    assert min(asks) >= waking + 2_000
    assert advance(bench, h.Tap(), waking + 1_000).bench.copy(2).boxed


def test_a_sheet_that_was_asked_for_is_out_whatever_is_done_then():
    """White light would spoil the paper that lies on the easel, on hold too."""
    bench = told(cards.proof(2), [(12, h.HoldPlan())])
    assert light(bench) == "safelight"
    assert light(beat(bench, 3_600_000)) == "safelight"


@pytest.mark.parametrize("hands", [[(BEGIN, h.Tap()), (12, h.Undo())], [(BEGIN, h.Tap()), (15, h.HoldPlan())]])
def test_after_an_undo_and_after_a_spoiled_sheet_it_stays_dark(hands):
    bench = told(cards.proof(2), [*hands, (19, h.HoldPlan())])
    assert light(bench) == "safelight" if not bench.copy(1).void else light(bench) in ("white", "safelight")
    assert bench.white_since is None


def test_a_sheet_that_an_undo_left_lying_open_is_out_after_a_silence_learnt_of_later_too():
    """Copy two was asked for because copy one was void; that is taken back, and nobody was called from 50 s on."""
    bench = beat(told(cards.proof(2), [(BEGIN, h.Tap()), (30, h.Void(1)), (33, h.Undo())]), 60_000)
    asked = bench.copy(2).place
    assert (bench.copy(1).void, bench.copy(2).boxed, asked.since) == (False, True, 32_000)
    after = advance(bench, h.Woke(50_000), 60_000).bench
    assert after.copy(2).place == asked


@pytest.mark.parametrize(
    ("before", "at", "hand", "said"),
    [
        ([], BEGIN, h.Tap(), "no light for copy one"),
        ([(BEGIN, h.Tap())], 40, h.Void(1), "copy one counts again. copy two is not needed"),
        ([(BEGIN, h.Tap()), (IN, h.Tap())], IN + 117, h.Tap(), "copy one is still in the developer"),
        ([(BEGIN, h.Tap()), (IN, h.Tap())], IN + 127, h.Tap(), "copy one, stop, on the pip"),
        ([(BEGIN, h.Tap()), (IN, h.Tap())], IN + 3, h.Moved(None, 2_000), "it went in as before"),
        ([(BEGIN, h.Tap()), (IN, h.Tap()), (40, h.HoldPlan())], 60, h.Tap(), "on hold again"),
        ([], BEGIN, h.NewTime(1, 1, 12_000), "copy one as before"),
        ([], BEGIN, h.Another(), "copy two is not needed"),
        ([], BEGIN, h.Reading("developer", 19.0), "the temperature is as before"),
    ],
)
def test_what_an_undo_says_is_true_without_its_first_word(before, at, hand, said):
    bench = told(cards.edition(1, 0), [*before, (at, hand)])
    assert advance(bench, h.Undo(), at * 1000 + 500).answer.words == f"undone: {said}"


def test_undo_names_what_it_took_back_and_goes_no_further_than_a_pip():
    bench = told(*EDITION_OF_ONE)
    taken = advance(bench, h.Undo(), (IN + 50) * 1000)
    assert taken.answer.words == "undone: copy one is not in the developer"
    asks = [cue.at for passage in taken.bench.promised for cue in passage.cues if cue.kind == "ask"]
    assert min(asks) == (IN + 52) * 1000
    late = advance(bench, h.Undo(), (IN + 170) * 1000)
    assert late.refused
    assert late.answer.words == "too late to undo copy one, developer"


def test_undoing_a_tap_that_resumed_the_plan_says_that_it_is_on_hold_again():
    bench = told(cards.proof(2), [(1, h.HoldPlan()), (3, h.Tap())])
    outcome = advance(bench, h.Undo(), 5_000)
    assert outcome.bench.held
    assert outcome.answer.words.endswith("on hold again")


EDITION_OF_ONE = (cards.edition(1, 0), EDITION[1])


# --- readings and drift ----------------------------------------------------------------------------------------------------


def test_the_last_reading_of_the_thermometer_counts():
    score = cards.with_a_law(2)
    bench = told(score, [(1, h.Reading("developer", 18.0)), (2, h.Reading("developer", 21.0)), (BEGIN, h.Tap()), (IN, h.Tap())])
    once = told(score, [(2, h.Reading("developer", 21.0)), (BEGIN, h.Tap()), (IN, h.Tap())])
    assert bench.copy(1).target == once.copy(1).target != 120_000


def test_a_reading_for_a_tray_that_is_not_there_is_refused():
    outcome = advance(open_bench(cards.proof()), h.Reading("nowhere", 20.0), 1_000)
    assert outcome.refused
    assert outcome.answer.words == words.NO_SUCH_TRAY


def test_the_most_of_a_bath_sets_its_alarm():
    """The fixer is begun by a hand; the stop before it allows ninety seconds, so that is when the alarm begins."""
    bench = told(cards.by_hand(1), [(BEGIN, h.Tap()), (IN, h.Tap()), (IN + 20, h.Tap())])
    stop = next(s for s in beat(bench, (IN + 100 + 1) * 1000).copies if s.bath is not None)
    alarms = [cue.at for passage in bench.promised for cue in passage.cues if cue.kind == "over"]
    assert min(alarms) == stop.since + 90_000


def test_until_the_alarm_the_voice_says_again_where_to():
    bench = told(cards.by_hand(1), [(BEGIN, h.Tap()), (IN, h.Tap()), (IN + 20, h.Tap())])
    called = [cue.words for passage in bench.promised for cue in passage.cues if cue.kind == "tell" and "fixer" in cue.words]
    assert called == ["copy one into the fixer"] * 3


def test_water_is_not_changed_in_the_last_minute():
    played = rehearse(cards.proof(1), Punctual())
    over = next(stay.to_ms for stay in played.stays if stay.kind == "wash")
    assert not [cue for cue in played.heard if cue.kind == "water" and cue.at > over - 60_000]


class Tiring(Punctual):
    """First tones come 6 % of the first one later from print to print."""

    def _comes(self, bench, hand):
        later = 1 + 0.06 * (hand.copies[0] - 1)
        return hand.due + round(20_000 * later) if hand.what == "first tone" else super()._comes(bench, hand)


def test_the_drift_of_the_first_tone_is_told_from_the_first_print():
    """6 % a print is no news from one to the next; from the first it is over 25 % with the sixth: common practice, no source."""
    heard = [cue.words for cue in rehearse(cards.by_hand(6), Tiring()).heard if cue.words.startswith("first tone")]
    assert ["tiring" in words for words in heard] == [False] * 5 + [True]
