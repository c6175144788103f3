"""The dry side worked as a printer would: each place by the keyboard alone, and by the mouse alone."""

import asyncio
import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from textual import events
from textual.widgets import Input, Select, TextArea

from assistant.devices.settings import read_settings, settings_file
from assistant.places import shipped
from assistant.recipe.loader import load
from assistant.screens.dry.outside import Chosen, DryState, Elsewhere
from tests import waiting
from tests.records.every_row import unguard
from tests.screens.dry.stage import own, played  # noqa: F401
from tests.screens.evenings import keep_evenings

RECIPES = sorted(file.stem for file in shipped("recipes").glob("*.yaml"))
COPIES = [load(shipped("recipes") / f"{name}.yaml").recipe.copies for name in RECIPES]

pytestmark = pytest.mark.usefixtures("own")


# Print


def test_the_recipe_that_is_marked_is_printed_in_the_copies_shown():
    async def keys(stage):
        await stage.press("down", "plus", "plus", "minus", "b", "enter")

    assert played(keys) == Chosen(RECIPES[1], COPIES[1] + 1, "work")


def test_keys_that_come_faster_than_anything_is_shown_mean_the_recipe_that_is_marked():
    async def keys(stage):
        for key in ("end", "plus", "enter"):
            stage.app.post_message(events.Key(key, None))
        await stage.settle()

    assert played(keys) == Chosen(RECIPES[-1], COPIES[-1] + 1, "paper")


@pytest.mark.parametrize("both", [("enter", "v"), ("f3", "enter")])
def test_a_key_that_comes_with_the_one_that_leaves_opens_nothing_and_is_no_fault(both):
    async def keys(stage):
        for key in both:
            stage.app.post_message(events.Key(key, None))
        await stage.pilot.pause()

    assert played(keys) == Chosen(RECIPES[0], COPIES[0], "paper")


def test_copies_that_cannot_be_printed_are_not_begun_and_the_card_says_why():
    async def keys(stage):
        await stage.press("tab", "tab")
        stage.app.query_one("#copies", Input).value = "61"
        await stage.settle()
        assert "Copies: write 1 to 60." in stage.text()
        await stage.press("enter")
        assert stage.app.is_running

    assert played(keys) is None


def test_a_recipe_with_faults_is_listed_says_them_and_is_not_printed(own):  # noqa: F811
    Path("shed.yaml").write_text("format: 1\ntitle: Shed\ntrays: {}\nsteps: []\n", encoding="utf-8")
    Path("letter.yaml").write_text("to: the harbour office\n", encoding="utf-8")

    async def keys(stage):
        rows = stage.rows()
        assert any("shed.yaml" in row and "has faults" in row for row in rows)
        assert not any("letter" in row for row in rows)
        assert "shed.yaml:4:1: steps: there is nothing to do" in stage.text()
        await stage.press("enter")
        assert stage.app.is_running

    assert played(keys) is None


def test_a_recipe_is_copied_changed_and_complained_of_as_one_types(own):  # noqa: F811
    async def keys(stage):
        await stage.press("c", "enter")
        name = f"my-{RECIPES[0]}"
        assert any(name in row for row in stage.rows())
        await stage.press("v")
        area = stage.app.screen.query_one(TextArea)
        area.text = area.text.replace("format: 1", "format: one")
        await waited_for(stage, f"{name}.yaml:")
        await stage.press("ctrl+s")
        assert "format: one" in (own / "recipes" / f"{name}.yaml").read_text()
        await stage.press("escape")
        assert any(name in row and "has faults" in row for row in stage.rows())

    played(keys)


@pytest.mark.parametrize("key", ["escape", "ctrl+c", "ctrl+q"])
def test_what_was_typed_is_not_lost_by_one_key(own, key):  # noqa: F811
    async def keys(stage):
        await stage.press("c", "enter", "v", "x", key)
        assert stage.app.screen.query(TextArea)
        assert "Not saved yet." in stage.text()
        await stage.press(key)
        assert not stage.app.is_running or not stage.app.screen.query(TextArea)

    played(keys)


def test_a_recipe_that_is_no_text_or_is_gone_is_said_where_it_is_looked_at(own):  # noqa: F811
    recipe = own / "recipes" / "shed.yaml"
    recipe.parent.mkdir(parents=True)
    recipe.write_bytes(b"title: \xff\n")

    async def keys(stage):
        await stage.press("v")
        assert "save the file as UTF-8 text" in stage.text()
        recipe.unlink()
        await stage.press("v")
        assert "No such file" in stage.text()

    played(keys)


def test_a_recipe_that_came_with_the_program_cannot_be_changed():
    async def keys(stage):
        await stage.press("v", "x")
        assert stage.app.screen.query_one(TextArea).read_only
        assert "save" not in stage.rows()[-1]
        await stage.press("escape", "e")
        assert stage.app.is_running

    played(keys)


def test_five_questions_make_a_recipe_that_can_be_printed(own):  # noqa: F811
    async def keys(stage):
        await stage.press("n", *"Net loft", "tab")
        await stage.press("tab", "tab", "tab", "tab", "enter")
        rows = stage.rows()
        assert any("net-loft" in row and "Net loft" in row for row in rows), rows
        await stage.press("enter")

    assert played(keys) == Chosen("net-loft", 1, "paper")
    assert load(own / "recipes" / "net-loft.yaml").warnings == ()


def test_a_name_that_is_taken_is_refused():
    async def keys(stage):
        for _ in range(2):
            await stage.press("c")
            stage.app.screen.query_one(Input).value = RECIPES[0]
            await stage.press("enter")
        assert "There is a recipe" in stage.text()

    played(keys)


@pytest.mark.parametrize(("key", "what"), [("t", "rehearse"), ("e", "editor")])
def test_what_wants_the_whole_terminal_is_left_for_and_come_back_from(key, what):
    async def keys(stage):
        if what == "editor":
            await stage.press("c", "enter")
        await stage.press("plus", key)

    left = played(keys)
    assert isinstance(left, Elsewhere)
    assert left.what == what

    async def back(stage):
        assert stage.app.query_one("#copies", Input).value == str(left.state.copies)
        await stage.press("enter")

    assert played(back, state=left.state) == Chosen(left.state.recipe, left.state.copies, "paper")


def test_long_work_can_be_stopped(own):  # noqa: F811
    async def keys(stage):
        await stage.press(*["down"] * RECIPES.index("slipway-edition"), "w")
        assert "is being written" in stage.text()
        assert re.search(r"\d%", stage.text())
        await stage.press("escape")
        assert "Stopped." in stage.text()

    played(keys)
    waiting.until(lambda: not list(Path().glob("*half*")), "what is half written to go")
    assert not list(Path().glob("*.wav"))


def test_several_copies_at_once_are_planned_and_read_to_the_end(own):  # noqa: F811
    async def keys(stage):
        await stage.press(*["down"] * RECIPES.index("contact-proof"), "p")
        await waited_for(stage, "through after")
        await waited_for(stage, "A digit is a copy", "end")

    played(keys)


def test_a_recipe_is_copied_looked_at_and_printed_in_more_copies_by_the_mouse_alone(own):  # noqa: F811
    name = f"my-{RECIPES[1]}"

    async def clicks(stage):
        await stage.click("#recipes", (3, 2))
        await stage.click("Button#copy")
        await stage.click("#take")
        assert any(name in row for row in stage.rows())
        await stage.click("Button#text")
        assert stage.app.screen.query(TextArea)
        for footer_key in ("esc", "+", "+", "-"):
            keys = stage.app.screen.query("FooterKey")
            await stage.click(next(one for one in keys if one.key_display == footer_key))
        await stage.click("#go", (3, 0))

    assert played(clicks) == Chosen(name, COPIES[1] + 1, "paper")


async def waited_for(stage, words, *keys):
    """Until another process has said it, at most as long as any wait of the suite; meanwhile these keys lead to it."""
    end = asyncio.get_running_loop().time() + waiting.LONGEST
    while words not in stage.text():
        assert asyncio.get_running_loop().time() < end, stage.text()
        await stage.press(*keys)
        await stage.pilot.pause(0.05)  # between two looks


def test_a_sound_check_that_cannot_sound_says_so():
    async def keys(stage):
        await stage.press("s")
        await waited_for(stage, "there is no sound")
        await stage.press("n")
        assert "Is the output the right one" in stage.text()
        await stage.press("y")
        assert "Sound check: do you" not in stage.text()

    played(keys)


# Calculate


def test_a_worksheet_by_the_keyboard_alone():
    async def keys(stage):
        await stage.press(*["down"] * 4)
        assert "dodge door 1/3, burn sky 2/3" in stage.text()
        assert "e.g. 8 %" in stage.text()
        await stage.press("up", "enter", *["backspace"] * 4, *"10 s")
        assert "10 s, 12.6 s, 15.9 s" in stage.text()
        await stage.press(*["backspace"] * 2)
        assert '"10" is not a time: write 10 s' in stage.text()
        assert "Formula:" not in stage.text()

    played(keys, state=DryState("calculate"))


def test_a_worksheet_by_the_mouse_alone():
    async def clicks(stage):
        await stage.click("#topics", (2, 3))
        choice = stage.app.query(Select).last()
        await stage.click(choice)
        assert "esc back" in stage.rows()[-1]
        await stage.click(choice.query_one("SelectOverlay"), (3, 1))
        assert "the darkest uncovered first" in stage.text()

    played(clicks, state=DryState("calculate"))


# Records


def test_sessions_are_looked_through_by_keys(own):  # noqa: F811
    keep_evenings()

    async def keys(stage):
        assert "Slipway edition: session 3" in stage.text()
        await stage.press("down", "enter", "end")
        assert stage.app.query_one("#session").has_focus
        await waited_for(stage, "Final wash")
        assert any("Final wash" in row and "good" not in row for row in stage.rows())

    played(keys, state=DryState("records"))


def test_last_years_toning_times_are_found_by_words_and_read(own):  # noqa: F811
    keep_evenings()

    async def keys(stage):
        await stage.press("slash", *"2031-04 slip", "enter")
        assert stage.app.query_one("#sessions").row_count == 1
        toned = next(row for row in stage.rows() if row.lstrip().startswith("copy 1: "))
        assert len(re.findall(r"\d: 1:\d\d\.\d", toned)) == 7
        await stage.press("slash", *"zinc")
        assert "No session has all of these words: esc shows all." in stage.text()
        assert "session 3" not in stage.text()
        await stage.press("escape", "enter")
        assert "Slipway edition: session 3" in stage.text()

    played(keys, state=DryState("records"))


def test_and_by_the_mouse(own):  # noqa: F811
    keep_evenings()

    async def clicks(stage):
        await stage.click("#sessions", (3, 3))
        assert "Boat shed door: session 1" in stage.text()
        stage.app.query_one("#session").scroll_end(animate=False)
        await stage.settle()
        assert "Final wash" in stage.text()

    played(clicks, state=DryState("records"))


def test_a_session_that_cannot_be_read_says_so_in_its_place_and_the_others_are_read(own):  # noqa: F811
    keep_evenings()
    with closing(sqlite3.connect(own / "records.sqlite", isolation_level=None)) as connection:
        unguard(connection)
        connection.execute("UPDATE stays SET from_ms = 'x' WHERE session = 3")

    async def keys(stage):
        assert "are damaged ('x' is not what belongs there)" in stage.text()
        await stage.press("slash", *"boat shed", "enter")
        assert [row.value for row in stage.app.query_one("#sessions").rows] == ["3", "1"]
        await stage.press("down")
        assert "Boat shed door: session 1" in stage.text()

    played(keys, state=DryState("records"))


def test_the_session_asked_for_is_the_one_looked_at(own):  # noqa: F811
    keep_evenings()

    async def look(stage):
        assert "Harbour office, by the first tone: session 2" in stage.text()

    played(look, state=DryState("records", session=2))


# Set up


def test_a_setting_is_checked_as_it_is_typed_and_kept_when_it_is_left():
    comment = next(line for line in settings_file().read_text().splitlines() if line.startswith("# rate")).partition("  #")[2]

    async def keys(stage):
        rate = next(one for one in stage.app.query("One") if one.field.name == "rate").query_one(Input)
        rate.focus()
        await stage.press("end", "0")
        assert "write 80 to 260" in stage.text()
        await stage.press("backspace", "backspace", "0", "down")

    played(keys, state=DryState("setup"))
    assert read_settings().rate == 160
    assert any(line.startswith("rate = 160") and line.endswith(comment) for line in settings_file().read_text().splitlines())


def test_a_setting_that_is_chosen_by_the_mouse():
    async def clicks(stage):
        quiet = next(one for one in stage.app.query("One") if one.field.name == "quiet").query_one(Select)
        await stage.click(quiet)
        await stage.click(quiet.query_one("SelectOverlay"), (3, 1))

    played(clicks, state=DryState("setup"))
    assert read_settings().quiet is True


def test_settings_that_cannot_be_read_are_said_with_their_line():
    settings_file().write_text("rate = 400\n")

    async def look(stage):
        assert "settings.toml:1: rate = 400: write 80 to 260" in stage.text()

    played(look, state=DryState("setup"))


# All of it


PLACES = {
    "calculate": ("f3", "A time after lens"),
    "records": ("f4", "Nothing has been printed yet. F2 leads to the recipes"),
    "setup": ("f5", "rate"),
    "print": ("f2", "enter print"),
}
"""The key of every place, and what is there where nothing was ever printed."""


def test_every_place_is_reached_by_its_key_and_by_its_name_and_read_only_then():
    async def keys(stage):
        assert not stage.app.query("#records, #calculate, #setup").filter("Widget.place")
        for key, said in PLACES.values():
            await stage.press(key)
            assert said in stage.text()

    played(keys)

    async def clicks(stage):
        for place, (_, said) in PLACES.items():
            await stage.click(f"Tab#{place}")
            assert said in stage.text()

    played(clicks)


def test_escape_leads_to_the_row_of_names_along_it_into_a_place_and_out():
    async def keys(stage):
        await stage.press("escape", "right", "right")
        assert "Nothing has been printed" in stage.text()
        assert stage.app.query_one("Names").has_focus
        await stage.press("left", "left", "down", "down", "escape")
        assert "into the place" in stage.rows()[-1]
        await stage.press("enter", "enter")

    assert played(keys) == Chosen(RECIPES[1], COPIES[1], "paper")

    async def out(stage):
        await stage.press("escape")
        assert stage.app.is_running
        await stage.press("escape")

    assert played(out) is None


def test_help_is_on_one_key_in_our_own_words_and_one_key_puts_it_away():
    async def keys(stage):
        await stage.press("f1")
        assert "v look at it" in stage.text()
        assert "Cursor" not in stage.text()
        await stage.press("f1")
        assert stage.app.is_running
        await stage.press("f1", "escape", "enter")

    assert played(keys) == Chosen(RECIPES[0], COPIES[0], "paper")
