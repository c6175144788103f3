"""`traycall lights`: the terminal's own colours again, after a guarded session ended in the dark."""

import argparse
import sys


def configure(parser: argparse.ArgumentParser) -> None:
    """The call has no words of its own."""


def run(args: argparse.Namespace) -> int:
    """Print the reset. Cover all paper first."""
    from assistant.terminal.ownership import give_back

    sys.stdout.write(give_back())
    sys.stdout.flush()
    return 0
