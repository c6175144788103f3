"""What gives way when cues meet, over random sessions of overlapping copies and in the cases that a printer knows."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from assistant.score.arrange import (
    AFTER_THE_TONE,
    BREATH,
    EARLIEST,
    NEVER_EARLY,
    STALE,
    Lengths,
    Placed,
    arrange,
)
from assistant.score.cues import KINDS, Cue, Rank

SOONEST_WRONG = {"look": 3_000, "agitate": 8_000}
"""A look said twelve seconds late would have a print judged by what it is no more (ms)."""
TONES = {kind: 0 if sound.tone is None else 35 if sound.rank is Rank.TICK else 350 for kind, sound in KINDS.items()}


@st.composite
def cues(draw):
    kind = draw(st.sampled_from(sorted(KINDS)))
    at = draw(st.integers(0, 60_000))
    talks = KINDS[kind].rank is not Rank.TICK and (TONES[kind] == 0 or draw(st.booleans()))
    words = draw(st.integers(200, 4_000)) if talks else 0
    return Cue(at, kind, "words" * bool(words), draw(st.integers(1, 6))), Lengths(TONES[kind], words)


@st.composite
def spans(draw):
    begin = draw(st.integers(0, 50_000))
    return begin, begin + draw(st.integers(100, 3_000))


sessions = st.lists(cues(), max_size=40)


def lengths_of(listed):
    return {id(cue): lengths for cue, lengths in listed}


def blocks(listed, placed):
    """Every sentence as it is heard: a span of words, with the tone of talk that leads into it."""
    lengths = lengths_of(listed)
    for one in placed:
        long = lengths[id(one.cue)]
        if one.words is not None:
            yield one, one.words, one.words + long.words


@given(sessions, st.integers(0, 30_000))
def test_no_two_sentences_overlap(listed, now):
    heard = sorted((begin, end) for _, begin, end in blocks(listed, arrange(listed, now)))
    for (_, end), (begin, _) in pairwise(heard):
        assert begin >= end + BREATH


@given(sessions, st.integers(0, 30_000), st.lists(spans(), max_size=3))
def test_nothing_is_said_into_what_is_already_on_its_way(listed, now, spoken):
    for _, begin, end in blocks(listed, arrange(listed, now, spoken)):
        assert all(end + BREATH <= a or b + BREATH <= begin for a, b in spoken)


@given(sessions, st.integers(0, 30_000), st.lists(spans(), max_size=3))
def test_an_act_now_tone_never_moves_and_no_sentence_runs_into_one(listed, now, sounding):
    placed = arrange(listed, now, (), sounding)
    acts = [one for one in placed if one.cue.sound.rank is Rank.ACT]
    assert all(one.tone == one.cue.at for one in acts)
    tones = [(one.cue.at, one.cue.at + TONES[one.cue.kind]) for one in acts] + list(sounding)
    for _, begin, end in blocks(listed, placed):
        assert all(end + BREATH <= a or b + BREATH <= begin for a, b in tones)


@given(sessions, st.integers(0, 30_000))
def test_a_warning_is_begun_by_its_moment_and_not_too_early(listed, now):
    for one, begin, end in blocks(listed, arrange(listed, now)):
        if one.cue.kind == "call":
            assert begin <= one.cue.at
            assert end >= one.cue.at - EARLIEST


@given(sessions, st.integers(0, 30_000))
def test_white_light_is_never_called_safe_early_nor_long_after(listed, now):
    for one, begin, _ in blocks(listed, arrange(listed, now)):
        if one.cue.kind in NEVER_EARLY:
            assert one.cue.at <= begin <= one.cue.at + STALE


@given(sessions, st.integers(0, 30_000))
def test_talk_is_never_early_and_stale_talk_is_left_out(listed, now):
    for one, begin, _ in blocks(listed, arrange(listed, now)):
        if one.cue.sound.rank is Rank.CHATTER or one.cue.kind in AFTER_THE_TONE:
            late = SOONEST_WRONG.get(one.cue.kind, STALE)
            assert one.cue.at <= begin <= one.cue.at + late + TONES[one.cue.kind] + BREATH


@given(sessions, st.integers(0, 30_000))
def test_nothing_spoken_begins_in_the_past(listed, now):
    assert all(begin >= now for _, begin, _ in blocks(listed, arrange(listed, now)))


@given(sessions, st.integers(0, 30_000))
def test_ticks_stay_where_they_are_and_duck_under_words(listed, now):
    placed = arrange(listed, now)
    words = [(begin, end) for _, begin, end in blocks(listed, placed)]
    for one in placed:
        if one.cue.sound.rank is Rank.TICK:
            assert one.tone in (one.cue.at, None)
            under = any(a < one.cue.at + TONES[one.cue.kind] and one.cue.at < b for a, b in words)
            assert one.ducked == under


@given(sessions, st.integers(0, 30_000))
def test_talk_never_costs_an_act_now_cue_or_a_warning_its_words(listed, now):
    alone = [pair for pair in listed if pair[0].sound.rank in (Rank.ACT, Rank.WARNING)]
    loud = {id(p.cue): p for p in arrange(listed, now) if p.cue.kind not in AFTER_THE_TONE | NEVER_EARLY}
    for one in arrange(alone, now):
        if id(one.cue) in loud and one.words is not None and one.words <= one.cue.at:
            assert loud[id(one.cue)] == one


@given(sessions, st.integers(0, 30_000))
def test_every_cue_is_answered_for_once(listed, now):
    assert sorted(id(one.cue) for one in arrange(listed, now)) == sorted(id(cue) for cue, _ in listed)


def heard(*listed, now=0):
    return arrange(list(listed), now)


def test_words_end_a_breath_before_their_pip():
    pip = Cue(10_000, "pip", "into the stop")
    assert heard((pip, Lengths(350, 900))) == [Placed(pip, 10_000, 10_000 - BREATH - 900)]


def test_two_pips_close_together_are_both_announced_before_the_first_in_their_order():
    first, second = Cue(10_000, "lift", "copy one. lift", 1), Cue(10_400, "pip", "copy two into the stop", 2)
    a, b = heard((first, Lengths(300, 1_000)), (second, Lengths(350, 1_200)))
    assert (a.tone, b.tone) == (10_000, 10_400)
    assert b.words == 10_000 - BREATH - 1_200
    assert a.words == b.words - BREATH - 1_000


def test_ten_seconds_is_said_earlier_when_another_copy_is_told_to_lift_at_that_moment():
    call, lift = Cue(10_000, "call", "ten seconds", 1), Cue(10_000, "lift", "copy two. lift", 2)
    a, b = heard((call, Lengths(0, 800)), (lift, Lengths(300, 1_000)))
    assert b.words == 10_000 - BREATH - 1_000
    assert a.words == b.words - BREATH - 800


def test_words_that_found_no_room_before_their_pip_follow_it():
    pip = Cue(500, "pip", "into the fixer")
    assert heard((pip, Lengths(350, 900)), now=400) == [Placed(pip, 500, 500 + 350 + BREATH)]


def test_a_count_that_came_too_late_to_be_spoken_is_not_spoken_after_its_tone():
    count = Cue(200, "count", "two")
    assert heard((count, Lengths(90, 400)), now=0) == [Placed(count, 200, None)]


def test_numbers_of_a_count_fit_between_its_tones():
    two, one, start = Cue(1_000, "count", "two"), Cue(2_000, "count", "one"), Cue(3_000, "start")
    placed = heard((two, Lengths(90, 380)), (one, Lengths(90, 380)), (start, Lengths(300, 0)))
    assert [p.words for p in placed] == [1_000 - BREATH - 380, 2_000 - BREATH - 380, None]


def test_a_tick_under_an_act_now_tone_is_left_out():
    end, tick = Cue(9_000, "end"), Cue(9_000, "tick")
    assert [p.tone for p in heard((end, Lengths(300, 0)), (tick, Lengths(35, 0)))] == [9_000, None]


def test_an_agitation_waits_for_a_sentence_with_its_tone():
    call, turn = Cue(30_000, "call", "half way"), Cue(29_500, "agitate", "turn")
    a, b = heard((turn, Lengths(300, 400)), (call, Lengths(0, 700)))
    assert b.words == 29_300
    assert a.tone == 30_000 + BREATH
    assert a.words == a.tone + 300 + BREATH
