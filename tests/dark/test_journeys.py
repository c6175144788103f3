"""The dark terminal from its first byte to its last, on every kind of terminal: the real program, and a hostile one.

Judged at every moment by two emulators that share nothing with the gate: not one cell with green or blue. What is left to
the terminal's own doing (new cells of a window that grows, where no colour can be set) must come with a caution.
"""

import signal
import sys

import pytest

from assistant import places
from tests.dark.journey import Journey
from tests.dark.profiles import PROFILES, RARE, REFUSED
from tests.dark.trips import (
    AGAIN,
    BRIGHTEST,
    F5,
    F8,
    F9,
    F10,
    F11,
    HOSTILE,
    OFFER,
    QUICK,
    ROOT,
    STAYS,
    hostile,
    judged,
    lit_again,
    session,
    shipped,
)
from tests.screens.evenings import keep_evenings

FIRST, SECOND = sorted(file.stem for file in places.shipped("recipes").glob("*.yaml"))[:2]

TAKEN_AGAIN = ("capable", "a stack of colours", "st", "urxvt")
"""The kinds of terminal that differ most in how the screen is taken again after a fault or a kill."""

LIKE_OTHERS = ("256 only", "a themed palette", "alacritty", "answers late")
"""The kinds that differ from others in how colours are set, not in how screens are drawn: the wet side alone."""

pytestmark = [pytest.mark.pty, pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")]


def through_every_screen(trip):
    """Recipes, wet side, help, a line that is typed, three sizes, every level, noise in a blackout."""
    trip.until(f" of {FIRST}").until("enter print").go("choosing").press("\x1b[B").until(f" of {SECOND}")
    trip.press("+").settle().press("\r").until(OFFER)
    trip.go("tap").press(" ").settle()
    trip.go("help").press("?").settle().press("?").settle()
    trip.go("note").press("n").settle().press("green \u2705 ground\r").settle()
    for width, height in ((60, 20), (160, 50), (80, 24)):
        trip.go(f"{width}x{height}").resize(width, height).settle()


def levels(trip):
    """Each level is a ceiling; a blackout is black whatever is painted or resized, and gives way to a whole screen."""
    for key, most in BRIGHTEST.items():
        most = max(95, most) if trip.profile is RARE["256 by name"] else most
        trip.go(f"level {most:x}").press(key).until_brightest(most)
    trip.press(F5).settle(0.2).go("blackout").press(F8).settle()
    trip.press("ln" + F11).resize(90, 28).settle()
    assert trip.emulator.brightest() == 0
    trip.go("lifted").press("\x1b" + F5)


@pytest.mark.parametrize(
    "profile", [pytest.param(one, marks=pytest.mark.quiet) if one in LIKE_OTHERS else one for one in PROFILES]
)
def test_a_session_lights_no_cell_on(profile, tmp_path):
    whole = profile not in LIKE_OTHERS
    with session(profile, tmp_path, *([] if whole else [QUICK])) as trip:
        through_every_screen(trip) if whole else trip.until(OFFER).settle()
        levels(trip)
        trip.until("? keys")
        if profile not in TAKEN_AGAIN:
            trip.until_pressed("\x03", STAYS)
            judged(trip)
            assert lit_again(trip) == 0
            return
        trip.go("a fault").gone_on(lambda: trip.press(F9)).until("? keys")
        trip.go("a fault in a library").gone_on(lambda: trip.press(F10)).until("? keys")
        trip.go("killed").gone_on(lambda: trip.kill_program(signal.SIGKILL)).until("? keys")
        trip.go("killed once more").kill_program(signal.SIGKILL).until(AGAIN)
        trip.go("gone on with by a pedal").gone_on(lambda: trip.press("\x1b[6~")).until("? keys")
        trip.go("killed again").kill_program(signal.SIGKILL).until(AGAIN)
        trip.press("li").resize(100, 30).settle()
        assert trip.emulator.lit() == 0
        assert "  li\n" in trip.press("\x7f\x7f").text()
        judged(trip)
        assert lit_again(trip) == 128 + signal.SIGKILL


def test_a_session_in_a_blackout_paints_nothing(tmp_path):
    with shipped("capable", tmp_path, "--light", "blackout") as trip:
        trip.painted(1000).press(" ").settle()
        assert trip.text().strip() == ""
        assert trip.emulator.brightest() == 0
        assert trip.faults == []


def pointed(trip, *places):
    """The mouse moved over these columns and rows."""
    for x, y in places:
        trip.press(f"\x1b[<35;{x};{y}M").settle(0.05)


def test_the_places_of_the_dry_side_light_no_cell(tmp_path, monkeypatch):
    """Every place and dialog, what has the focus, and what the mouse is over."""
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)  # a sound file is written where one is
    keep_evenings((("boat-shed-door", 1),))
    call = [sys.executable, "-m", "assistant", "run", "--silent", "--guard"]
    with Journey(call, "capable", {**ROOT, "TRAYCALL_HOME": str(tmp_path)}) as trip:
        trip.until(f" of {FIRST}").go("pointing")
        pointed(trip, (3, 1), (14, 1), (5, 4), (60, 3), (70, 6), (55, 12), (99, 15), (8, 30))
        trip.go("keys").press("\x1b[11~").settle().press("\x1b[11~").settle()
        for dialog, key, said in (
            ("text", "v", "came with the program"),
            ("copy", "c", "A copy of "),
            ("new", "n", "how many prints alike"),
            ("sound", "s", "do you hear"),
            ("plan", "p", "several copies at once"),
            ("baths", "h", "Baths in use"),
        ):
            trip.go(dialog).press(key).until(said).settle().press("\t").settle(0.05)
            pointed(trip, (50, 13), (50, 16), (30, 18), (99, 15), (8, 30))
            trip.press("\x1b").until("enter print")
        trip.go("sound file").press("w").until("is being written").press("\x1b[<35;50;13M\t\x1b[<35;99;15M\x1b").until("Stopped.")
        trip.go("toast").press("e").until("This one came")
        trip.go("worksheets").press("\x1bOR").until("A time after lens")
        for _ in range(14):
            trip.press("\x1b[B").settle(0.05)
        trip.go("fields").press("\r").settle().press("x\t\tx").settle()
        trip.go("records").press("\x1bOS").until("true times").press("/").settle().press("shed")
        pointed(trip, (10, 3), (10, 6), (60, 14), (99, 15))
        trip.press("\t").settle(0.05)
        trip.go("settings").press("\x1b[15~").until("words a minute").press("\t" * 8).settle()
        for width, height in ((60, 20), (40, 20), (160, 50)):
            trip.go(f"{width}x{height}").resize(width, height).settle()
        trip.go("print").press("\x1bOQ").until(f" of {FIRST}")
        trip.go("brightness").press("bb").settle().press("\r").until("safelight only")
        judged(trip)


def test_a_recipe_in_total_darkness_blacks_the_screen_out_by_itself(tmp_path):
    call = [sys.executable, "-m", "assistant", "run", "film-in-trays", "--silent", "--guard"]
    with Journey(call, "capable", {**ROOT, "TRAYCALL_HOME": str(tmp_path)}) as trip:
        trip.until("any key begins").until_gone("any key begins").settle()
        assert trip.text().strip() == ""
        assert trip.emulator.brightest() == 0
        trip.go("in the dark").press(" ").settle().resize(80, 24).settle()
        assert trip.emulator.brightest() == 0
        assert trip.faults == []


@pytest.mark.parametrize("profile", ["capable", *RARE])
def test_a_hostile_program_lights_no_cell_on(profile):
    with hostile(profile) as trip:
        trip.go("dialog").press("d").until("A dialog").settle()
        trip.go("closing").press("\x1b").until_gone("A dialog").settle()
        trip.go("toast").press("t").until("A toast").settle()
        trip.go("raw").press("r").settle().go("noise").press("n").settle()
        trip.go("typing").press("\t\tgreen\t").settle()
        trip.go("pointing").press("\x1b[<35;12;2M\x1b[<0;4;9M\x1b[<32;14;10M\x1b[<0;14;10m").settle()
        for width, height in ((120, 40), (60, 20), (100, 30)):
            trip.go(f"{width}x{height}").resize(width, height).settle()
            assert trip.emulator.lit() == 0
        levels(trip)
        trip.go("theme").until("words").press("l").settle().go("end").press("q").until(STAYS)
        judged(trip)


@pytest.mark.parametrize("profile", REFUSED)
def test_a_terminal_that_cannot_be_dark_is_refused_in_a_sentence_and_left_as_it_was(profile):
    with Journey([sys.executable, HOSTILE, "guarded"], profile, ROOT) as trip:
        assert trip.ended() == 1
        assert "--plain" in trip.text()
        assert "Traceback" not in trip.text()
        assert not trip.emulator.on_other
        assert trip.emulator.own_colours == trip.emulator.own_before
        assert trip.emulator.cursor_shown


def test_without_a_guard_the_same_session_is_seen_to_light(tmp_path):
    """The twin: same program, same keys, no guard. Every one of these steps is seen."""
    with session("capable", tmp_path, QUICK, how="bare") as trip:
        trip.until(OFFER).go("noise").press(F11).settle()
        trip.go("fault").press(F9).ended()
        assert {"noise", "fault"} <= {fault.phase for fault in trip.emulator.faults}
        assert {"painted", "screen", "mark"} <= trip.kinds()
        assert trip.second.lit


def test_without_a_guard_the_hostile_program_is_seen_to_light():
    with hostile("capable", "bare") as trip:
        trip.go("dialog").press("d").until("A dialog").settle()
        trip.go("closing").press("\x1b").until_gone("A dialog").settle()
        trip.go("toast").press("t").until("A toast").settle()
        trip.go("end").press("q").ended()
        assert {"start", "dialog", "closing", "toast", "end"} <= {fault.phase for fault in trip.emulator.faults}
        assert len(trip.second.lit) > 1000
