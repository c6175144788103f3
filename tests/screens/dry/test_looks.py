"""Every place of the dry side in five sizes, kept as text; LOOKS=write writes them anew. Nothing painted is not red."""

import os
import re
from pathlib import Path

import pytest

from assistant.screens.dry.outside import DryState
from assistant.terminal.brightness import LEVELS
from assistant.trade.vision import contrast_on_black
from tests.screens.dry.stage import own, played  # noqa: F401
from tests.screens.evenings import keep_evenings

LOOKS = Path(__file__).parents[2] / "looks"
PLACES = {
    "print": ("print", ()),
    "calculate-strip": ("calculate", ("down",) * 3),
    "calculate-temperature": ("calculate", ("down",) * 12),
    "records": ("records", ()),
    "records-first-tones": ("records", ("down",)),
    "set-up": ("setup", ()),
}
DIALOGS = {
    "print": ("print", ("tab tab tab enter", "v", "c", "n", "s", "f1")),
    "a choice": ("calculate", ("down down down enter tab tab enter",)),
    "a fault": ("calculate", ("enter x",)),
    "nothing": ("records", ("",)),
    "voice": ("setup", ("enter",)),
}
"""Of a place, the keys that lead to one dialog after the other; escape leads out of each."""
LEAST = 3.0
"""Contrast of what is read, WCAG 2 for large text; a pure red has at most 5.25 and at level `setup` 3.7."""


USUAL, SMALLER, SMALLEST = (100, 30), (80, 24), (40, 20)
BETWEEN = ((60, 20), (160, 50))
"""Sizes that lie between or beyond others: not at every turn."""
STAYING = ("print", "records", "set-up")
"""Places of which a smaller window hides nothing that scrolls: made smaller they look like one that was opened so."""
CURVES = ("calculate-temperature", "records-first-tones")
"""Places that are like another one but for their curve: seen in a usual window and in the smallest."""


@pytest.mark.parametrize("name", STAYING)
def test_look_of_a_window_that_is_made_smaller(name, own):  # noqa: F811
    _looked_at(name, (USUAL, SMALLER))


@pytest.mark.parametrize(
    ("name", "size"),
    [
        *((name, SMALLEST) for name in PLACES),
        *((name, USUAL) for name in PLACES if name not in STAYING),
        ("calculate-strip", SMALLER),
        *(pytest.param(name, size, marks=pytest.mark.quiet) for name in PLACES if name not in CURVES for size in BETWEEN),
    ],
    ids=lambda value: value if isinstance(value, str) else f"{value[0]}x{value[1]}",
)
def test_look(name, size, own):  # noqa: F811
    _looked_at(name, (size,))


def _looked_at(name, sizes):
    place, keys = PLACES[name]
    if place == "records":
        keep_evenings()
    shown = {}

    async def look(stage):
        await stage.press(*keys)
        for size in sizes:
            if size != sizes[0]:
                await stage.pilot.resize_terminal(*size)
                await stage.settle()
            shown[size] = await stage.still()
            if size == USUAL:
                await _red_wherever_the_mouse_is(stage)

    played(look, state=DryState(place), size=sizes[0])
    for (width, height), rows in shown.items():
        text = "\n".join(rows) + "\n"
        file = LOOKS / f"dry-{name}-{width}x{height}.txt"
        if os.environ.get("LOOKS") == "write":
            file.write_text(text, encoding="utf-8")
        assert text == file.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", DIALOGS)
def test_dialogs_are_red_on_black_and_what_is_read_can_be_read(name, own):  # noqa: F811
    place, dialogs = DIALOGS[name]
    seen = []

    async def look(stage):
        for keys in dialogs:
            await stage.press(*keys.split())
            await _red_wherever_the_mouse_is(stage)
            seen.append(stage.text())
            if keys != dialogs[-1]:
                await stage.press("escape")

    played(look, state=DryState(place))
    assert len(set(seen)) == len(dialogs)


async def _red_wherever_the_mouse_is(stage):
    """All that is painted is red on black, and what is read can be read."""
    _red(stage)
    for x, y in ((2, 0), (4, 4), (60, 7)):
        await stage.pilot.hover(offset=(x, y))
        await stage.pilot.pause()
        _red(stage)


def _red(stage):
    for row in stage.segments():
        for text, style, _ in row:
            colours = [str(style.color.name), str(style.bgcolor.name)]
            assert all(re.fullmatch("#[0-9a-f]{2}0000", colour) for colour in colours), (text, colours)
            fore, back = (contrast_on_black(int(colour[1:3], 16)) for colour in colours)
            assert max(int(colour[1:3], 16) for colour in colours) <= LEVELS["setup"]
            if re.search(r"\w", text):
                assert fore / back >= LEAST, (text, colours)
