"""The true clock: sleep counts, the wall clock moves nothing, and a session goes on after anything."""

import os
import shutil
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.devices.clock import ComputerTime, JumpingClock, Nap, SessionClock, TimeByHand, Timepiece
from tests import waiting

NOON = datetime(2031, 3, 30, 0, 30, tzinfo=timezone(timedelta(hours=1)))  # the night the clocks go forward


@dataclass(frozen=True)
class Kept:
    """A mark as a journal gives it back."""

    at: int
    wall: datetime
    boot: str
    origin: int


def mark_of(clock: SessionClock) -> Kept:
    return Kept(clock.now(), clock.wall(), clock.boot, clock.origin)


# What any timepiece must keep to, the computer's own and its twin.


@pytest.fixture(params=[ComputerTime, TimeByHand])
def timepiece(request: pytest.FixtureRequest) -> Timepiece:
    return request.param()


def test_no_clock_goes_back(timepiece: Timepiece) -> None:
    for read in (timepiece.since_boot, timepiece.awake):
        readings = [read() for _ in range(1000)]
        assert readings == sorted(readings)
        assert all(type(reading) is int for reading in readings)


def test_the_wall_clock_knows_its_offset(timepiece: Timepiece) -> None:
    assert timepiece.wall().utcoffset() is not None


def test_a_boot_has_one_name(timepiece: Timepiece) -> None:
    assert timepiece.boot() == timepiece.boot()


def test_a_session_begins_at_nought_and_counts_whole_ms(timepiece: Timepiece) -> None:
    clock = SessionClock.begin(timepiece)
    assert type(clock.now()) is int
    assert 0 <= clock.now() < 1000
    assert clock.doubt == ""


def test_a_moment_of_the_session_falls_where_monotonic_says(timepiece: Timepiece) -> None:
    clock = SessionClock.begin(timepiece)
    before, at, after = timepiece.awake() / 1e9, clock.now(), timepiece.awake() / 1e9
    assert before - 0.002 <= clock.to_monotonic(at) <= after + 0.002
    assert clock.to_monotonic(at + 90_000) - clock.to_monotonic(at) == pytest.approx(90, abs=0.002)


def test_nobody_slept_between_two_looks(timepiece: Timepiece) -> None:
    clock = SessionClock.begin(timepiece)
    assert [clock.slept() for _ in range(100)] == [None] * 100


def test_in_the_same_boot_the_origin_is_the_same_to_the_nanosecond(timepiece: Timepiece) -> None:
    clock = SessionClock.begin(timepiece)
    again = SessionClock.resumed(mark_of(clock), timepiece)
    if clock.boot:
        assert again.origin == clock.origin
    assert abs(again.now() - clock.now()) < 1000
    assert again.doubt == ""


# The computer this runs on.


def test_this_computer_counts_sleep_and_names_its_boot() -> None:
    timepiece = ComputerTime()
    if sys.platform == "linux":
        assert timepiece.tells_sleep
        assert len(timepiece.boot()) == 36
        # The kernel counts suspend in it.
        uptime = Path("/proc/uptime").read_text(encoding="ascii").split()[0]
        assert timepiece.since_boot() / 1e9 == pytest.approx(float(uptime), abs=1)


def test_a_stopped_program_has_not_slept_and_lost_no_time() -> None:
    if sys.platform == "win32":
        pytest.skip("this system cannot stop a program by a signal")
    program = (
        "from assistant.devices.clock import SessionClock\n"
        "clock = SessionClock.begin()\n"
        "print(clock.now(), flush=True); input(); print(clock.now(), clock.slept(), flush=True)"
    )
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    with subprocess.Popen([sys.executable, "-c", program], **pipes) as child:
        before = int(child.stdout.readline())
        os.kill(child.pid, signal.SIGSTOP)
        began = time.monotonic()
        waiting.pause(0.6)  # the span under test: more than a nap, were it one
        stopped = time.monotonic() - began
        os.kill(child.pid, signal.SIGCONT)
        after, slept = child.communicate("\n")[0].split()
    assert int(after) - before >= int(stopped * 1000)
    assert slept == "None"


def test_a_computer_ten_minutes_further_on_by_its_kernel_resumes_ten_minutes_later() -> None:
    """A time namespace stands for a nap between two runs: boot time is ahead, monotonic time is not."""
    unshare = [shutil.which("unshare") or "unshare", "-T", "--boottime", "600", "--fork"]
    try:
        able = subprocess.run([*unshare, "true"], capture_output=True).returncode == 0
    except OSError:
        able = False
    if not able:
        pytest.skip("no time namespaces here (Linux, and root)")
    clock = SessionClock.begin()
    program = (
        "import time\n"
        "from datetime import datetime\n"
        "from types import SimpleNamespace\n"
        "from assistant.devices.clock import SessionClock\n"
        f"mark = SimpleNamespace(at=0, boot={clock.boot!r}, origin={clock.origin},"
        f" wall=datetime.fromisoformat({clock.wall().isoformat()!r}))\n"
        "clock = SessionClock.resumed(mark)\n"
        "at = clock.now()\n"
        "print(clock.origin, at, clock.to_monotonic(at) - time.monotonic())"
    )
    origin, at, ahead = subprocess.check_output([*unshare, sys.executable, "-c", program], text=True).split()
    assert int(origin) == clock.origin
    assert 600_000 <= int(at) <= 600_000 + clock.now()
    assert abs(float(ahead)) < 0.1


# Sleep, crashes and reboots, on a computer whose time is told.


def test_sleep_counts_and_is_noticed_once_with_its_moments() -> None:
    by_hand = TimeByHand()
    clock = SessionClock.begin(by_hand)
    by_hand.run(10_000)
    assert clock.slept() is None
    by_hand.run(300)
    by_hand.sleep(120_000)
    by_hand.run(200)
    assert clock.now() == 130_500
    assert clock.slept() == Nap(10_000, 130_500)
    assert clock.slept() is None


def test_a_nap_moves_what_monotonic_says() -> None:
    by_hand = TimeByHand()
    clock = SessionClock.begin(by_hand)
    by_hand.run(1_000)
    assert clock.to_monotonic(200_000) == 200
    by_hand.sleep(120_000)
    assert clock.to_monotonic(200_000) == 80


def test_two_clocks_that_drift_apart_are_no_nap() -> None:
    by_hand = TimeByHand()
    clock = SessionClock.begin(by_hand)
    for _ in range(100):
        by_hand.run(500)
        by_hand.sleep(50)
        assert clock.slept() is None


def test_where_no_clock_tells_sleep_a_long_gap_between_looks_is_one() -> None:
    by_hand = TimeByHand()
    by_hand.tells_sleep = False
    clock = SessionClock.begin(by_hand)
    by_hand.run(4_999)
    assert clock.slept() is None
    by_hand.run(60_000)
    assert clock.slept() == Nap(4_999, 64_999)


def test_after_a_reboot_it_goes_on_by_the_wall_clock() -> None:
    by_hand = TimeByHand(NOON)
    by_hand.run(77)
    clock = SessionClock.begin(by_hand)
    by_hand.run(100_000)
    mark = mark_of(clock)
    by_hand.run(5_000)  # not marked any more: the battery was empty
    by_hand.reboot(180_000, "second boot")
    by_hand.run(2_000)
    again = SessionClock.resumed(mark, by_hand)
    assert again.now() == 287_000
    assert again.origin < 0
    assert again.boot == "second boot"
    third = SessionClock.resumed(mark_of(again), by_hand)
    assert (third.origin, third.now()) == (again.origin, 287_000)


def test_the_same_boot_needs_no_wall_clock() -> None:
    by_hand = TimeByHand(NOON)
    clock = SessionClock.begin(by_hand)
    by_hand.run(100_000)
    mark = mark_of(clock)
    by_hand.set_wall(NOON - timedelta(days=9000))
    by_hand.run(60_000)
    again = SessionClock.resumed(mark, by_hand)
    assert (again.now(), again.doubt) == (160_000, "")


def test_a_wall_clock_set_back_over_a_reboot_is_said_and_never_negative() -> None:
    by_hand = TimeByHand(NOON)
    clock = SessionClock.begin(by_hand)
    by_hand.run(100_000)
    mark = mark_of(clock)
    by_hand.reboot(60_000, "second boot")
    by_hand.set_wall(datetime(1970, 1, 1, 1, 0, tzinfo=NOON.tzinfo))
    again = SessionClock.resumed(mark, by_hand)
    assert again.now() == 100_000
    assert again.doubt == (
        "The computer's clock was set back: it says 01 Jan 01:00, and this session still ran at 30 Mar 00:31."
        " How long it stood cannot be known; times go on from where it stopped."
    )
    by_hand.run(1_000)
    assert again.now() == 101_000


@pytest.mark.parametrize(("back", "said"), [(60_000, False), (60_001, True), (61_000, True)])
def test_any_set_back_beyond_the_time_that_passed_is_doubted(back: int, said: bool) -> None:
    by_hand = TimeByHand(NOON)
    clock = SessionClock.begin(by_hand)
    mark = mark_of(clock)
    by_hand.reboot(60_000, "second boot")
    by_hand.set_wall(by_hand.wall() - timedelta(milliseconds=back))
    again = SessionClock.resumed(mark, by_hand)
    assert (again.now(), bool(again.doubt)) == (0, said)


def test_summer_time_between_two_runs_is_no_hour() -> None:
    by_hand = TimeByHand(NOON)
    clock = SessionClock.begin(by_hand)
    mark = mark_of(clock)
    by_hand.reboot(3_600_000, "second boot")
    by_hand.set_wall(by_hand.wall().astimezone(timezone(timedelta(hours=2))))
    assert SessionClock.resumed(mark, by_hand).now() == 3_600_000


@pytest.mark.parametrize("name", ["", "first boot"])
def test_a_boot_without_a_name_or_one_that_counts_anew_goes_by_the_wall_clock(name: str) -> None:
    by_hand = TimeByHand(NOON)
    by_hand.run(50_000)
    clock = SessionClock.begin(by_hand)
    by_hand.run(20_000)
    kept = mark_of(clock)
    by_hand.reboot(30_000, name)
    assert SessionClock.resumed(Kept(kept.at, kept.wall, name, kept.origin), by_hand).now() == 50_000


PASSING = st.lists(
    st.one_of(
        st.tuples(st.just("run"), st.integers(0, 10_000_000)),
        st.tuples(st.just("sleep"), st.integers(0, 10_000_000)),
        st.tuples(st.just("wall"), st.integers(-10_000_000, 10_000_000)),
        st.tuples(st.just("crash"), st.just(0)),
        st.tuples(st.just("reboot"), st.integers(0, 10_000_000)),
    ),
    max_size=30,
)


@given(PASSING)
def test_whatever_happens_to_the_computer_the_session_is_as_old_as_it_is(happenings: list) -> None:
    """Wall jumps never count; the one thing that may cost truth is a wall jump *between* mark and reboot."""
    by_hand = TimeByHand(NOON)
    clock = SessionClock.begin(by_hand)
    passed = 0
    for number, (what, ms) in enumerate(happenings):
        if what == "wall":
            by_hand.set_wall(by_hand.wall() + timedelta(milliseconds=ms))
            continue
        mark = mark_of(clock)
        if what == "reboot":
            by_hand.reboot(ms, f"boot {number}")
        elif what != "crash":
            getattr(by_hand, what)(ms)
        if what in ("crash", "reboot"):
            clock = SessionClock.resumed(mark, by_hand)
        passed += ms
        assert clock.now() == passed
        assert clock.to_monotonic(clock.now()) == pytest.approx(by_hand.awake() / 1e9, abs=0.001)
        assert clock.doubt == ""


@given(st.lists(st.integers(0, 10**7)), st.integers(1, 10**7))
def test_a_jumping_clock_jumps_forward_only(steps: list, back: int) -> None:
    clock = JumpingClock()
    at = 0
    for step in steps:
        at += step
        clock.jump(at)
        assert clock.now() == at
    with pytest.raises(ValueError, match="forward"):
        clock.jump(at - back)
    assert clock.now() == at


def test_a_jumping_clock_crashes_and_goes_on_like_a_real_one() -> None:
    clock = JumpingClock()
    clock.jump(70_000)
    mark = mark_of(clock)
    clock.by_hand.reboot(50_000, "second boot")
    again = JumpingClock.resumed(mark, clock.by_hand)
    assert again.now() == 120_000
    assert JumpingClock.begin().now() == 0
