"""What is typed during a session, and what is said where it can't be meant."""

import pytest

from assistant.session import happenings as h
from assistant.session.script import BadScript, read_script, typed


@pytest.mark.parametrize(
    ("line", "happening"),
    [
        ("", h.Tap()),
        ("void", h.Void()),
        ("void 2", h.Void(2)),
        ("moved 5s", h.Moved(None, 5_000)),
        ("reading developer 19.5", h.Reading("developer", 19.5)),
        ('reading "toned water" 20C', h.Reading("toned water", 20.0)),
        ("pick 3", h.Pick(3)),
    ],
)
def test_typed(line, happening):
    assert typed(line) == happening


def test_a_sleep_stands_in_a_script():
    assert read_script("600 woke 9:00", "night.script") == [(600_000, h.Woke(540_000))]
    with pytest.raises(BadScript, match="say since when"):
        read_script("600 woke", "night.script")
    with pytest.raises(ValueError, match="not known here"):
        typed("woke 9:00")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("reading developer warm", '"warm" is no temperature: write degrees Celsius, like developer 19.5'),
        ("reading developer", "say the tray and the degrees"),
        ("void two", '"two" is not the number of a copy'),
        ("pick", "say the number of the strip"),
        ("jump", '"jump" is not known here'),
    ],
)
def test_not_typed(line, said):
    with pytest.raises(ValueError, match=said.split(":")[0]):
        typed(line)
