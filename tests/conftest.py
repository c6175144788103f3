"""What holds for every test: what is drawn at random is the same each time, and no program is left behind."""

import os
import signal
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests import waiting

settings.register_profile(
    "suite", deadline=None, derandomize=True, database=None, suppress_health_check=[HealthCheck.too_slow]
)  # nothing that a busy machine could change
settings.register_profile("attack", parent=settings.get_profile("suite"), derandomize=False, print_blob=True)
settings.load_profile("suite")
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
"""A program that is started some hundred times is compiled once, as an installed one is."""

if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:  # in the background of a shell; a program started here would be deaf too
    signal.signal(signal.SIGINT, signal.default_int_handler)
SUBREAPER = 36
"""PR_SET_CHILD_SUBREAPER, after prctl(2)."""
GRACE = 30.0
"""Seconds in which what ends by itself may end."""
seen: dict[int, str] = {}
"""A process of ours -> the test after which it was first seen."""


def ours() -> set[int]:
    """The processes that the tests have started and that still run; one that only waits to be buried does not."""
    return {pid for pid in waiting.descendants(os.getpid()) if set(waiting.state(pid)) - {"Z"}}


def called(pid: int) -> str:
    """How a process was called."""
    with suppress(OSError):
        return Path(f"/proc/{pid}/cmdline").read_bytes().replace(b"\0", b" ").decode("utf-8", "replace").strip()
    return ""


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Iterator[None]:
    """Note which test a process came with."""
    try:
        return (yield)
    finally:
        for pid in ours():
            seen.setdefault(pid, item.nodeid)


@pytest.fixture(scope="session", autouse=True)
def nothing_is_left_behind() -> Iterator[None]:
    """Whatever the tests have started has ended when they have, even what its own parent has left alone.

    On Linux, where an orphan can be had back (prctl); it is ended then, and the tests have failed.
    """
    before = ours()
    if not adopts():
        yield
        return
    yield
    try:
        waiting.until(lambda: not ours() - before, "the end of all programs", GRACE)
    except AssertionError:
        left = ours() - before
        told = [f"{pid} {called(pid)} (since {seen.get(pid, 'just now')})" for pid in sorted(left)]
        for pid in left:
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        raise AssertionError("left behind: " + "; ".join(told)) from None


def adopts() -> bool:
    """Become the parent of every orphan of the tests; whether the system has that."""
    import ctypes

    with suppress(OSError, AttributeError):
        return ctypes.CDLL(None, use_errno=True).prctl(SUBREAPER, 1, 0, 0, 0) == 0
    return False
