"""How fast the command answers, against importing click: `traycall --help` aims at twice that or less."""

import statistics
import subprocess
import sys
import time

ROUNDS = 25


def run() -> None:
    """Medians in turn, so that a busy moment hits all alike."""
    calls = {
        "import click": ["-c", "import click"],
        "--help": ["-m", "assistant", "--help"],
        "check, one recipe": ["-m", "assistant", "check", "recipes/slipway-edition.yaml"],
    }
    times: dict[str, list[float]] = {name: [] for name in calls}
    for _ in range(ROUNDS):
        for name, words in calls.items():
            began = time.perf_counter()
            subprocess.run([sys.executable, *words], stdout=subprocess.DEVNULL, check=True)
            times[name].append(time.perf_counter() - began)
    base = statistics.median(times["import click"])
    for name, taken in times.items():
        print(
            f"{name:<20} {statistics.median(taken) * 1000:6.1f} ms  {statistics.median(taken) / base:4.2f} of import click"
        )
