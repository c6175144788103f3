"""Which terminals are guarded, which are not, and in what words the printer is told."""

import pytest

from assistant.terminal.capabilities import Answers, CantBeDark, Terminal, by_name, declared, settled, understood, unguarded

NAMED = {
    "xterm-256color": "256",
    "xterm": "16",
    "rxvt-unicode-256color": "256",
    "foot": "true",
    "xterm-direct": "true",
    "vt220": "16",
}
SILENT = None
ALL = Answers(true_colour=True, red_ground=True, red_palette=True, name="a terminal")


@pytest.mark.parametrize("name", NAMED)
def test_the_likely_kind_by_name(name):
    assert by_name({"TERM": name}) == Terminal(NAMED[name])


def test_a_promise_of_24_bit_colour_is_believed_until_it_is_asked():
    likely = by_name({"TERM": "xterm-256color", "COLORTERM": "truecolor"})
    assert likely.kind == "true"
    assert settled(likely, SILENT).kind == "true"
    assert settled(likely, ALL._replace(true_colour=False)).kind == "256"
    assert settled(likely, ALL._replace(true_colour=None)).kind == "true"


def test_what_was_not_proved_is_a_caution():
    likely = by_name({"TERM": "xterm-256color"})
    assert settled(likely, ALL) == Terminal("true", obeys=True)
    assert "cover the screen" in settled(likely, SILENT).caution


@pytest.mark.parametrize(
    "environment",
    [
        {"TERM": "tmux-256color"},
        {"TERM": "screen"},
        {"TERM": "xterm-256color", "TMUX": "/tmp/x,1,0"},
        {"TERM": "xterm-256color", "STY": "1.x"},
        {"TERM": "xterm-256color", "ZELLIJ": "0"},
        {"TERM": "dumb"},
        {"TERM": ""},
        {},
    ],
)
def test_a_terminal_that_cannot_be_guarded_is_said_to_be_so(environment):
    with pytest.raises(CantBeDark) as refused:
        by_name(environment)
    assert str(refused.value).count(".") == 1
    assert "start traycall in a terminal window" in str(refused.value)


@pytest.mark.parametrize("answers", [SILENT, ALL._replace(true_colour=None, red_palette=False)])
def test_sixteen_colours_of_its_own_are_refused(answers):
    with pytest.raises(CantBeDark, match="256 colours"):
        settled(Terminal("16"), answers)


def test_sixteen_colours_that_can_be_set_are_taken():
    assert settled(Terminal("16"), ALL._replace(true_colour=None)).kind == "16"


def test_a_multiplexer_that_hides_its_name_is_known_by_its_answer():
    with pytest.raises(CantBeDark, match="multiplexer"):
        settled(Terminal("256"), ALL._replace(name="tmux 3.4"))


def test_without_a_guard_it_is_said_plainly_and_a_guard_asked_for_is_no_wish():
    refused = CantBeDark("This window is shared.")
    assert "There is no guard on this terminal" in unguarded(False)
    assert unguarded(None, refused).startswith("This window is shared. There is no guard")
    with pytest.raises(CantBeDark):
        unguarded(True, refused)


def test_answers_are_read_among_keys_that_were_pressed():
    said = (
        "a\x1b]10;rgb:0000/0000/0000\x1b\\q\x1b]11;rgb:0000/0000/0000\x07\x1b]12;rgb:00/00/00\x1b\\\x1b]4;2;rgb:0000/0000/0000\x1b\\"
        "\x1bP1$r0;38:2::7:0:0;48:2::0:0:0m\x1b\\\x1bP>|a terminal\x1b\\\x1b[?62;22c"
    )
    set_to = {"10": (0, 0, 0), "11": (0, 0, 0), "12": (0, 0, 0), "4;2": (0, 0, 0)}
    assert understood(said) == ALL._replace(before=set_to)
    assert understood("keys") is None
    assert understood("\x1b[?6c") == Answers(None, False, False, "")


def test_colours_that_were_told_when_all_was_black_already_are_not_given_back():
    white, black = (255, 255, 255), (0, 0, 0)
    assert declared({"10": black, "11": black, "4;1": black}, {}) == {}
    assert declared({"10": black, "11": white}, {}) == {"10": black, "11": white, "12": black}
    assert declared({"11": black}, {}) == {"11": black}
