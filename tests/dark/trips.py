"""The programs that are sent through the dark, and what must hold of each when it has ended."""

import contextlib
import sys
from pathlib import Path

from tests import waiting
from tests.dark.journey import Journey
from tests.dark.screen import OWN

HERE = Path(__file__).parent
HOSTILE, PLANTED = str(HERE / "hostile.py"), str(HERE / "planted.py")
ROOT = {"PYTHONPATH": str(HERE.parents[1])}
QUICK = str(HERE.parent / "pty" / "quick.yaml")
STAYS, AGAIN, OFFER = "type  lights", "To resume the session", "tap: "
F5, F6, F7, F8, F9, F10, F11 = (f"\x1b[{code}~" for code in (15, 17, 18, 19, 20, 21, 23))
BRIGHTEST = {F5: 0x40, F6: 0x70, F7: 0xD0}


def hostile(profile, how="guarded"):
    return Journey([sys.executable, HOSTILE, how], profile, ROOT).until("words to wait for").settle()


def session(profile, home, *words, how="guarded"):
    guard = "--guard" if how == "guarded" else "--no-guard"
    call = [sys.executable, PLANTED, how, "run", "--silent", guard, *words]
    return Journey(call, profile, {**ROOT, "TRAYCALL_HOME": str(home)})


def shipped(profile, home, *words):
    call = [sys.executable, "-m", "assistant", "run", QUICK, "--silent", "--guard", *words]
    return Journey(call, profile, {**ROOT, "TRAYCALL_HOME": str(home)})


def calls(profile, home, *words):
    """A shell that makes one call of the program after another; after each it says with what code it ended, and waits.

    A call that begins with `new` is made as if nothing had been printed before.
    """
    new = f"TRAYCALL_HOME={home}/new "
    each = [
        f'{new if call[:4] == "new " else ""}"$0" -m assistant {call.removeprefix("new ")}; echo "call {number} ended $?"'
        for number, call in enumerate(words, 1)
    ]
    script = "; read _; ".join(each)
    return Journey(["sh", "-c", f"trap : TERM; {script}", sys.executable], profile, {**ROOT, "TRAYCALL_HOME": str(home)})


def lit_again(trip):
    """Nothing but the word lights the terminal; then it is as it was before."""
    tap = "" if AGAIN in trip.text() else "\x1b[A"  # which would go on with a session that was cut off
    trip.go("wrong words").press(f"\x03\x1a{tap}light\rq\r").settle()
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
    assert (terminal.letters, terminal.ground, terminal.marks) == (OWN, OWN, frozenset())
    assert (terminal.title, terminal.titles, terminal.stack) == ("a shell", [], [])
    assert not terminal.modes & {"?1000", "?1003", "?1004", "?1006", "?2004"}


def judged(trip):
    assert trip.faults == []
    assert trip.emulator.title == ("a shell" if trip.profile.console else "traycall")
    assert trip.emulator.judged > 50_000
    assert trip.emulator.own == [] or not trip.profile.obeys


def alive(home):
    """The processes that were given this home."""
    mark = f"TRAYCALL_HOME={home}".encode()
    return [process.name for process in Path("/proc").glob("[0-9]*") if mark in environment_of(process)]


def nobody_left(home):
    waiting.until(lambda: not alive(home), "the end of every process of this session")


def environment_of(process):
    with contextlib.suppress(OSError):
        return (process / "environ").read_bytes()  # empty for a process that only waits to be buried
    return b""
