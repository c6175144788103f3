"""The `traycall` command: a table of commands, each read only when it is called.

Nothing heavy is imported here, so that `traycall --help` answers at once.
"""

import argparse
import importlib
import sys
from io import TextIOWrapper

from assistant import __version__

COMMANDS: dict[str, tuple[str, str]] = {
    "run": ("assistant.cli.run", "print an edition, called by voice and shown on screen"),
    "strip": ("assistant.cli.strip", "make a test strip by voice, in the baths of its print"),
    "base": ("assistant.cli.base", "put an exposure time into a recipe; nothing else in it changes"),
    "card": ("assistant.cli.card", "the run card to pin up before lights out"),
    "fog": ("assistant.cli.fog", "make a fog test: how long paper may lie near this screen"),
    "rehearse": ("assistant.cli.rehearse", "run a whole session in an instant and print what would be said"),
    "check": ("assistant.cli.check", "check recipes and list everything that is wrong"),
    "schema": ("assistant.cli.schema", "print the JSON Schema of a recipe"),
    "reckon": ("assistant.cli.reckon", "calculate exposures, strips, mixes and times"),
    "sounds": ("assistant.cli.sounds", "play every tone with its meaning"),
    "voice": ("assistant.cli.voice", "list the voices, or try one"),
    "pedal": ("assistant.cli.pedal", "find out what your pedal sends, and whether holding it shows"),
    "lights": ("assistant.cli.lights", "give the terminal its own colours back after a guarded session"),
    "baths": ("assistant.cli.baths", "bottles and baths by name: what went through them, topping up, tests"),
    "records": ("assistant.cli.records", "show past sessions and each copy's true times"),
}
"""Command -> (module with `configure(parser)` and `run(args) -> exit code`, one line of help)."""


def main(argv: list[str] | None = None) -> int:
    """Run one command; the exit code is 0 when all went well, 1 when the command found faults, 2 for a wrong call."""
    words = sys.argv[1:] if argv is None else argv
    if not words and sys.stdin.isatty() and sys.stdout.isatty():
        words = ["run"]  # the dry side: which recipe, and what it needs
    if isinstance(sys.stdout, TextIOWrapper):  # a terminal that lacks a letter is no reason to stop
        sys.stdout.reconfigure(errors="backslashreplace")
    parser = _parser(next((word for word in words if not word.startswith("-")), None))
    args = parser.parse_args(words)
    if args.command is None:
        parser.print_help()
        return 2
    try:
        return int(importlib.import_module(COMMANDS[args.command][0]).run(args))
    except BrokenPipeError:
        sys.stderr.close()
        return 1
    except KeyboardInterrupt:
        return 130
    except Exception:
        return _fault()


def _fault() -> int:
    """An error of the program itself: one sentence for the printer, its traces in a file; the code is that of `sysexits.h`."""
    import os
    import traceback

    from assistant.places import home
    from assistant.terminal.sequences import unlaunched

    sys.stdout.write(unlaunched(os.environ))

    try:
        file = home() / "fault.txt"
        file.write_text(traceback.format_exc(), encoding="utf-8")
        where = f"; details are in {file}"
    except OSError:
        where = ""
    print(f"traycall failed{where}. A session that was running can be resumed: traycall run --resume", file=sys.stderr)
    return 70


def _parser(wanted: str | None) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="traycall", description="A voice and a timer beside the trays, for black-and-white printing by hand."
    )
    parser.add_argument("--version", action="version", version=f"traycall {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    for name, (module, line) in COMMANDS.items():
        child = commands.add_parser(name, help=line, description=line[0].upper() + line[1:] + ".")
        if name == wanted:
            importlib.import_module(module).configure(child)
    return parser
