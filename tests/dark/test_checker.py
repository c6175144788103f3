"""The checker sees: every way of lighting a cell, planted alone, is found."""

import pytest

from tests.dark.emulator import Emulator
from tests.dark.journey import PROMPT
from tests.dark.profiles import PROFILES, Profile

DARK = "\x1b[?25l\x1b]10;rgb:40/00/00\x1b\\\x1b]11;rgb:00/00/00\x1b\\\x1b]12;rgb:40/00/00\x1b\\"
RED = "\x1b[0;38;2;64;0;0;48;2;0;0;0m"


def dark(profile="capable"):
    """A terminal that a program has made dark, by hand."""
    emulator = Emulator(40, 10, PROFILES[profile])
    emulator.feed(PROMPT + DARK + RED + "\x1b[?1049h\x1b[2J" + RED)
    assert emulator.faults == []
    return emulator


PLANTED = {
    "the first screen's pen": ("\x1b[?1049l\x1b[Kx", "screen"),
    "green letters": ("\x1b[32mx", "painted"),
    "one part of green": ("\x1b[38;2;64;1;0mx", "painted"),
    "one part of blue behind a space": ("\x1b[48;2;0;0;1m ", "painted"),
    "letters after a reset on a grey ground": ("\x1b[0m \x1b[K\x1b]11;rgb:1e/1e/1e\x1b\\", "screen"),
    "swapped": ("\x1b[38;2;0;9;0m\x1b[7m ", "painted"),
    "erased to blue": ("\x1b[44m\x1b[2J", "erased"),
    "a line erased": ("\x1b[44m\x1b[K", "erased"),
    "scrolled in": ("\x1b[42m\x1b[S", "erased"),
    "scrolled in by a line feed": ("\x1b[10;1H\x1b[42m\n", "erased"),
    "inserted": ("\x1b[42m\x1b[2@", "erased"),
    "a palette entry in use": ("\x1b[31mx\x1b]4;1;#00ff00\x07", "screen"),
    "the window's letters": ("\x1b[0mx\x1b]10;#ffffff\x07", "screen"),
    "a reversed screen": ("\x1b[38;2;0;9;0;48;2;0;0;0m \x1b[?5h", "screen"),
    "the first screen": ("\x1b[?1049l", "screen"),
    "a cursor": ("\x1b]12;#ffffff\x07\x1b[?25h", "cursor"),
    "a picture": (RED + "\u2705", "painted"),
    "a letter made a picture": (RED + "\u25b6\ufe0f", "painted"),
    "a pictograph": (RED + "\U0001f7e2", "painted"),
    "a bell": ("\x07", "control"),
    "an image": ("\x1bP0;0q#0~\x1b\\", "string"),
    "a link": ("\x1b]8;;http://localhost\x1b\\", "string"),
    "a notice": ("\x1b]777;notify;a;b\x07", "string"),
    "a private string": ("\x1b_traycall;x;setup\x1b\\", "string"),
    "a full reset": ("\x1bc", "escape"),
    "a bold letter": (RED + "\x1b[1mx", "mark"),
    "an eight-bit control": ("\x9b32m", "control"),
}


@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_fault_is_seen(name):
    planted, kind = PLANTED[name]
    for cut in (len(planted), 1, len(planted) // 2):
        emulator = dark()
        emulator.feed(planted[:cut])
        emulator.feed(planted[cut:])
        assert kind in {fault.kind for fault in emulator.faults}


def test_red_on_black_is_no_fault():
    emulator = dark()
    emulator.feed(RED + "steps \u2501\u2588\u2591 in red\r\n\t\x1b[5;5H\x1b[K\x1b[2J\x1b[3S\x1b[2@\x1b[38:2::9:0:0mx" + RED + "z")
    assert emulator.faults == []
    assert emulator.brightest() == 64
    assert emulator.judged > 40


def test_a_terminal_without_24_bit_colour_takes_its_numbers_for_codes():
    """38;2;32;0;0 is then: nothing, dim, green, all off, all off. What follows is in the window's own colours."""
    emulator = dark("256 only")
    emulator.feed("\x1b[38;2;32mx")
    assert "painted" in {fault.kind for fault in emulator.faults}


def test_what_a_terminal_does_by_itself_is_kept_apart():
    emulator = Emulator(40, 10, PROFILES["ignores every OSC"])
    emulator.feed(PROMPT + DARK + RED + "\x1b[?1049h\x1b[2J")
    emulator.resize(50, 10)
    assert [fault.kind for fault in emulator.own] == ["grown"]
    assert emulator.faults == []


def test_colours_pushed_and_popped_are_seen():
    emulator = Emulator(40, 10, PROFILES["a stack of colours"])
    emulator.feed("\x1b[#P" + PROMPT + DARK + RED + "\x1b[?1049h\x1b[2J\x1b[0m ")
    assert emulator.faults == []
    emulator.feed("\x1b[#Q")
    assert {fault.kind for fault in emulator.faults} == {"screen"}


def test_an_entry_that_a_theme_has_changed_is_seen():
    emulator = Emulator(40, 10, PROFILES["a themed palette"])
    emulator.feed("\x1b[?25l\x1b]10;rgb:40/00/00\x1b\\\x1b]11;rgb:00/00/00\x1b\\\x1b[48;5;16m\x1b[?1049h")
    assert {fault.kind for fault in emulator.faults} == {"screen"}


def test_a_border_of_its_own_is_seen():
    emulator = Emulator(40, 10, PROFILES["urxvt"])
    emulator.feed(DARK + "\x1b[0;38;5;52;48;5;16m\x1b[?1049h\x1b[2J")
    assert {fault.kind for fault in emulator.faults} == {"border"}


def test_a_cursor_that_is_brightened_is_seen():
    emulator = dark("alacritty")
    emulator.feed("\x1b[?25h")
    assert {fault.kind for fault in emulator.faults} == {"cursor"}


def test_black_on_black_cannot_be_read():
    emulator = dark()
    emulator.feed("\x1b[Hseen\x1b[38;2;0;0;0munseen")
    assert emulator.text().strip() == "seen"


def test_a_terminal_that_takes_a_question_for_restoring_its_cursor_takes_the_pen_with_it():
    emulator = dark("st")
    emulator.feed("\x1b[38;2;0;0;0m\x1b[s" + RED + "\x1b[?ux")
    assert emulator.text().strip() == ""


def test_the_pen_that_was_saved_comes_back_with_the_first_screen():
    emulator = Emulator(40, 10, PROFILES["capable"])
    emulator.feed(PROMPT + RED + "\x1b[?1049h\x1b[0m\x1b[?1049l")
    assert emulator.letters == ("rgb", 64, 0, 0)


def test_bytes_are_letters_only_when_it_reads_them_so():
    emulator = Emulator(40, 10, Profile(utf8=False))
    emulator.feed(DARK + RED + "\x1b[?1049h\x1b[2J" + RED)
    emulator.feed("\x1b%GÛ32m")
    assert emulator.faults == []
    emulator = Emulator(40, 10, Profile(utf8=False))
    emulator.feed(DARK + RED + "\x1b[?1049h\x1b[2J" + RED + "Û32m")  # its second byte is a control sequence's beginning
    assert {fault.kind for fault in emulator.faults} == {"control"}
