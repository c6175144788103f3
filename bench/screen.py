"""What the run screen costs while a bath runs: part of a core, memory of the app and of its sound helper."""

import contextlib
import os
import sys
import time
from pathlib import Path

from tests.pty.terminal import Terminal
from tests.rig import Rig

SECONDS = 30
CALL = [sys.executable, "-m", "assistant", "run", "recipes/contact-proof.yaml", "--no-guard"]


def run() -> None:
    """A development under way on a real pseudo-terminal, sound on."""
    rig = Rig().start()
    try:
        _measure({**rig.env, "TERM": "xterm-256color", "COLORTERM": "truecolor"})
    finally:
        rig.close()


def _measure(env: dict[str, str]) -> None:
    with contextlib.closing(Terminal(CALL, env)) as terminal:
        terminal.until("begin exposure")
        terminal.read(1)
        terminal.press(b" ")
        terminal.until("begin developer", 60)
        terminal.press(b" ")
        terminal.read(3)
        before, began = _cpu(terminal.pid), time.monotonic()
        while time.monotonic() - began < SECONDS:
            terminal.read(0.5)
        used = (_cpu(terminal.pid) - before) / (time.monotonic() - began)
        print(f"run screen: {used * 100:.2f} % of a core; app {_memory(terminal.pid):.0f} MB", end="")
        for child in _children(terminal.pid):
            print(f", sound helper {_memory(child):.0f} MB", end="")
        print()


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
