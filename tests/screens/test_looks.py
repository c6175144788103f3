"""What the wet side looks like at chosen moments, kept as text; write them anew with LOOKS=write."""

import os
from functools import cache
from pathlib import Path

import pytest

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.history.summary import summary
from assistant.screens.drawing import minutes, packed, wrapped
from assistant.screens.keys import helped
from assistant.screens.large import figure
from assistant.screens.wet_side import Shown, draw
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from assistant.session.passing import beat
from assistant.session.view import face
from tests.session import cards

LOOKS = Path(__file__).parents[1] / "looks"
SIZES = ((40, 20), (60, 20), (80, 24), (100, 30), (160, 50))
NAMES = ("before", "light", "developer", "just-moved", "late", "toning", "done", "several", "limit-near", "asked", "lifted")


@cache
def moments():
    """Every moment by its name."""
    return dict(_moments())


def _moments():
    score = cards.edition(3, 1)
    bench = open_bench(score)
    yield "before", beat(bench, score.opening_lasts)
    bench = advance(bench, h.Tap(), 30_000).bench
    yield "light", beat(bench, 36_500)
    bench = advance(bench, h.Tap(), 50_000).bench
    yield "developer", beat(bench, 101_000)
    yield "lifted", beat(bench, 159_000)
    yield "just-moved", beat(bench, 174_000)
    yield "late", advance(bench, h.Woke(150_000), 210_000).bench
    whole = rehearse(score, Punctual())
    toning = next(stay for stay in whole.stays if stay.kind == "tone")
    again = open_bench(score)
    for at, happening in whole.hands:
        if at > toning.from_ms:
            break
        again = advance(again, happening, at).bench
    yield "toning", beat(again, toning.from_ms + 33_000)
    yield "done", whole.bench
    yield "several", among_five(701_200)
    yield "asked", among_five(304_000)
    near = open_bench(cards.overlapped(2))
    for happening, at in ((h.Tap(), 10_000), (h.Tap(), 40_000), (h.Planned(stays=((1, 2, 58_000),)), 41_000)):
        near = advance(near, happening, at).bench
    yield "limit-near", beat(near, 40_000 + 120_000 + 44_000)


@cache
def five():
    """Five copies in flight, by punctual hands."""
    return rehearse(cards.overlapped(5), Punctual()).bench


def among_five(at):
    """At 11:41 four drains in seven seconds, three a minute later, two has just gone into the water; at 5:04 two is asked for."""
    bench = open_bench(five().score)
    for told in (told for told in five().history if told.at <= at):
        bench = advance(bench, told.happening, told.at).bench
    return beat(bench, at)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", NAMES)
def test_look(name, size):
    width, height = size
    bench = moments()[name]
    times = tuple(summary(bench)) if bench.finished else ()
    rows = draw(face(bench, "half way"), width, height, Shown(summary=times))
    assert len(rows) == height
    assert max(len(row.text) for row in rows) <= width
    text = "\n".join(row.text.rstrip() for row in rows) + "\n"
    file = LOOKS / f"{name}-{width}x{height}.txt"
    if os.environ.get("LOOKS") == "write":
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


def test_a_question_is_large_until_a_call_to_act_is_ten_seconds_away():
    """The lift of copy one is at 5:31.6."""
    for at, large in ((304_000, True), (321_500, True), (321_700, False)):
        seen = face(among_five(at))
        assert (seen.wanted.copy, seen.urgent.copy) == (2, 1)
        rows = [row.text for row in draw(seen, 80, 24)]
        assert any(row.startswith("tap = ") for row in rows) == large


def test_every_moment_has_its_look():
    assert set(moments()) == set(NAMES)


@pytest.mark.parametrize("size", SIZES)
def test_the_urgent_time_and_the_next_hand_are_always_seen(size):
    for name, bench in moments().items():
        rows = [row.text for row in draw(face(bench), *size)]
        urgent = face(bench).urgent
        if urgent is not None and name != "asked":
            assert any("█" in row or "▀" in row for row in rows)
            led = [row for row in rows if row == "then" or row.startswith("then ")]
            assert len(led) == (name not in ("lifted", "late")), "a move that is still to come is led by a then"
        assert any(row.startswith("tap:") for row in rows[-2:])
        assert "…" not in "".join(rows[-2:])


def test_of_a_late_sheet_it_is_shown_how_long_it_is_over_and_what_has_gone_by_is_not_rounded_up():
    """By clock, by eye (two minutes at most), and in a water that only a hand ends (an hour at most)."""
    toning = moments()["toning"]
    begun = toning.now - 33_000
    for after, shown in ((33_900, "0:33"), (120_000, "2:00"), (132_900, "+0:12")):
        assert figure(face(beat(toning, begun + after)).urgent) == shown
    rows = [row.text for row in draw(face(beat(toning, begun + 132_900)), 80, 24)]
    assert rows[0].startswith("1 of 3  toner  LATE")
    assert any(row.split() == ["toner", "1", "+0:12", "LATE"] for row in rows)
    rested = beat(toning, min(toning.copy(number).since for number in (2, 3)) + 3_600_000 + 70_900)
    assert any(row.split() == ["water", "2-3", "+1:10", "LATE"] for row in (row.text for row in draw(face(rested), 80, 24)))
    assert figure(face(moments()["late"]).urgent) == "+0:40"


def test_where_all_is_begins_with_what_is_due_first_and_takes_the_rows_that_are_free():
    """At 11:41 four is lifted first, then three; what there is no room for is seen to be missing."""
    bench = moments()["several"]
    said = advance(bench, h.HowLong(), bench.now).answer.words
    assert [part.split(" ")[1] for part in said.split(". ") if part.startswith("copy ")] == ["four", "three"]
    for size, whole in (((80, 24), False), ((160, 50), True)):
        rows = [row.text.strip() for row in draw(face(bench, said), *size)]
        shown = " ".join(rows).partition("said  ")[2]
        assert (said in shown) == whole
        assert whole or any(row.startswith("said  ") and row.endswith(" …") for row in rows)


@pytest.mark.parametrize("size", SIZES)
def test_the_help_is_whole_and_the_footer_names_it(size):
    width, height = size
    bench = moments()["before"]
    assert draw(face(bench), width, height)[-1].text.endswith("? keys")
    troubled = face(bench, trouble="No sound: the output does not answer.")
    rows = [row.text for row in draw(troubled, width, height, Shown(asked=True))]
    assert "place paper" in rows[0]
    assert rows[1].startswith("!! No sound")
    assert all(any(phrase in row for row in rows) for phrase in helped())
    assert not any("…" in row for row in rows)
    running = face(moments()["developer"])
    assert f"  {minutes(running.urgent.ms)}  developer" in draw(running, width, height, Shown(asked=True))[0].text


def test_the_end_of_a_long_line_stays_in_sight():
    bench = moments()["before"]
    row = draw(face(bench), 60, 20, Shown("note " + "x" * 90 + "end"))[-2].text
    assert row.endswith("end_")
    assert len(row) == 60


def test_nothing_is_lost_by_packing():
    for width in range(12, 90):
        assert "   ".join(packed(("a word", "b", "third one"), width)) == "a word   b   third one"


def test_a_call_to_be_copied_is_broken_only_where_it_fits_no_line_of_its_own():
    call = "`traycall records show 1`"
    for width in range(20, 60):
        rows = wrapped([f"Session 1 is recorded: see {call}. Then wash the trays."], width)
        assert " ".join(" ".join(rows).split()) == f"Session 1 is recorded: see {call}. Then wash the trays."
        assert max(map(len, rows)) <= width
        assert any(call in row for row in rows) == (len(f"  {call}.") <= width)


def test_times_that_do_not_fit_are_said_to_be_written_later():
    bench = moments()["done"]
    many = tuple(f"copy {number}: developer 2:00.0" for number in range(1, 31))
    rows = [row.text for row in draw(face(bench), 60, 20, Shown(summary=many))]
    assert rows[-2] == "the rest is written when you leave"
    assert rows[-1].startswith("tap: leave")
