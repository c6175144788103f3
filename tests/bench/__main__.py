"""Run every benchmark, or those named: `python -m tests.bench sessions start screen`."""

import importlib
import sys

PARTS = ("start", "sessions", "screen", "sound", "late_hands")


def main() -> None:
    """Print each part's figures under its name."""
    for part in sys.argv[1:] or PARTS:
        print(f"== {part}")
        importlib.import_module(f"tests.bench.{part}").run()


main()
