"""Run every benchmark, or those named: `python -m tests.bench sessions start screen`."""

import importlib
import os
import sys

PARTS = ("start", "sessions", "screen", "sound", "late_hands", "voice", "ears")


def main() -> None:
    """Print each part's figures under its name."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # what is measured is compiled, as an installed program is
    for part in sys.argv[1:] or PARTS:
        print(f"== {part}")
        importlib.import_module(f"tests.bench.{part}").run()


main()
