"""Waiting for a state, never for a time: every wait here ends, and nowhere else in the tests is anything slept through.

How long something takes is the machine's own affair; a test says what must come to be, and fails only where it never does.
"""

import os
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

LONGEST = 60.0
"""Seconds after which something is taken never to come: some twenty times what any of it takes on two quiet cores."""
PAUSE = 0.01
"""Seconds between two looks."""
_AT_REST = frozenset("SITtZX")
"""States of a thread that wants no processor, after proc(5): asleep, idle, stopped, traced, ended."""


def until(true: Callable[[], Any], what: str = "what was waited for", seconds: float = LONGEST) -> Any:
    """Look again and again until this is true; its value. AssertionError where it never is."""
    end = time.monotonic() + seconds
    while not (found := true()):
        if time.monotonic() > end:
            raise AssertionError(f"{what} did not come within {seconds:g} s")
        time.sleep(PAUSE)
    return found


def pause(seconds: float) -> None:
    """Let a span go by that is itself what is tested: a stall, a moment at which to kill. Never to wait for something."""
    time.sleep(max(0.0, seconds))


def descendants(pid: int) -> Iterator[int]:
    """The processes that a process has started, theirs too, as far as they live; none where the system does not tell."""
    for told in Path(f"/proc/{pid}/task").glob("*/children"):
        with suppress(OSError):
            for child in map(int, told.read_text(encoding="ascii").split()):
                yield child
                yield from descendants(child)


def state(pid: int) -> str:
    """The states of a process's threads, a letter for each; "" once it is gone."""
    letters = []
    for told in Path(f"/proc/{pid}/task").glob("*/stat"):
        with suppress(OSError):
            letters.append(told.read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()[0])
    return "".join(letters)


def buried(left: Iterable[int]) -> None:
    """Wait until what a killed program has left behind has ended too.

    The tests adopt it (`conftest`), so nobody else would ask how it ended: until somebody does, the system keeps its name.
    """

    def over(pid: int) -> bool:
        try:
            return os.waitpid(pid, os.WNOHANG)[0] == pid
        except ChildProcessError:  # another's, or gone
            return not state(pid)

    for pid in left:
        until(lambda pid=pid: over(pid), "the end of what a killed program had started")


def at_rest(pid: int) -> bool:
    """Whether a process and all it has started wait for something, so that only time or a key would move them.

    A program that is merely slow, because others have the processor, is not at rest. True where the system does not tell.
    """
    return sys.platform != "linux" or all(set(state(one)) <= _AT_REST for one in (pid, *descendants(pid)))
