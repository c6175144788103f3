"""Whenever the screen has gone black the program paints all of it again, however late it looks at the size of its window."""

import sys

import pytest

from tests.dark.journey import Journey
from tests.dark.trips import ROOT

pytestmark = [pytest.mark.pty, pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")]

LATE = """
import os, sys
from assistant.terminal import brightness
from assistant.terminal.guard import guard

def paint(size, times):
    width, height = size
    rows = (f"\\x1b[{y};1H" + f"painted whole {times}".ljust(width) for y in range(1, height + 1))
    os.write(2, "".join(rows).encode())
    return size

if len(sys.argv) == 1:
    sys.exit(guard([sys.executable, "-c", open("/proc/self/cmdline").read().split("\\0")[2], "inside"]))
times = 1
known = paint(os.get_terminal_size(0), times)
while key := os.read(0, 1):
    if key == b"l":
        brightness.set_level("work")
    if key == b"p":
        os.write(2, b"\\x1b[2;1Ha piece")
    if key == b"w" and os.get_terminal_size(0) != known:  # only now it is seen that the window has changed
        times += 1
        known = paint(os.get_terminal_size(0), times)
"""


def late():
    return Journey([sys.executable, "-c", LATE], "capable", ROOT).until("painted whole 1").settle()


def test_after_another_level_with_a_piece_painted_first():
    with late() as trip:
        trip.press("l").until_gone("painted").press("p").until("a piece").settle(0.3)
        whole(trip)


def test_after_a_window_that_shrank_and_grew_before_it_was_looked_at():
    with late() as trip:
        trip.resize(100, 29).resize(100, 30).settle(0.3)
        whole(trip)


def whole(trip):
    """All is painted, and then once more for the window's true size."""
    trip.until_pressed("w", "painted whole 2").until_pressed("w", "painted whole 3")
    assert trip.settle().text().count("painted whole 3") == 30
