"""A limit that is about to break is told before it does, and shown; what is in hand otherwise is not."""

from assistant.planning.plan import make_plan
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from assistant.session.passing import beat
from assistant.session.view import face
from tests.session import cards


def calls(bench):
    return [(cue.at, cue.words) for passage in bench.promised for cue in passage.cues if cue.kind in ("call", "lift", "over")]


def in_the_stop(score, *more):
    """Copy one in its stop, with what was told after its development began; when it came there (ms)."""
    bench = open_bench(score)
    for happening, at in ((h.Tap(), 10_000), (h.Tap(), 40_000), *more):
        bench = advance(bench, happening, at).bench
    since = 40_000 + bench.copy(1).target
    return beat(bench, since + 1), since


def test_a_planned_end_close_to_the_most_is_told_ten_seconds_before_its_lift():
    bench, since = in_the_stop(cards.overlapped(2), (h.Planned(stays=((1, 2, 57_000),)), 41_000))
    told = since + 57_000 - 10_000 - 10_000
    near = [said for said in calls(bench) if since < said[0] < since + 60_000]
    assert near == [(told, "stop. only twenty three seconds left"), (told + 10_000, "lift")]
    assert face(beat(bench, told - 1)).urgent.near is None
    shown = face(beat(bench, told + 3_000)).urgent
    assert (shown.near, shown.then) == (20_000, "lift")


def test_an_end_with_something_in_hand_is_told_as_always():
    bench, since = in_the_stop(cards.overlapped(2), (h.Planned(stays=((1, 2, 55_000),)), 41_000))
    assert (since + 35_000, "ten to lift") in calls(bench)
    assert not any("left" in words for _, words in calls(bench))


def test_a_sheet_that_waits_for_a_hand_is_told_of_twenty_seconds_before_its_most():
    steps = (cards.EXPOSE, cards.DEVELOP, cards.STOP, {**cards.FIX, "begin": "by hand"}, cards.WASH)
    bench, since = in_the_stop(Score(make_plan(cards.recipe(*steps, copies=1))))
    over = since + 90_000
    assert (over - 20_000, "stop. only twenty seconds left") in calls(bench)
    shown = face(beat(bench, over - 15_000)).urgent
    assert shown.near == 15_000
    assert face(beat(bench, over)).urgent.near is None
    moved = advance(bench, h.Tap(), over - 30_000).bench
    assert not any("left" in words for _, words in calls(moved))
