"""Every place of the dry side in five sizes, kept as text; LOOKS=write writes them anew. Nothing painted is not red."""

import os
import re
from pathlib import Path

import pytest

from assistant.screens.dry.outside import DryState
from assistant.terminal.brightness import LEVELS
from assistant.trade.vision import contrast_on_black
from tests.screens.dry.stage import SIZES, own, played  # noqa: F401
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
    "look": ("print", ("v",)),
    "copy": ("print", ("c",)),
    "new": ("print", ("n",)),
    "sound check": ("print", ("s",)),
    "keys": ("print", ("f1",)),
    "brightness": ("print", ("tab", "tab", "tab", "enter")),
    "a choice": ("calculate", (*("down",) * 3, "enter", "tab", "tab", "enter")),
    "a fault": ("calculate", ("enter", "x")),
    "nothing": ("records", ()),
    "voice": ("setup", ("enter",)),
}
LEAST = 3.0
"""Contrast of what is read, WCAG 2 for large text; a pure red has at most 5.25 and at level `setup` 3.7."""


CURVES = {"calculate-temperature", "records-first-tones"}
"""Places that are like another one but for their curve: seen in a usual window and in the smallest."""

BETWEEN = ((60, 20), (160, 50))
"""Sizes that lie between or beyond others: not at every turn."""


@pytest.mark.parametrize(
    ("name", "size"),
    [
        pytest.param(name, size, id=f"{name}-{size[0]}x{size[1]}", marks=[pytest.mark.quiet] if size in BETWEEN else [])
        for name in PLACES
        for size in SIZES
        if name not in CURVES or size in ((100, 30), (40, 20))
    ],
)
def test_look(name, size, own):  # noqa: F811
    place, keys = PLACES[name]
    if place == "records":
        keep_evenings()
    shown = []

    async def look(stage):
        await stage.press(*keys)
        shown.extend(stage.rows())
        if size == (100, 30):
            await _red_wherever_the_mouse_is(stage)

    played(look, state=DryState(place), size=size)
    text = "\n".join(shown) + "\n"
    file = LOOKS / f"dry-{name}-{size[0]}x{size[1]}.txt"
    if os.environ.get("LOOKS") == "write":
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", DIALOGS)
def test_a_dialog_is_red_on_black_and_what_is_read_can_be_read(name, own):  # noqa: F811
    place, keys = DIALOGS[name]

    async def look(stage):
        await stage.press(*keys)
        await _red_wherever_the_mouse_is(stage)

    played(look, state=DryState(place))


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
