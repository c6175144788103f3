"""What the screen costs: how soon it is black and says something, part of a core and bytes while a bath and a light run."""

import contextlib
import os
import statistics
import sys
import time
from pathlib import Path

from tests.pty.terminal import Terminal
from tests.rig import Rig

SECONDS = 30
AIM = (0.6, 1500)
"""Part of a core in per cent, and bytes a second, at most, while a bath runs."""
ROUNDS = 9
LAUNCHER = str(Path(sys.executable).with_name("traycall-dark"))
CALL = [sys.executable, "-m", "assistant", "run", "recipes/contact-proof.yaml"]


def run() -> None:
    """On a real pseudo-terminal, sound on."""
    rig = Rig().start()
    try:
        env = {**rig.env, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        _starts({**env, "TRAYCALL_HOME": str(rig.folder / "starts")})
        _measure(env)
    finally:
        rig.close()


def _starts(env: dict[str, str]) -> None:
    """Medians of several starts: the first byte of a guarded run blackens the screen, the wet side follows."""
    blacks, words, launched = [], [], []
    for _ in range(ROUNDS):
        with contextlib.closing(Terminal([LAUNCHER, *CALL[3:]], env)) as terminal:
            launched.append(_first_byte(terminal))
        began = time.monotonic()
        with contextlib.closing(Terminal([*CALL, "--silent", "--guard"], env)) as terminal:
            blacks.append(_first_byte(terminal))
            terminal.until("? keys", 30)  # what is to be read before is read at once
            words.append(time.monotonic() - began)
            terminal.press(b"e")
            terminal.watch(1.0)
            terminal.press(b"e")
            terminal.watch(1.5)
    print(f"guarded run: black {statistics.median(blacks) * 1000:.0f} ms after the call, ", end="")
    print(f"traycall-dark: black {statistics.median(launched) * 1000:.1f} ms after the call, ", end="")
    print(f"{statistics.median(launched) / statistics.median(blacks):.2f} of the guard's own")
    ratio = statistics.median(words) / statistics.median(blacks)
    print(f"wet side {statistics.median(words) * 1000:.0f} ms: {ratio:.1f} times that")


def _first_byte(terminal: Terminal) -> float:
    """Seconds until the program's first byte, which is black."""
    began = time.monotonic()
    while not terminal.taken:
        terminal.watch(0.001)
    return time.monotonic() - began


def _measure(env: dict[str, str]) -> None:
    with contextlib.closing(Terminal([*CALL, "--no-guard"], env)) as terminal:
        terminal.until("Sound check", 30)
        terminal.press(b" ")
        terminal.until("begin exposure", 30)
        terminal.watch(1)
        terminal.press(b" ")
        terminal.watch(1)
        print("light:  ", _while(terminal, 8))
        terminal.until("begin developer", 60)
        terminal.press(b" ")
        terminal.watch(3)
        print("a bath: ", _while(terminal, SECONDS), end="")
        print(f"; app {_memory(terminal.pid):.0f} MB", end="")
        for child in _children(terminal.pid):
            print(f", sound helper {_memory(child):.0f} MB", end="")
        print()


def _while(terminal: Terminal, seconds: float) -> str:
    cpu, taken, began = _cpu(terminal.pid), terminal.taken, time.monotonic()
    while time.monotonic() - began < seconds:
        terminal.watch(0.5)
    took = time.monotonic() - began
    core, sent = (_cpu(terminal.pid) - cpu) / took * 100, (terminal.taken - taken) / took
    return f"{core:.2f} % of a core, {sent:.0f} bytes a second: {core / AIM[0]:.2f} and {sent / AIM[1]:.2f} of what is aimed at"


def _cpu(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _memory(pid: int) -> float:
    """Proportional set size, MB: shared pages are shared out."""
    rows = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    return int(next(row for row in rows if row.startswith("Pss:")).split()[1]) / 1024


def _children(pid: int) -> list[int]:
    tasks = Path(f"/proc/{pid}/task").glob("*/children")
    return [int(child) for task in tasks for child in task.read_text().split()]
