"""Looking back: what is on the screen is what the journal holds, and all of it can be reached by keys.

The journals are real ones, each session replayed into SQLite; what the screen says is checked against the numbers
that `traycall records show N --json` gives, read back from its text.
"""

import asyncio
import json
import os
import re
import sys
from contextlib import closing
from datetime import timedelta
from itertools import product
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.conductor.rehearsal import rehearse
from assistant.places import shipped
from assistant.planning.plan import make_plan
from assistant.printing.past_sessions import PastSessions
from assistant.recipe.loader import load
from assistant.records.journal import Journal
from assistant.score.score import Score
from assistant.screens.drawing import Row
from assistant.screens.looking_back import LookingBack, Place, draw_past, look_back, paged
from assistant.screens.past import blocks
from assistant.screens.plots import Level, Point, along
from assistant.session import happenings as h
from assistant.terminal.colours import drawable
from tests.pty.terminal import Terminal
from tests.records.sessions import EVENTFUL, MORNING, OVER, TEXT, a_bath, at, keep, score_of
from tests.screens.tiring import Tiring

LOOKS = Path(__file__).parents[1] / "looks"
SIZES = ((60, 20), (80, 24), (100, 30), (160, 50))
BY_FIRST_TONE = TEXT.replace("for: 2 min, drain: 15 s", "factor: 6, drain: 15 s").replace("Slipway panel ", "Winch house ")
OLDEST = 2  # places in the list: the last session stands first


@pytest.fixture(autouse=True)
def home(monkeypatch, tmp_path):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    with Journal.open() as journal:
        fixer = a_bath(journal, "fixer", MORNING - timedelta(hours=1))
        keep(journal, EVENTFUL, OVER, stood={"fixer": fixer})
        keep(journal, EVENTFUL[:3], at("2:00"), ended=False, started=MORNING + timedelta(days=1), stood={"fixer": fixer})
        played = rehearse(score_of(BY_FIRST_TONE, 8), Tiring())
        third, stood = MORNING + timedelta(days=2), {"fixer": fixer}
        keep(journal, played.hands, played.bench.now, text=BY_FIRST_TONE, copies=8, started=third, stood=stood)


@pytest.fixture
def past(home):
    with closing(Journal.open()) as journal:
        yield PastSessions(journal)


@pytest.fixture
def kept(capsys):
    def show(number):
        assert main(["records", "show", str(number), "--json"]) == 0
        return json.loads(capsys.readouterr().out)

    return show


def every_page(past, place, size):
    """The pages of a leaf as text, one after the other, without what is on each of them."""
    first = draw_past(past, place, *size)
    found = re.search(r"\(page 1 of (\d+): space\)", "\n".join(row.text for row in first))
    return [draw_past(past, Place(place.at, place.leaf, page), *size) for page in range(int(found[1]) if found else 1)]


def text(pages):
    return "\n".join(row.text for page in pages for row in page)


def ms(shown):
    """What a span on the screen means, to the nearest tenth."""
    sign = -1 if shown.startswith("-") else 1
    total = 0.0
    for part in shown.lstrip("+-").split(":"):
        total = total * 60 + float(part)
    return sign * round(total * 1000)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("edition", Place(OLDEST)),
        ("edition-page-2", Place(OLDEST, 0, 1)),
        ("copy", Place(OLDEST, 1)),
        ("not-ended", Place(1, 1)),
        ("first-tones", Place(0, 0, 1)),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_look(past, name, place, size):
    width, height = size
    rows = draw_past(past, place, width, height)
    assert len(rows) == height
    assert max(len(row.text) for row in rows) <= width
    shown = "\n".join(row.text.rstrip() for row in rows) + "\n"
    assert drawable(shown) == shown
    file = LOOKS / f"looking-back-{name}-{width}x{height}.txt"
    if os.environ.get("LOOKS") == "write":
        file.write_text(shown, encoding="utf-8")
    assert shown == file.read_text(encoding="utf-8")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("number", [1, 2, 3])
def test_every_true_time_of_every_copy_is_the_journals(past, kept, number, size):
    record = kept(number)
    for copy in range(1, len(record["sheets"]) + 1):
        shown = text(every_page(past, Place(3 - number, copy), size))
        stays = [stay for stay in record["stays"] if stay["copy"] == copy]
        for stay in stays:
            line = next(line for line in shown.splitlines() if line.startswith(stay["name"]))
            times = re.findall(r"[+-]?\d+(?::\d\d)+\.\d", line)
            lasted, target = stay["to_ms"] - stay["from_ms"], stay["target_ms"]
            true = times[1 if target is not None else 0]
            assert abs(lasted - ms(true)) <= 50
            if target is None:
                assert "by eye" in line or "open" in line
                continue
            assert abs(target - ms(times[0])) <= 50
            assert (ms(times[2]) if len(times) > 2 else 0) == ms(true) - ms(times[0])
            assert line.endswith(stay["verdict"]) is (stay["verdict"] in ("short", "long"))
            clock = f"{MORNING + timedelta(days=number - 1, milliseconds=stay['from_ms']):%H:%M:%S}"
            assert (clock in line) is (size[0] >= 72)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("number", [1, 3])
def test_toning_stands_in_the_order_pulled_with_its_true_times(past, kept, number, size):
    toned = [stay for stay in kept(number)["stays"] if stay["step"] == "tone"]
    assert toned
    lines = text(every_page(past, Place(3 - number), size)).split("First visible tone")[0].splitlines()
    labels = [i for i, line in enumerate(lines) if line.startswith("     copy ")]
    copies = [int(word) for i in labels for word in lines[i].split()[1:]]
    times = [ms(word) for i in labels for word in lines[i + 1].split()]
    assert copies == [stay["copy"] for stay in toned]
    assert all(abs(stay["to_ms"] - stay["from_ms"] - time) <= 50 for stay, time in zip(toned, times, strict=True))
    assert any(line.startswith("  to 2:00 | - -") for line in lines)
    assert any(line.startswith("from 0:45 | - -") for line in lines)


def test_a_spoiled_print_is_not_in_the_plot_and_a_short_time_is_called_short(tmp_path):
    early = (at("3:22"), h.Moved(1, 14_000))  # out of the developer at 3:08, in at 1:20
    spoiled = (at("23:40"), h.Void(1))
    hands = sorted((*(hand for hand in EVENTFUL if hand[0] != at("3:28")), early, spoiled), key=lambda hand: hand[0])
    with Journal.open(tmp_path / "another.sqlite") as journal:
        keep(journal, hands, OVER)
        keep(journal, hands[: hands.index(early) + 1], at("5:00"))
        past = PastSessions(journal)
        whole = text(every_page(past, Place(1), (160, 50)))
        assert re.findall(r"copy +(\d.*)", whole.split("Toner")[1].split("untoned")[0]) == ["3"]
        assert "copy 1 void, last in Final wash until 09:53:40" in whole
        leaf = text(every_page(past, Place(0, 1), (80, 24)))
        assert re.search(r"Developer +09:31:20 +2:00\.0 +1:48\.0 +-0:12\.0  short\n", leaf)
        assert "copy 1 Developer 1:48.0 for 2:00.0: short" in text(every_page(past, Place(0), (80, 24)))


def test_the_drift_of_the_first_tone_is_the_journals(past, kept):
    tones = kept(3)["first_tones"]
    late = 100 * (tones[-1]["after_ms"] / tones[0]["after_ms"] - 1)
    assert late > 25
    shown = text(every_page(past, Place(0), (100, 30)))
    assert f"copy 8: {late:.0f} % later than copy 1. The developer is going" in shown
    assert f"+25 % {tones[0]['after_ms'] * 1.25 / 60_000:.0f}:{tones[0]['after_ms'] * 1.25 / 1000:.0f} |" in shown
    for copy, tone in enumerate(tones, 1):
        leaf = text(every_page(past, Place(0, copy), (80, 24)))
        assert abs(tone["after_ms"] - ms(re.search(r"first visible tone after (\S+)", leaf)[1])) <= 50


@pytest.mark.parametrize("size", SIZES)
def test_nothing_else_that_was_kept_is_out_of_reach(past, kept, size):
    record = kept(1)
    shown = " ".join(text(every_page(past, Place(OLDEST), size)).split())
    for note in record["notes"]:
        assert f"{MORNING + timedelta(milliseconds=note['at_ms']):%H:%M:%S} {note['words']}" in shown
    assert "09:39:40 developer 19.5 C" in shown
    assert "nobody was called from 09:42:00 to 09:45:00" in shown
    assert "copy 1 Developer 2:08.0 for 2:00.0: long" in shown
    assert "copy 2 void, last in Developer until 09:38:00" in shown
    assert "untoned: copy 4" in shown
    assert "3 copies planned: 3 done, 1 void; ended after 1:06:30.0" in shown
    assert "fixer: rapid fixer 1+4, 2 l, mixed less than a day before; until then nothing went through" in shown
    assert "developer: print developer 1+9, 3 l, 20 C" in shown


def test_the_list_says_what_was_done_and_what_was_not_ended(past):
    rows = [row.text for row in draw_past(past, Place(1), 80, 24)[1:4]]
    assert rows == [
        "    3  2031-03-31 09:30   8 of 8   Winch house",
        ">   2  2031-03-30 09:30   0 of 3   Slipway panel  not ended",
        "    1  2031-03-29 09:30   3 of 3   Slipway panel",
    ]
    leaf = text(every_page(past, Place(1, 1), (80, 24)))
    assert "copy 1 of 3: not finished" in leaf
    assert re.search(r"Developer +09:31:20 +2:00\.0 +0:40\.0 +in it", leaf)


def test_a_long_title_is_cut_and_the_end_of_its_line_is_not(home, tmp_path):
    long = TEXT.replace("Slipway panel", "The slipway and everything that ever stood on it or lay beside it")
    with Journal.open(tmp_path / "another.sqlite") as journal:
        keep(journal, [], 5_000, text=long, ended=False)
        row = draw_past(PastSessions(journal), Place(), 60, 20)[1].text
    assert len(row) == 60
    assert row.endswith("…  not ended")


def test_a_session_that_cannot_be_read_says_so_and_hinders_no_other(home):
    class Standing:
        boot, origin = "", 0

        def wall(self):
            return MORNING

    with Journal.open() as journal:
        journal.begin(Standing(), recipe="format: 9\n", title="Winch", file="winch.yaml", copies=1).finish(0)
        past = PastSessions(journal)
        rows = [row.text for row in draw_past(past, Place(0), 100, 30)]
        assert any("and this version can't read its" in row for row in rows)
        assert past[1].course.sheets
        with pytest.raises(ValueError, match="99"):
            past.place(99)


def test_only_what_is_seen_is_read_and_only_once(tmp_path, monkeypatch):
    read = []
    before = Journal.course
    monkeypatch.setattr(Journal, "course", lambda self, number: read.append(number) or before(self, number))
    with Journal.open(tmp_path / "another.sqlite") as journal:
        for _ in range(12):
            keep(journal, [], 5_000)
        read.clear()
        past = PastSessions(journal)
        draw_past(past, Place(), 60, 20)
        draw_past(past, Place(1), 60, 20)
    assert sorted(read) == [9, 10, 11, 12]


@pytest.mark.parametrize("file", sorted(shipped("recipes").glob("*.yaml")), ids=lambda file: file.stem)
def test_any_recipe_broken_off_anywhere_is_drawn_for_any_window(tmp_path, file):
    loaded = load(file)
    score = Score(make_plan(loaded.recipe, loaded.recipe.copies))
    played = rehearse(score, Tiring())
    with Journal.open(tmp_path / "another.sqlite") as journal:
        for many in {0, 1, 2, 5, len(played.hands) // 2, len(played.hands)}:
            hands = played.hands[:many]
            until = hands[-1][0] + 40_000 if hands else 1_000
            keep(journal, hands, until, text=loaded.text, copies=loaded.recipe.copies, ended=False)
        past = PastSessions(journal)
        leaves = [(at, leaf) for at in range(len(past)) for leaf in range(1 + len(past[at].course.sheets))]
        for (at, leaf), page in product(leaves, range(3)):
            for width, height in ((1, 1), (5, 3), (20, 6), (39, 10), (60, 20)):
                rows = draw_past(past, Place(at, leaf, page), width, height)
                assert len(rows) == height
                assert max(len(row.text) for row in rows) <= width
    assert not any(past.trouble for past in past)


# Keys.


def pressed(past, *keys, at=0, size=(80, 24)):
    app = LookingBack(past, at)

    async def play():
        async with app.run_test(size=size) as pilot:
            await pilot.press(*keys)
            await pilot.pause()
            assert app.is_running is not (bool(keys) and keys[-1] == "escape")
            assert app.pane.rows == tuple(draw_past(past, app.place, *size))
            return app.place

    return asyncio.run(play())


def test_keys_go_to_every_session_leaf_and_page(past):
    assert pressed(past) == Place(0)
    assert pressed(past, "down", "down") == Place(2)
    assert pressed(past, "up") == Place(2)
    assert pressed(past, "right", "right") == Place(0, 2)
    assert pressed(past, "left") == Place(0, 8)
    assert pressed(past, "left", "right") == Place(0, 0)
    assert pressed(past, "space", "space") == Place(0, 0, 2)
    assert pressed(past, "space", "right") == Place(0, 1)
    assert pressed(past, "right", "space", "down") == Place(1)
    assert pressed(past, "x", "enter", at=1) == Place(1)
    assert pressed(past, "down", "escape") == Place(1)


def test_looking_back_paints_only_what_has_changed(past):
    app = LookingBack(past)

    async def play():
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            before = app.pane.paints
            await pilot.press("x", "enter")
            await pilot.pause()
            same = app.pane.paints - before
            await pilot.press("down")
            await pilot.pause()
            return same, app.pane.paints - before

    assert asyncio.run(play()) == (0, 1)


def test_looking_back_changes_no_journal(past, tmp_path):
    before = (tmp_path / "records.sqlite").read_bytes()
    pressed(past, "down", "right", "space", "left", "up", "escape")
    assert (tmp_path / "records.sqlite").read_bytes() == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["look"], "Looking back needs a terminal. As plain text: traycall records show N\n"),
        (["look", "1"], "Looking back needs a terminal. As plain text: traycall records show N\n"),
    ],
)
def test_without_a_terminal_the_plain_way_is_named(capsys, words, said):
    assert main(["records", *words]) == 1
    assert capsys.readouterr().err == said


def test_what_cannot_be_looked_at_is_refused(past):
    with pytest.raises(ValueError, match="no session"):
        LookingBack([])
    with pytest.raises(ValueError, match="levels are paper, work"):
        look_back(past, level="bright")


@pytest.mark.pty
def test_on_a_real_terminal_it_opens_where_it_was_asked_to_and_leaves_at_a_key(tmp_path):
    env = {**os.environ, "TRAYCALL_HOME": str(tmp_path), "TERM": "xterm-256color", "COLORTERM": "truecolor"}
    terminal = Terminal([sys.executable, "-m", "assistant", "records", "look", "2", "--light", "paper"], env, 80, 24)
    try:
        terminal.until("Slipway panel: session 2")
        terminal.press(b"\x1b[C")
        terminal.until("copy 1 of 3: not finished")
        terminal.press(b"\x1b[A")
        terminal.until("Winch house: session 3")
        terminal.press(b"q")
        assert terminal.ended() == 0
    finally:
        terminal.close()


@pytest.mark.pty
def test_a_session_that_is_not_there_is_refused_before_the_screen_opens(tmp_path):
    env = {**os.environ, "TRAYCALL_HOME": str(tmp_path)}
    terminal = Terminal([sys.executable, "-m", "assistant", "records", "look", "9"], env)
    try:
        assert terminal.ended() == 1
        assert "There is no session 9: the last is session 3." in terminal.text()
    finally:
        terminal.close()


# Plots and pages.


@pytest.mark.parametrize("width", [24, 60, 80, 160])
@pytest.mark.parametrize("longest", [900, 61_000, 3_700_000, 400_000_000])
def test_no_point_of_a_long_edition_is_left_out_and_the_plot_stays_small(width, longest):
    points = [Point(copy, 500 + (longest - 500) * copy // 60) for copy in range(1, 61)]
    bands = along(points, (Level("from", 45_000),), width, 8)
    copies = [int(word) for band in bands for word in band[-2].text.split()[1:]]
    assert copies == list(range(1, 61))
    for band in bands:
        assert len(band) <= 8 + 2
        assert sum(row.text.count("●") for row in band) == len(band[-2].text.split()) - 1
        assert all(len(row.text) <= width for row in band)
    heights = [place for band in bands for place in _rows_of_points(band)]
    assert heights == sorted(heights)


def _rows_of_points(band):
    """How high each point stands over the labels, from left to right."""
    found = {match.start(): len(band) - y for y, row in enumerate(band) for match in re.finditer("●", row.text)}
    return [found[x] for x in sorted(found)]


def test_two_levels_on_one_row_are_both_named():
    (band,) = along([Point(1, 9_000_000)], (Level("to", 50_000), Level("from", 45_000)), 80, 5)
    assert "to 0:50, from 0:45 | - - " in band[-3].text


def test_only_a_block_longer_than_a_page_is_broken():
    short, long = [Row(f"short {i}") for i in range(3)], [Row(f"long {i}") for i in range(10)]
    assert paged([short, short], 7) == [[*short, Row(""), *short]]
    first, second, third, fourth = paged([short, long, short], 6)
    assert first == [*short, Row("(page 1 of 4: space)", "dim")]
    assert second == [*long[:5], Row("(page 2 of 4: space)", "dim")]
    assert third == [*long[5:], Row("(page 3 of 4: space)", "dim")]
    assert fourth[:-1] == short


def test_blocks_fit_the_width(past):
    for leaf in range(1 + len(past[0].course.sheets)):
        for width in (40, 60, 100):
            assert all(len(row.text) <= width for block in blocks(past[0], leaf, width, 8) for row in block)
