"""What terminals send, read through the parser that stands before Textual's: keys stay keys, answers are no keys.

The encodings: ECMA-48, xterm's control sequences and the progressive keyboard protocol, written out from their documents.
"""

import asyncio
import os
import queue
import random
import select
import threading
import tty

import pytest
from textual import events
from textual._xterm_parser import XTermParser
from textual.app import App

from assistant.screens import keyboard
from assistant.screens.keyparser import KeyboardReports, KeyParser, KeyReport
from tests import waiting

ANSWERS = {
    "device attributes": "\x1b[?62;22c",
    "secondary attributes": "\x1b[>41;379;0c",
    "ground": "\x1b]11;rgb:0000/0000/0000\x1b\\",
    "ground, ended by a bell": "\x1b]11;rgb:0000/0000/0000\x07",
    "palette": "\x1b]4;2;rgb:4040/0000/0000\x1b\\",
    "colours set": "\x1bP1$r0;38:2::7:0:0m\x1b\\",
    "name": "\x1bP>|Terminal(379)\x1b\\",
    "window": "\x1b[4;600;800t",
    "size": "\x1b[48;30;100;0;0t",
    "mode": "\x1b[?2048;0$y",
    "checksum": "\x1bP1!~00FF\x1b\\",
    "status": "\x1b[0n",
    "application": "\x1b_Gi=1;OK\x1b\\",
}
KEYS = {
    " ": "space", "\r": "enter", "a": "a", "\x1b[6~": "pagedown", "\x1b[A": "up", "\x1bOP": "f1", "\x1b[[A": "f1",
    "\x1b[25~": "f13", "\x1b[34~": "f20", "\x1b[57376u": "f13", "\x1b[57383;1:1u": "f20", "\x1b[1;5A": "ctrl+up",
    "\x1b[97;;97u": "a", "\x1b[32u": "space", "\x1b[6;1:1~": "pagedown", "\x1b[97:65;2:1;65u": "A", "\x03": "ctrl+c",
}  # fmt: skip


def read(text, parser=None):
    """All messages, with the time given that a torn or a lone escape needs."""
    parser = parser or KeyParser()
    messages = list(parser.feed(text)) if text else []
    parser._torn_at = 0.0
    messages += parser.tick()
    if parser._timeout_time is not None:
        parser._timeout_time = 0.0
    return messages + list(parser.tick())


@pytest.mark.parametrize("answer", ANSWERS.values(), ids=ANSWERS)
def test_an_answer_of_the_terminal_is_no_key(answer):
    assert read(answer) == []
    for cut in range(1, len(answer)):
        parser = KeyParser()
        assert [*parser.feed(answer[:cut]), *read(answer[cut:], parser)] == [], cut
    keys = read("x" + answer + "y")
    assert [event.key for event in keys] == ["x", "y"]


def test_textual_alone_takes_an_answer_for_keys():
    """The reason for all this; when it fails, Textual has been mended and the parser can go."""
    raw = XTermParser()
    assert len([*raw.feed(ANSWERS["ground"]), *raw.feed("")]) > 10
    with pytest.raises(ValueError, match="invalid literal"):
        list(XTermParser().feed("\x1b[97;1:3u"))


@pytest.mark.parametrize(("sent", "key"), KEYS.items())
def test_a_key_is_that_key(sent, key):
    assert [event.key for event in read(sent)] == [key]
    assert all(type(event) is events.Key for event in read(sent))


@pytest.mark.parametrize(("sent", "key"), [("97;1{}u", "a"), ("6;1{}~", "pagedown"), ("57376;1{}u", "f13"), ("1;1{}P", "f1")])
def test_press_repeat_and_release_are_told_apart(sent, key):
    press, again, release = (read("\x1b[" + sent.format(kind))[0] for kind in (":1", ":2", ":3"))
    assert (type(press), type(again), type(release)) == (events.Key, KeyReport, KeyReport)
    assert (again.down, release.down) == (True, False)
    assert press.key == again.key == release.key == key


NOTHING = ["57441u", "57441;2:1u", "57441;2:3u", "57358u", "1114112u", "9999999999u"]


@pytest.mark.parametrize("sent", ["\x1b[" + body for body in NOTHING])
def test_a_modifier_alone_and_a_number_that_is_no_character_are_nothing(sent):
    assert read(sent) == []


def test_clicks_in_two_encodings():
    for down, up in (("\x1b[<0;3;4M", "\x1b[<0;3;4m"), ("\x1b[M #$", "\x1b[M##$")):
        pressed, let_go = read(down + up)
        assert isinstance(pressed, events.MouseDown)
        assert isinstance(let_go, events.MouseUp)
        assert (pressed.x, pressed.y) == (2, 3)


def test_the_terminal_says_whether_it_reports_releases():
    assert [(type(found), found.releases) for found in read("\x1b[?27u")] == [(KeyboardReports, True)]
    assert [found.releases for found in read("\x1b[?25u")] == [False]


def test_escape_alone_focus_and_paste():
    assert [event.key for event in read("\x1b")] == ["escape"]
    assert [event.key for event in read("\x1bx")] == ["alt+x"]
    assert [type(event) for event in read("\x1b[I\x1b[O")] == [events.AppFocus, events.AppBlur]
    pasted = read("\x1b[200~one \x1b[31mtwo\x1b]11;?\x07\x1b[201~k")
    assert [type(event) for event in pasted] == [events.Paste, events.Key]
    assert pasted[0].text == "one two"


def test_nothing_that_comes_breaks_the_reading():
    chance = random.Random(57441)
    pieces = ["\x1b", "\x07", *"[]?;:1u~MmA<ct é", "97", "$y", "\\", "200~", "201~"]
    parser = KeyParser()
    for _ in range(3000):
        read("".join(chance.choices(pieces, k=chance.randrange(1, 12))), parser)
    assert [event.key for event in read("\x1b\\\x1b[201~ ", parser) if isinstance(event, events.Key)][-1] == "space"


def test_the_driver_reads_through_it_and_sleeps_until_something_comes(monkeypatch):
    waits, came = [], queue.Queue()

    def recorded(*ready_in):
        waits.append(ready_in[3])
        return real(*ready_in)

    async def read_on(typed):
        driver = keyboard.Keyboard(App())
        driver.fileno, driver.process_message = typed, came.put
        thread = threading.Thread(target=driver.run_input_thread)
        thread.start()
        found = []
        for sent in (b"a", b"\xff", b"\x1b[<0;3;4M", b"\x1b"):
            os.write(terminal, sent)
            found.append(came.get(timeout=waiting.LONGEST))
        driver._key_thread = thread
        driver.disable_input()
        os.close(terminal)
        os.close(typed)
        return found, thread

    real = select.select
    terminal, typed = os.openpty()
    tty.setraw(typed)
    monkeypatch.setattr(keyboard.select, "select", recorded)
    monkeypatch.setattr(keyboard.LinuxDriver, "_disable_mouse_support", lambda driver: None)  # nothing is painted here
    found, thread = asyncio.run(read_on(typed))
    assert not thread.is_alive()
    keys = [getattr(message, "key", type(message)) for message in found]
    assert keys == ["a", "replacement_character", events.MouseDown, "escape"]
    assert (waits[0], waits[-1]) == (None, None), "nothing is begun: it sleeps"
    assert set(waits) == {None, keyboard.TICK}, "a lone escape is looked at again"
