"""How fast the command answers, against importing click, and how fast the dry side is seen, against `--help`.

`traycall --help` aims at twice the import or less; the dry side is to be seen within 400 ms of `--help`'s own time.
"""

import os
import pty
import resource
import statistics
import subprocess
import sys
import tempfile
import time

ROUNDS = 25
LATER = 400
"""ms after `--help` in which the dry side is to be seen."""
SEEN = b"Print"
"""The first word of the dry side's row of places."""


def run() -> None:
    """Medians in turn, so that a busy moment hits all alike; of processor time too, which others on the machine touch less."""
    calls = {
        "import click": ["-c", "import click"],
        "--help": ["-m", "assistant", "--help"],
        "check, one recipe": ["-m", "assistant", "check", "recipes/slipway-edition.yaml"],
    }
    times: dict[str, list[tuple[float, float]]] = {name: [] for name in [*calls, "the dry side seen"]}
    with tempfile.TemporaryDirectory() as home:
        for _ in range(ROUNDS):
            for name, words in calls.items():
                began, used = time.perf_counter(), _used()
                subprocess.run([sys.executable, *words], stdout=subprocess.DEVNULL, check=True)
                times[name].append((time.perf_counter() - began, _used() - used))
            times["the dry side seen"].append(_until_seen(home))
    for at, what in enumerate(("from the call", "of a processor")):
        middle = {name: statistics.median(both[at] for both in taken) for name, taken in times.items()}
        for name, seconds in middle.items():
            print(f"{name:<20} {seconds * 1000:6.1f} ms {what}, {seconds / middle['import click']:4.2f} of import click")
        later = middle["the dry side seen"] - middle["--help"]
        print(f"{'after --help':<20} {later * 1000:6.1f} ms {what}, {later * 1000 / LATER:4.2f} of what is aimed at")


def _used() -> float:
    """Seconds of a processor that ended children have had."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _until_seen(home: str) -> tuple[float, float]:
    """Seconds from the call to the first word, and of a processor, in a terminal of its own."""
    began, used = time.perf_counter(), _used()
    child, terminal = pty.fork()
    if child == 0:
        kept = {**os.environ, "TRAYCALL_HOME": home, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        os.execve(sys.executable, [sys.executable, "-m", "assistant", "run", "--no-guard"], kept)
    seen = b""
    while SEEN not in seen:
        seen += os.read(terminal, 65536)  # OSError, which ends the bench, where the program ends before it is seen
    seconds = time.perf_counter() - began
    os.kill(child, 9)
    os.waitpid(child, 0)
    os.close(terminal)
    return seconds, _used() - used
