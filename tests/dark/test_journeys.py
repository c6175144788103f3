"""The dark terminal from its first byte to its last, on every kind of terminal: the real program, and a hostile one.

Judged at every moment by two emulators that share nothing with the gate: not one cell with green or blue. What is left to
the terminal's own doing (new cells of a window that grows, where no colour can be set) must come with a caution.
"""

import contextlib
import signal
import sys
import time
from pathlib import Path

import pytest

from tests.dark.journey import Journey
from tests.dark.profiles import PROFILES, RARE, REFUSED

pytestmark = [pytest.mark.pty, pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")]

HERE = Path(__file__).parent
HOSTILE, PLANTED = str(HERE / "hostile.py"), str(HERE / "planted.py")
ROOT = {"PYTHONPATH": str(HERE.parents[1])}
QUICK = str(HERE.parent / "pty" / "quick.yaml")
STAYS, AGAIN, OFFER = "type  lights", "press Enter alone", "begin exposure"
F5, F6, F7, F8, F9, F10, F11 = (f"\x1b[{code}~" for code in (15, 17, 18, 19, 20, 21, 23))
BRIGHTEST = {F5: 0x40, F6: 0x70, F7: 0xD0}


CHECKED = """
import sys
from assistant.terminal.launch import guard
def first():
    raise SystemExit("row 3: no such tray")
guard([sys.executable, "-c", ""], first=first)
"""


def hostile(profile, how="guarded"):
    return Journey([sys.executable, HOSTILE, how], profile, ROOT).until("words to wait for").settle()


def session(profile, home, *words, how="guarded"):
    guard = "--guard" if how == "guarded" else "--no-guard"
    call = [sys.executable, PLANTED, how, "run", "--silent", guard, *words]
    return Journey(call, profile, {**ROOT, "TRAYCALL_HOME": str(home)})


def shipped(profile, home, *words):
    call = [sys.executable, "-m", "assistant", "run", QUICK, "--silent", "--guard", *words]
    return Journey(call, profile, {**ROOT, "TRAYCALL_HOME": str(home)})


def lit_again(trip):
    """Nothing but the word lights the terminal; then it is as it was before."""
    trip.go("wrong words").press("\x03\x1a\x1b[Alight\rq\r").settle()
    assert trip.code is None
    assert trip.faults == []
    code = trip.light_allowed().press("lights\r").ended()
    as_it_was(trip)
    return code


def as_it_was(trip):
    terminal = trip.emulator
    assert not terminal.on_other
    assert terminal.cursor_shown
    assert terminal.own_colours == terminal.own_before
    assert terminal.palette == terminal.palette_before
    assert not terminal.modes & {"?1000", "?1003", "?1004", "?1006", "?2004"}


def through_every_screen(trip):
    """Recipes, wet side, help, a line that is typed, three sizes, every level, noise in a blackout."""
    trip.until("What is printed?").go("choosing").press("\x1b[B+").settle().press("\r").until(OFFER)
    trip.go("tap").press(" ").settle()
    trip.go("help").press("?").settle().press("?").settle()
    trip.go("note").press("n").settle().press("green \u2705 ground\r").settle()
    for width, height in ((60, 20), (160, 50), (80, 24)):
        trip.go(f"{width}x{height}").resize(width, height).settle()


def levels(trip):
    """Each level is a ceiling; a blackout is black whatever is painted or resized, and gives way to a whole screen."""
    for key, most in BRIGHTEST.items():
        trip.go(f"level {most:x}").press(key).settle(0.2)
        assert 0 < trip.emulator.brightest() <= (max(95, most) if trip.profile is RARE["256 by name"] else most)
    trip.press(F5).settle(0.2).go("blackout").press(F8).settle()
    trip.press("hn" + F11).resize(90, 28).settle()
    assert trip.emulator.brightest() == 0
    trip.go("lifted").press("\x1b" + F5)


def judged(trip):
    assert trip.faults == []
    assert trip.emulator.judged > 50_000
    assert trip.emulator.own == [] or not trip.profile.obeys


@pytest.mark.parametrize("profile", PROFILES)
def test_a_session_lights_no_cell_on(profile, tmp_path):
    with session(profile, tmp_path) as trip:
        through_every_screen(trip)
        levels(trip)
        trip.until("? help")
        for how, key in (("a fault", F9), ("a fault in a library", F10)):
            trip.go(how).press(key).until(AGAIN).go("again").press("\r").until("? help")
        trip.go("killed").kill_program(signal.SIGKILL).until(AGAIN)
        judged(trip)
        assert lit_again(trip) == 128 + signal.SIGKILL


@pytest.mark.parametrize("profile", PROFILES)
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGKILL])
def test_after_a_signal_the_prompt_lands_in_red_on(profile, number, tmp_path):
    """A session that is ended from outside, or whose guard is killed: nothing of it goes on, and nothing lights."""
    with shipped(profile, tmp_path) as trip:
        trip.until(OFFER).settle()
        assert trip.go("signal").kill(number).ended() == (-number if number == signal.SIGKILL else 128 + number)
        if trip.profile.obeys:  # elsewhere a shell's own colours are its own
            trip.shell_prompt()
        assert trip.faults == []
        assert trip.emulator.on_other
        nobody_left(tmp_path)


def alive(home):
    """The processes that were given this home."""
    mark = f"TRAYCALL_HOME={home}".encode()
    return [process.name for process in Path("/proc").glob("[0-9]*") if mark in environment_of(process)]


def nobody_left(home):
    end = time.monotonic() + 8
    while left := alive(home):
        assert time.monotonic() < end, left


def environment_of(process):
    with contextlib.suppress(OSError):
        return (process / "environ").read_bytes()  # empty for a process that only waits to be buried
    return b""


def test_a_session_is_ended_by_hand_and_lit_by_the_word(tmp_path):
    with shipped("capable", tmp_path) as trip:
        trip.until(OFFER).press("e").settle(0.8).press("e").until(STAYS)
        assert "is kept: `traycall records show 1`" in trip.text()
        judged(trip)
        assert lit_again(trip) == 0


def test_what_keeps_a_session_from_beginning_is_said_in_red(tmp_path):
    with session("light theme", tmp_path, "--resume") as trip:
        trip.until(STAYS)
        assert "There is no session to go on with" in trip.text()
        assert AGAIN not in trip.text()
        assert lit_again(trip) == 1


def test_what_is_found_wrong_before_the_program_starts_is_said_in_the_light():
    with Journey([sys.executable, "-c", CHECKED], "light theme", ROOT) as trip:
        assert trip.ended() == 1
        as_it_was(trip)
        assert "row 3: no such tray" in trip.text()
        assert "start" in trip.emulator.phase


def test_a_session_in_a_blackout_paints_nothing(tmp_path):
    with shipped("capable", tmp_path, "--light", "blackout") as trip:
        trip.settle(0.6).press(" ").settle()
        assert trip.text().strip() == ""
        assert trip.emulator.brightest() == 0
        assert trip.faults == []
        assert trip.bytes > 1000


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGKILL])
def test_the_command_lights_what_was_left_in_the_dark(number, tmp_path):
    shell = f'"$0" -m assistant run {QUICK} --silent --guard; "$0" -m assistant lights'
    with Journey(["sh", "-c", shell, sys.executable], "light theme", {**ROOT, "TRAYCALL_HOME": str(tmp_path)}) as trip:
        trip.until(OFFER).settle()
        assert trip.faults == []
        trip.light_allowed().kill_program(number)
        assert trip.ended() == 0
        as_it_was(trip)
        assert trip.echoes()


def test_a_closed_window_ends_everything(tmp_path):
    """The kernel's own hang-up, with the sound's helper running too."""
    log, env = tmp_path / "said", {**ROOT, "TRAYCALL_HOME": str(tmp_path)}
    shell = f'trap : HUP; "$0" -m assistant run {QUICK} --guard 2>{log}; echo $? >{log}.code'
    with Journey(["sh", "-c", shell, sys.executable], "capable", env) as trip:
        trip.until(OFFER)
        assert len(alive(tmp_path)) >= 3  # shell, guard, program; the sound's helper where there is a device
        trip.hang_up()
        nobody_left(tmp_path)
        assert Path(f"{log}.code").read_text().strip() == str(128 + signal.SIGHUP)
        assert log.read_text() == ""


def test_a_signal_while_it_waits_for_the_word(tmp_path):
    with hostile("capable") as trip:
        trip.press("q").until(STAYS).kill(signal.SIGTERM)
        assert trip.ended() == 128 + signal.SIGTERM
        assert trip.shell_prompt().faults == []
        assert trip.emulator.on_other


def test_a_program_that_ignores_every_signal_is_ended_after_a_grace():
    with hostile("capable") as trip:
        program = trip.press("i").settle().program()
        trip.go("signal").kill(signal.SIGTERM).settle()
        assert trip.code is None
        assert trip.ended() == 128 + signal.SIGTERM
        assert not Path(f"/proc/{program}").exists()
        assert trip.shell_prompt().faults == []


def test_a_stopped_and_continued_guard_takes_the_terminal_anew():
    with hostile("capable") as trip:
        trip.go("stopped").kill(signal.SIGSTOP).settle()
        trip.shell_prompt().go("continued").kill(signal.SIGCONT).until_gone("boatyard").until("words to wait for").settle()
        assert trip.faults == []


@pytest.mark.parametrize("profile", ["capable", "ignores every OSC", *RARE])
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
