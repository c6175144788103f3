"""What of all that a terminal sends is the press of a key or a button, and what is not."""

import pytest

from assistant.terminal.dark_exit import Typed
from assistant.terminal.parser import Keystrokes

PRESSES = {
    "a letter": b"a",
    "a letter of two bytes": "\u00e9".encode(),
    "no letter at all": b"\xe9",
    "enter": b"\r",
    "a control": b"\x0c",
    "an arrow": b"\x1b[A",
    "page down": b"\x1b[6~",
    "a function key": b"\x1bOP",
    "a late function key": b"\x1b[25~",
    "a function key of the console": b"\x1b[[A",
    "with Alt": b"\x1bx",
    "with modifiers": b"\x1b[1;5C",
    "a reported press": b"\x1b[97;1:1u",
    "a reported key": b"\x1b[57376u",
    "a mouse button": b"\x1b[<0;10;4M",
    "a mouse button in the oldest encoding": b"\x1b[M !!",
}
NONE = {
    "colours": b"\x1b]11;rgb:0000/0000/0000\x1b\\",
    "colours, ended by a bell": b"\x1b]4;2;rgb:0000/0000/0000\x07",
    "attributes": b"\x1b[?62;22c",
    "settings": b"\x1bP1$r0m\x1b\\",
    "its name": b"\x1bP>|xterm(379)\x1b\\",
    "flags": b"\x1b[?0u",
    "a mode": b"\x1b[?2026;2$y",
    "focus": b"\x1b[I\x1b[O",
    "a release": b"\x1b[97;1:3u",
    "a repeat": b"\x1b[97;1:2u",
    "a mouse button that goes up": b"\x1b[<0;10;4m",
    "the oldest encoding of that": b"\x1b[M#!!",
    "movement": b"\x1b[<35;10;4M",
    "the wheel": b"\x1b[<64;10;4M",
    "a paste": b"\x1b[200~lights\r\x1b[201~",
}


@pytest.mark.parametrize("name", PRESSES)
def test_a_press_is_one(name):
    strokes = Keystrokes()
    assert len(strokes.feed(PRESSES[name]) + strokes.feed(b"")) == 1


@pytest.mark.parametrize("name", NONE)
def test_anything_else_is_none_however_it_is_cut(name):
    for cut in range(len(NONE[name]) + 1):
        strokes = Keystrokes()
        assert strokes.feed(NONE[name][:cut]) + strokes.feed(NONE[name][cut:]) == []


def test_a_lone_escape_is_a_key_when_nothing_follows():
    strokes = Keystrokes()
    assert strokes.feed(b"\x1b") == []
    assert strokes.feed(b"") == ["\x1b"]


def test_a_paste_without_its_end_is_over_when_it_has_been_quiet():
    now = [0.0]
    strokes = Keystrokes(lambda: now[0])
    assert strokes.feed(b"\x1b[200~" + b"x" * 5000) == []
    now[0] = 0.1
    assert strokes.feed(b"y") == []
    now[0] = 0.6
    assert strokes.feed(b"z") == ["z"]


def test_the_word_is_read_among_answers_and_a_pedal_is_a_tap():
    typed = Typed()
    assert typed.take(b"lig\x1b]11;rgb:0000/0000/0000\x1b\\ht\x1b[?62;22cs\r") == ["lights"]
    assert typed.take(b"\x1b[6~") == [""]
    assert typed.take(b"\x03") == []
    assert typed.take(b"l\x1b[6~ights\r") == ["lights"]
