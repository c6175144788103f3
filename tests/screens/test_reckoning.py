"""The worksheets of the dry side: TRADE values worked at the keyboard, any text in any field, and how the sheets look."""

import asyncio
import os
import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.reckoning.topic import worked
from assistant.screens.curves import HERE, curve, strip
from assistant.screens.reckoning import SHEETS, Desk, Reckoning, draw_desk, key_pressed
from assistant.trade import strips

LOOKS = Path(__file__).parents[1] / "looks"
SIZES = ((60, 20), (80, 24), (100, 30), (160, 50))
NAMES = [sheet.name for sheet in SHEETS]


def answered(sheet, written):
    return worked(SHEETS[sheet], {field.name: text for field, text in zip(SHEETS[sheet].fields, written, strict=True)})


def filled(sheet, **texts):
    """A sheet's rows with only these fields written, as one text."""
    at = NAMES.index(sheet)
    fields = SHEETS[at].fields
    starts = {re.sub(r"\W", "_", field.name): field.start if field.needed or field.choices else "" for field in fields}
    written = tuple({**starts, **texts}.values())
    sheets = Desk().written
    desk = Desk(sheet=at, written=(*sheets[:at], written, *sheets[at + 1 :]))
    return "\n".join(row.text for row in draw_desk(desk, 120, 50))


@pytest.mark.parametrize(
    ("sheet", "texts", "answers"),
    [
        # doubling and halving; the exact f-numbers of ISO 517's series; inverse square [math]
        ("exposure", {"time": "10 s", "more": "1/3"}, "10 s becomes 12.599 s"),
        ("exposure", {"time": "10 s", "aperture": "f/11 to f/16"}, "10 s becomes 20 s"),
        ("exposure", {"time": "12 s", "height": "80 cm to 100 cm"}, "12 s becomes 18.75 s"),
        # thin-lens optics, from memory: ((3 + 1) / (2 + 1))^2
        ("exposure", {"time": "10 s", "enlargement": "2 to 3"}, "10 s becomes 17.778 s"),
        # ISO 6846 [std] for paper speeds; dry-down and filter factors are common practice
        ("exposure", {"time": "10 s", "paper": "P500 to P250"}, "10 s becomes 20 s"),
        ("exposure", {"time": "12 s", "filter": "1 to 2"}, "12 s becomes 24 s"),
        ("exposure", {"time": "20 s", "dry_down": "8 %"}, "20 s becomes 18.4 s"),
        # U.S. Navy *Photography (Basic)*, NAVEDTRA 14209 [pub], uncovered; U.S. Army SS0509 [pub], covered
        (
            "strip",
            {"time": "2 s", "strips": "4", "step": "", "add": "2 s", "card": "uncover"},
            "given in this order: 2 s, 2 s, 2 s, 2 s",
        ),
        ("strip", {"time": "2 s", "step": "", "add": "2 s"}, "cover at: 2 s, 4 s, 6 s, 8 s; light off at 10 s"),
        # geometric strips [math]
        ("strip", {"time": "8 s", "step": "1/3"}, "given in this order: 8 s, 2.079 s, 2.62 s, 3.301 s, 4.159 s"),
        ("strip", {"time": "5 s", "strips": "6", "step": "1/2"}, "light off at 28.284 s"),
        # Lambrecht's timing table in Lambrecht & Woodhouse, *Way Beyond Monochrome* [pub], printed to 0.1 s
        ("parts", {"base": "25.4 s", "parts": "dodge door 1/3", "clock": "0.1 s"}, "5.2 s"),
        ("parts", {"base": "25.4 s", "parts": "burn sky 1/2", "clock": "0.1 s"}, "10.5 s"),
        # ANSI IT2.26-1998, ISO 8374 [std]: half the geometric mean of 4 and 8 minutes
        ("fog", {"clean": "4 min", "fogged": "8 min"}, "2:49"),
        # one part and a parts [math]
        ("mix", {"volume": "2 l", "mix": "1+9"}, "200 ml concentrate + 1800 ml water"),
        # two points, and Glover's pair (1924, in Clerc §573 [pub]) as its coefficient 2.0747
        ("temperature", {"now": "22 C", "also_known": "90 s at 24 C"}, "1:43.9 at 22 C"),
        ("temperature", {"now": "18 C", "coefficient": "2.0747"}, "2:18.9 at 18 C"),
        # a sheet counts by its area: 12x16 in is 2.4 of 8x10 in [math]
        ("capacity", {"sheets": "10", "lasts": "20 per litre"}, "use 24 of 8x10 in"),
        # fresh water every five minutes: Clerc, *Photography: Theory and Practice*, §607 [pub]
        ("wash", {"every": "5 min", "fill": "2 l", "held": "100 ml"}, "renewed every 5:00: fresh water 6 times"),
    ],
)
def test_worked_values(sheet, texts, answers):
    assert answers in filled(sheet, **texts)


texts = st.one_of(st.text(max_size=20), st.from_regex(r"[0-9.+/: -]{0,8}( ?(s|min|C|l|ml|stop|in|%))?", fullmatch=True))


@settings(max_examples=400)
@given(st.integers(0, len(SHEETS) - 1), st.integers(0, 8), texts, st.sampled_from([*SIZES, (20, 5), (1, 1)]))
def test_no_text_breaks_a_sheet_or_gives_less_than_no_time(sheet, field, text, size):
    desk = Desk(sheet=sheet, field=min(field, len(SHEETS[sheet].fields) - 1))
    if desk.here.choices:
        return
    desk = desk.write(text)
    rows = draw_desk(desk, *size)
    assert len(rows) == size[1]
    assert max(len(row.text) for row in rows) <= max(size[0], 1)
    done = answered(sheet, desk.written[sheet])
    assert (done.answer is None) == bool(done.faults or done.why)
    said = " ".join(done.answer.lines) if done.answer else ""
    assert not re.search(r"\bnan\b|\binf\b|(?<![\w(+])-\d[\d.]* ?(s|ml|l)\b", said)


def of_a_sheet(sheet):
    """Every field of a sheet filled in anew, the hardest values among them."""
    spans = [
        "10 h",
        "0.001 s",
        "24 h",
        "1 ms",
        "2 min at 20 C",
        "10 h at 30 C",
        "90 s at 24 C",
        "f/1 to f/64",
        "1 to 10",
        "10",
        "20",
    ]
    some = st.one_of(st.just(""), texts, st.sampled_from([*spans, "30 C", "1 l", "100 l", "1+1", "1+200", "8x10 in", "1/12"]))
    return st.tuples(*(st.sampled_from(field.choices) if field.choices else some for field in SHEETS[sheet].fields))


@settings(max_examples=400)
@given(st.data(), st.integers(0, len(SHEETS) - 1), st.sampled_from(SIZES))
def test_no_texts_together_break_a_sheet(data, sheet, size):
    written = list(Desk().written)
    written[sheet] = data.draw(of_a_sheet(sheet))
    assert len(draw_desk(Desk(sheet=sheet, written=tuple(written)), *size)) == size[1]


def test_a_curve_that_leaves_what_can_be_reckoned_is_drawn_as_far_as_it_goes():
    shown = filled("temperature", known="10 h at 30 C", now="30 C", coefficient="10")
    assert "10:00:00 at 30 C" in shown


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("sheet", range(len(SHEETS)), ids=NAMES)
def test_every_word_of_an_answer_can_be_read(sheet, size):
    desk = Desk(sheet=sheet)
    read = " ".join(row.text for page in range(12) for row in draw_desk(replace(desk, page=page), *size)).split()
    answer = answered(sheet, desk.written[sheet]).answer
    for line in (*answer.lines, answer.law, *answer.minds):
        assert all(word in read for word in line.split())


@given(
    st.lists(
        st.sampled_from(
            ["tab", "shift+tab", "up", "down", "left", "right", "space", "backspace", "enter", "pagedown", "pageup", "x", "5"]
        )
    )
)
def test_any_keys_leave_a_desk_that_can_be_drawn(keys):
    desk = Desk()
    for key in keys:
        desk = key_pressed(desk, key, {"space": " "}.get(key, key if len(key) == 1 else None))
    assert len(draw_desk(desk, 80, 24)) == 24


def test_what_cannot_be_read_is_said_and_no_answer_stands():
    shown = filled("exposure", time="9.6")
    assert '! "9.6" is not a time: write 9.6 s' in shown
    assert "becomes" not in shown


def test_the_keyboard_alone_works_a_sheet():
    app = Reckoning()

    async def play():
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.press("tab", "tab", "tab", *"10s", "backspace", "s", "down", "down", "right")
            await pilot.pause()
            rows = [row.text for row in app.pane.rows]
            await pilot.press("escape")
            return rows

    rows = asyncio.run(play())
    assert "[strip]" in rows[0]
    assert "> time is  < middle >" in rows
    assert any("|  10 s  |" in row for row in rows)


def test_the_strips_lie_as_they_are_numbered():
    plan = strips.plan(8_000, 5, stops=1 / 3, tick=100)
    drawn = strip(plan, 80)
    assert drawn[1].split("|")[1:-1] == [f"{i:^8}" for i in range(1, 6)]
    assert [cell.strip() for cell in drawn[2].split("|")[1:-1]] == ["8 s", "10.1 s", "12.7 s", "16 s", "20.2 s"]
    narrow = strip(plan, 30)
    assert sum(line.startswith("+-") for line in narrow) == 4


def test_a_curve_goes_down_to_where_we_are():
    answer = answered(NAMES.index("temperature"), Desk().written[NAMES.index("temperature")]).answer
    drawn = curve(answer.picture, 60, 10)
    assert len(drawn) == 10
    assert sum(row.count(HERE) for row in drawn) == 1
    assert drawn[0].startswith("2:19 |")
    assert drawn[-1].split() == ["18", "24"]
    columns = [row.find("·") for row in drawn[:-1]]
    assert columns == sorted(columns)
    assert curve(answer.picture, 10, 10) == curve(answer.picture, 60, 2) == []


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", ["strip", "temperature", "wash", "mix"])
def test_look(name, size):
    rows = draw_desk(Desk(sheet=NAMES.index(name)), *size)
    text = "\n".join(row.text.rstrip() for row in rows) + "\n"
    file = LOOKS / f"reckon-{name}-{size[0]}x{size[1]}.txt"
    if os.environ.get("LOOKS") == "write":
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")
