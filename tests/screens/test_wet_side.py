"""The wet side from two metres: how large, how little light, always in the same place; only what changes is painted.

A panel of fourteen inches, sixteen by nine, filled by the window: 310 by 174 mm. Letters should be at least 16 minutes of arc
high and better 20 to 22 (ISO 9241-303, from memory). The light of a panel's red goes with the power 2.2 of its code value, and
full red is 0.2126 of white (IEC 61966-2-1).
"""

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from assistant.screens import glyphs
from assistant.screens.canvas import Canvas
from assistant.screens.drawing import Row
from assistant.screens.large import figure_rows, figure_width
from assistant.screens.pane import SHADES, _changed
from assistant.screens.wet_side import Shown, draw
from assistant.session.passing import beat
from assistant.session.view import Coming, Lane, Occupant, Progress, face
from assistant.terminal.brightness import LEVELS
from tests.screens.test_looks import SIZES, moments

PANEL_WIDE, PANEL_HIGH, AWAY, NEAR = 310.0, 174.0, 2000.0, 1000.0
LEAST, WANTED = 16, 22
HALF, LETTER = 0.5, 0.25
"""Of a cell, what a half block lights, and at most what a letter does: a thin stroke on a large ground (from memory)."""
STROKES = {"█": 1.0, "▀": HALF, "▄": HALF, "─": 0.1, "│": 0.1, "╷": 0.05}
RUNNING = ("light", "developer", "just-moved", "late", "toning")


def arc_minutes(mm, away=AWAY):
    return math.degrees(2 * math.atan(mm / 2 / away)) * 60


def rows_of(bench, size, shown=None):
    return draw(face(bench, "half way"), *size, shown)


def figures(rows):
    """The rows of the large time, and its first and last column."""
    large = [row.text for row in rows[2:] if "d" in row.shades and set(row.text) <= set("█▀▄ ")]
    return large, max(len(text) for text in large)


@pytest.mark.parametrize("size", SIZES)
def test_the_time_takes_a_third_of_the_height_and_two_thirds_of_the_width(size):
    width, height = size
    for name, bench in moments().items():
        if name in ("light", "developer", "just-moved", "toning"):
            large, wide = figures(rows_of(bench, size))
            assert len(large) >= height / 3
            assert wide >= width * 2 / 3 - glyphs.stroke(figure_width(width, "0:00"))  # a seven ends in its right stroke alone


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (100, 30), (160, 50)])
def test_figures_and_letters_are_read_from_where_they_are_meant_to_be(size):
    width, height = size
    row = PANEL_HIGH / height
    assert arc_minutes(figure_rows(height) * row) >= 3 * WANTED
    assert arc_minutes(figure_width(width, "0:00") * PANEL_WIDE / width) >= WANTED
    letters = glyphs.letters_rows(max(1, height // 30)) * row
    assert arc_minutes(letters, NEAR) >= WANTED
    assert arc_minutes(letters) >= LEAST


def lit_area(rows):
    return sum(STROKES.get(letter, LETTER) for row in rows for letter in row.text if letter != " ")


def light(rows, size, level):
    """Of the light of a white window."""
    shares = (
        (STROKES.get(letter, LETTER), SHADES[shade] * LEVELS[level] / 255)
        for row in rows
        for letter, shade in zip(row.text, row.shades, strict=True)
        if letter != " "
    )
    return sum(share * 0.2126 * (red / 255) ** 2.2 for share, red in shares) / (size[0] * size[1])


def test_no_more_than_an_eighth_of_a_window_is_lit():
    """At 100x30, at every moment: lit area, and cells with anything in them."""
    for name, bench in moments().items():
        rows = rows_of(bench, (100, 30))
        assert lit_area(rows) <= 0.12 * 3000, name
        assert sum(letter != " " for row in rows for letter in row.text) <= 0.14 * 3000, name


@pytest.mark.parametrize("size", SIZES)
def test_beside_paper_it_gives_no_more_light_than_before(size):
    """0.0006 of a white window's light was measured of smaller and brighter figures."""
    for bench in moments().values():
        assert light(rows_of(bench, size), size, "paper") <= 0.0006


@pytest.mark.parametrize("name", moments())
def test_the_narrowest_and_the_lowest_window_are_drawn_too(name):
    seen = face(moments()[name], "half way")
    for width, height in ((1, 1), (2, 30), (3, 8), (5, 2), (9, 60), (200, 1), (200, 3)):
        rows = draw(seen, width, height, Shown("note thin", "your words, enter"))
        assert len(rows) == height
        assert max(len(row.text) for row in rows) <= width


@pytest.mark.parametrize("size", SIZES)
def test_a_tap_is_told_in_one_place(size):
    for bench in moments().values():
        for shown in (Shown(), Shown(asked=True), Shown(line="void ", form="a number"), Shown(complaint="no such tray")):
            *_, before, last = (row.text for row in rows_of(bench, size, shown))
            assert last.startswith("tap: ") or (before.startswith("tap: ") and size[0] == 40)
            assert last.endswith("? keys")
            assert len(last) == size[0]


def test_a_sheet_in_place_of_a_void_one_is_not_the_sixth_of_five():
    seen = face(moments()["asked"])
    assert draw(seen, 100, 30)[0].text.startswith("2 of 5 ")
    spoiled = replace(seen, copies=tuple(replace(one, void=one.copy != 2) for one in seen.copies))
    assert draw(spoiled, 100, 30)[0].text.startswith("2  ")


def test_a_line_that_is_typed_says_its_form():
    bench = moments()["before"]
    row = rows_of(bench, (80, 24), Shown(line="void 3", form="a sheet's number, enter"))[-2].text
    assert row.startswith("> void 3_")
    assert row.endswith("a sheet's number, enter")


def test_only_the_figure_that_changes_is_painted():
    """From one second to the next in a bath: the columns of the last figure, and of what ends with a window's bar."""
    bench = moments()["developer"]
    painted = []
    for second in range(2, 9):
        one, two = (rows_of(beat(bench, bench.now + at * 1000), (100, 30)) for at in (second, second + 1))
        changed = [(y, *_changed(old, new)) for y, (old, new) in enumerate(zip(one, two, strict=True)) if old != new]
        figure = [(first, last) for y, first, last in changed if 2 <= y < 12]
        assert all(first >= 50 for first, _ in figure)
        painted.append(sum(last + 1 - first for _, first, last in changed))
    assert sum(painted) / len(painted) < 300


def four_in_flight():
    """Copies 5 to 2 in four trays next to one another, as several at once would stand; all else as a running bath has it."""
    bench = moments()["developer"]
    here = {"developer": (5, 12), "stop": (4, 34), "fixer": (3, 38), "water": (2, None)}
    trays = ("developer", "stop", "fixer", "water", "toner", "rinse", "washer")
    lanes = []
    for tray in trays:
        copy, left = here.get(tray, (None, None))
        inside = () if copy is None else (Occupant(copy, 400_000, left and left * 1000, None),)
        lanes.append(Lane(tray, tray, 1, inside))
    moves = ((12, "into the stop", 5), (34, "into the fixer", 4), (38, "into the water", 3))
    marks = tuple(Coming(within * 1000, said, copy, act_now=True) for within, said, copy in moves)
    copies = tuple(Progress(i, "in the box" if i > 5 else "", i <= 5, False, (), None) for i in range(1, 9))
    seen = face(bench, "half way")
    urgent = replace(seen.urgent, copy=5, ms=12_000, then="into the stop")
    return replace(seen, urgent=urgent, lanes=tuple(lanes), copies=copies, marks=marks, coming=marks)


@pytest.mark.parametrize("size", SIZES)
def test_four_sheets_in_four_trays_are_read_without_searching(size):
    """In the trays' order, each with what is left; their moves in one picture of time; empty trays take no rows."""
    rows = [row.text for row in draw(four_in_flight(), *size)]
    assert not any("toner" in row or "washer" in row for row in rows)
    if size[0] < 80:
        assert ["  ".join(row.split()) for row in rows[-6:-2]] == [
            "developer  5  0:12", "stop  4  0:30", "fixer  3  0:30", "water  2  +6:40",
        ]  # fmt: skip
        return
    at = next(y for y, row in enumerate(rows) if row.startswith("developer "))
    assert rows[at].split() == ["developer", "stop", "fixer", "water"]
    assert rows[at + 1].split() == ["5", "0:12", "4", "0:30", "3", "0:30", "2", "+6:40"]
    assert [rows[at].index(tray) for tray in ("stop", "fixer")] == [rows[at + 1].index(figure) for figure in ("4 ", "3 ")]
    lines = {row[0]: row.index("█") for row in rows[11:at] if row[:2] in ("3 ", "4 ", "5 ") and "█" in row}
    assert lines["5"] < lines["4"] < lines["3"]


def test_a_gap_costs_no_change_of_strength():
    canvas = Canvas(30, 1)
    canvas.put(4, 0, "██", "dim")
    canvas.put(9, 0, "██", "dim")
    canvas.put(20, 0, "word", "text")
    assert canvas.rows() == [Row("    ██   ██         word", shades="d" * 20 + "t" * 4)]


@pytest.mark.parametrize("pair", list(pairwise("0123456789")))
def test_figures_are_of_one_width_and_differ(pair):
    one, two = (glyphs.time(figure, 10, 7) for figure in pair)
    assert one != two
    assert glyphs.time_width(pair[0], 10) == glyphs.time_width(pair[1], 10) == 10


def test_a_row_that_differs_in_its_strength_alone_is_painted():
    assert _changed(Row("abc", shades="ttt"), Row("abc", shades="ttb")) == (2, 2)
    assert _changed(Row("abcd", "tttt"), Row("ab", "tt")) == (2, 3)
