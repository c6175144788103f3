"""Test strips: the published ones, and that a card moved as the plan says gives every strip its total."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.trade import strips
from assistant.trade.limits import Impossible


def seconds(times) -> list[float]:
    return [time / 1000 for time in times]


@pytest.mark.parametrize(
    ("plan", "totals", "increments"),
    [
        # U.S. Navy *Photography (Basic)*, NAVEDTRA 14209 [pub]
        (strips.plan(2_000, 4, add=2_000, way="uncover"), [2, 4, 6, 8], [2, 2, 2, 2]),
        # U.S. Army SS0509 *Laboratory Procedures* [pub]
        (strips.plan(2_000, 5, add=2_000), [2, 4, 6, 8, 10], [2, 2, 2, 2, 2]),
        # practice: common practice, no source
        (strips.plan(5_000, 3, add=5_000), [5, 10, 15], [5, 5, 5]),
        # [math]
        (strips.plan(8_000, 5, stops=1 / 3), [8, 10.079, 12.699, 16, 20.159], [8, 2.079, 2.620, 3.301, 4.159]),
        # [math]
        (
            strips.plan(5_000, 6, stops=1 / 2),
            [5, 7.071, 10, 14.142, 20, 28.284],
            [5, 2.071, 2.929, 4.142, 5.858, 8.284],
        ),
    ],
    ids=["navy", "army", "three", "thirds", "halves"],
)
def test_worked_strips(plan, totals, increments):
    assert seconds(plan.totals) == totals
    assert seconds(plan.increments) == pytest.approx(increments, abs=1e-9)


def test_with_cover_the_move_times_are_the_totals():
    plan = strips.plan(8_000, 5, stops=1 / 3)
    assert (*plan.moves, plan.total) == plan.totals


def test_increments_too_quick_for_a_hand_are_said():
    assert strips.plan(8_000, 5, stops=1 / 3).warnings == ()
    (words,) = strips.plan(4_000, 3, stops=1 / 4).warnings
    assert "0.757 s, 0.9 s" in words
    assert "dim the lamp" in words
    assert "longer time" in words


def test_exactly_one_and_a_half_seconds_is_not_too_quick():
    assert strips.plan(1_500, 3, add=1_500).warnings == ()
    assert strips.plan(1_499, 3, add=1_500).warnings != ()


def test_a_finer_strip_lies_around_its_middle():
    plan = strips.around(12_000, 5, 1 / 6)
    assert plan.totals[2] == 12_000
    assert plan.totals == (9524, 10691, 12000, 13470, 15119)


def test_a_coarse_clock_says_its_rounding_in_stops():
    plan = strips.plan(8_000, 4, stops=1 / 3, tick=500)
    assert seconds(plan.totals) == [8, 10, 12.5, 16]
    assert plan.off == pytest.approx([0, -0.0113, -0.0228, 0], abs=5e-4)


@pytest.mark.parametrize(
    "wrong",
    [
        {"first": 8_000, "count": 1, "stops": 1 / 3},
        {"first": 8_000, "count": 21, "stops": 1 / 3},
        {"first": 0, "count": 4, "stops": 1 / 3},
        {"first": -5, "count": 4, "add": 2_000},
        {"first": 8_000, "count": 4, "stops": 0},
        {"first": 8_000, "count": 4, "stops": -1},
        {"first": 8_000, "count": 4, "stops": float("nan")},
        {"first": 8_000, "count": 4, "add": 0},
        {"first": 8_000, "count": 4},
        {"first": 8_000, "count": 4, "add": 2_000, "stops": 1 / 3},
        {"first": 8_000, "count": 20, "stops": 2},
        {"first": 8_000, "count": 4, "stops": 1 / 12, "tick": 5_000},
        {"first": 8_000, "count": 4, "stops": 1 / 12, "tick": 0},
    ],
)
def test_what_is_no_strip_is_refused(wrong):
    with pytest.raises(Impossible) as said:
        strips.plan(**wrong)
    assert said.value.fix


firsts, counts, ways = st.integers(1, 600_000), st.integers(strips.LEAST, strips.MOST), st.sampled_from(["cover", "uncover"])
growths = st.one_of(
    st.builds(lambda add: {"add": add}, st.integers(1, 60_000)),
    st.builds(lambda stops: {"stops": stops}, st.floats(0.01, 2)),
)
ticks = st.sampled_from([1, 10, 100, 500])


def made(first, count, growth, way, tick):
    try:
        return strips.plan(first, count, way=way, tick=tick, **growth)
    except Impossible:
        assume(False)


@given(firsts, counts, growths, ways, ticks)
def test_increments_sum_to_the_total(first, count, growth, way, tick):
    plan = made(first, count, growth, way, tick)
    assert sum(plan.increments) == plan.total == plan.totals[-1]
    assert len(plan.totals) == len(plan.increments) == len(plan.moves) + 1 == count
    assert all(time % tick == 0 for time in (*plan.totals, *plan.increments, *plan.moves))


@given(firsts, counts, growths, ticks)
def test_cover_is_uncover_reversed(first, count, growth, tick):
    cover, uncover = made(first, count, growth, "cover", tick), made(first, count, growth, "uncover", tick)
    assert cover.increments == uncover.increments[::-1]
    assert cover.totals == uncover.totals


@given(firsts, counts, growths, ways, ticks)
def test_a_card_moved_as_planned_gives_every_strip_its_total(first, count, growth, way, tick):
    """The strips as they lie under the lamp: between two moves, those that the card leaves bare gather light."""
    plan = made(first, count, growth, way, tick)
    gathered = [0] * count
    edges = (0, *plan.moves, plan.total)
    for moved in range(count):
        bare = range(moved, count) if way == "cover" else range(count - 1 - moved, count)
        for strip in bare:
            gathered[strip] += edges[moved + 1] - edges[moved]
    assert tuple(gathered) == plan.totals


@given(firsts, counts, growths, ways)
def test_each_total_is_the_law_to_half_a_millisecond(first, count, growth, way):
    plan = made(first, count, growth, way, 1)
    for i, total in enumerate(plan.totals):
        exact = first + i * growth["add"] if "add" in growth else first * 2 ** (i * growth["stops"])
        assert abs(total - exact) <= 0.5 + 1e-6


def test_a_finer_strip_lies_between_its_neighbours():
    totals = strips.plan(5_000, 6, stops=1 / 2).totals
    step = strips.finer_step(totals, 3)
    finer = strips.around(totals[2], 5, step).totals
    assert step == pytest.approx(1 / 6, abs=1e-3)
    assert finer[2] == totals[2]
    assert totals[1] < finer[0] < finer[-1] < totals[3]


@pytest.mark.parametrize("strip", range(1, 7))
def test_a_finer_strip_of_equal_seconds(strip):
    totals = strips.plan(2_000, 6, add=2_000).totals
    finer = strips.around(totals[strip - 1], 5, strips.finer_step(totals, strip)).totals
    assert finer[2] == totals[strip - 1]


def test_a_strip_of_hours_is_warned_of():
    assert any("The light is on for" in line for line in strips.plan(1_000, 14, stops=1).warnings)  # 2^13 s
    assert strips.plan(60_000, 4, stops=1).warnings == ()  # a fog test's
