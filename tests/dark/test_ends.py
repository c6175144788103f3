"""Every way in which a guarded session can end: by hand, by a fault, by a signal, with its window, with its guard."""

import signal
import sys
from pathlib import Path

import pytest

from tests import waiting
from tests.dark.journey import Journey
from tests.dark.profiles import PROFILES
from tests.dark.trips import (
    OFFER,
    QUICK,
    ROOT,
    STAYS,
    alive,
    as_it_was,
    calls,
    environment_of,
    hostile,
    judged,
    lit_again,
    nobody_left,
    session,
    shipped,
)

pytestmark = [pytest.mark.pty, pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")]

FAULTY = """
import sys
from assistant.terminal import guard, supervisor
def fault(self):
    raise ValueError("a fault of the guard itself")
supervisor.Supervisor._typed = fault
sys.exit(guard.guard([sys.executable, "-c", "import signal; print('be' 'gun', flush=True); signal.pause()"]))
"""
WAITS = """
import sys
from assistant.terminal.guard import guard
sys.exit(guard([sys.executable, "-S", "-c", "import signal; print('be' 'gun', flush=True); signal.pause()"]))
"""
CHECKED = """
import sys
from assistant.terminal.guard import guard
def first():
    raise SystemExit("row 3: no such tray")
guard([sys.executable, "-c", ""], first=first)
"""


@pytest.mark.parametrize(
    ("profile", "number"),
    [*((name, signal.SIGTERM) for name in PROFILES), *((name, signal.SIGKILL) for name in ("capable", "st", "urxvt"))],
)
def test_after_a_signal_the_prompt_lands_in_red_on(profile, number, tmp_path):
    """A session that is ended from outside, or whose guard is killed: nothing of it goes on, and nothing lights.

    What differs from one kind of terminal to the next is the guard's doing, whatever it guards: there a program that waits.
    """
    whole, home = profile == "capable", {**ROOT, "TRAYCALL_HOME": str(tmp_path)}
    with shipped(profile, tmp_path) if whole else Journey([sys.executable, "-c", WAITS], profile, home) as trip:
        trip.until(OFFER if whole else "begun").settle()
        assert trip.go("signal").kill(number).ended() == (-number if number == signal.SIGKILL else 128 + number)
        if trip.profile.obeys:  # elsewhere a shell's own colours are its own
            trip.shell_prompt()
        assert trip.faults == []
        assert trip.emulator.on_other
        nobody_left(tmp_path)


def test_a_session_is_ended_by_hand_and_lit_by_the_word(tmp_path):
    with shipped("capable", tmp_path) as trip:
        trip.until(OFFER).press("e").until("once more to end").rest().press("e").until(STAYS)
        assert "see `traycall records show 1`" in trip.text()
        judged(trip)
        assert lit_again(trip) == 0


@pytest.mark.parametrize("profile", ["capable", "light theme", "a stack of colours", "st", "urxvt"])
def test_a_refusal_to_begin_needs_no_word(profile, tmp_path):
    """No paper is out: the terminal is as it was, and the sentence can be read."""
    with session(profile, tmp_path, "--resume") as trip:
        assert trip.ended() == 1
        assert "There is no session to resume" in trip.text()
        as_it_was(trip)


OTHERS = (("a stack of colours", ()), ("st", pytest.mark.quiet), ("urxvt", pytest.mark.quiet))
"""The kinds that differ most in how colours are kept and given back, and the one of them that is seen at every turn."""
CALLS = {
    "a file that is not there": "run no-such-recipe",
    "nothing to go on with": "new run --resume --silent",
    "a wrong word": f"run {QUICK} --silnt",
}
RUN = f"run {QUICK} --silent --guard"
RESUME = "run --resume --silent --guard"


@pytest.mark.parametrize(
    ("profile", "call"),
    [("capable", call) for call in CALLS] + [pytest.param(name, "a wrong word", marks=marks) for name, marks in OTHERS],
)
def test_a_call_that_cannot_begin_lights_no_dark_prompt(profile, call, tmp_path):
    """A session was ended from outside, and the sheet is still out: what is answered to the next call is red."""
    with calls(profile, tmp_path, RUN, CALLS[call], "lights") as trip:
        trip.until(OFFER).settle().go("signal").kill_program(signal.SIGTERM).until("ended 143")
        trip.go("answered").press("\n").until("call 2 ended")
        assert trip.shell_prompt().faults == []
        assert trip.light_allowed().press("\n").ended() == 0
        as_it_was(trip)


@pytest.mark.parametrize("profile", ["capable", *(pytest.param(name, marks=marks) for name, marks in OTHERS)])
def test_a_session_gone_on_with_after_a_signal_gives_back_what_the_first_one_found(profile, tmp_path):
    with calls(profile, tmp_path, RUN, RESUME) as trip:
        trip.until(OFFER).settle().go("signal").kill_program(signal.SIGTERM).until("ended 143")
        trip.go("again").press("\n").until_gone("ended 143").until(OFFER)
        trip.until_pressed("\x03", STAYS)
        assert lit_again(trip) == 0


def test_total_darkness_lasts_over_a_signal(tmp_path):
    """Film is out: from the signal until the session is on the screen again nothing but black is painted."""
    with calls("capable", tmp_path, "run film-in-trays --silent --guard", RESUME) as trip:
        trip.settle(3).press(" ").settle()
        program = trip.brightest_from_now().children()
        trip.go("signal").kill_program(signal.SIGTERM).gone_on(lambda: trip.settle(1).press("\n"))
        trip.settle(3).press(" ").settle()
        assert trip.children() != program
        assert trip.brightest == 0
        assert trip.faults == []


def test_what_is_found_wrong_before_the_program_starts_is_said_in_the_light():
    with Journey([sys.executable, "-c", CHECKED], "light theme", ROOT) as trip:
        assert trip.ended() == 1
        as_it_was(trip)
        assert "row 3: no such tray" in trip.text()
        assert "start" in trip.emulator.phase


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
        trip.until("Any key").press("y").until(OFFER)
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
        program = trip.press("i").until("signals are ignored").program()
        trip.go("signal").kill(signal.SIGTERM)
        assert trip.ended() == 128 + signal.SIGTERM
        assert not Path(f"/proc/{program}").exists()
        assert trip.shell_prompt().faults == []


def test_a_fault_of_the_guard_itself_leaves_it_dark_and_ends_the_program():
    with Journey([sys.executable, "-c", FAULTY], "capable", ROOT) as trip:
        program = trip.until("begun").program()
        trip.press("x").until("(exit code 70)").until(STAYS)
        assert trip.faults == []
        waiting.until(lambda: not environment_of(Path(f"/proc/{program}")), "the end of the program")
        assert lit_again(trip) == 70


def test_a_stopped_and_continued_guard_takes_the_terminal_anew():
    with hostile("capable") as trip:
        trip.go("stopped").kill(signal.SIGSTOP).settle()
        trip.shell_prompt().go("continued").kill(signal.SIGCONT).until_gone("boatyard").until("words to wait for").settle()
        assert trip.faults == []
