"""The `traycall` command: a table of commands, each read only when it is called.

Nothing heavy is imported here, so that `traycall --help` answers at once.
"""

import argparse
import errno
import importlib
import os
import sys

from assistant import __version__
from assistant.printing.text_out import complain, say

COMMANDS: dict[str, tuple[str, str]] = {
    "run": ("assistant.cli.run", "print an edition, called by voice and shown on screen"),
    "strip": ("assistant.cli.strip", "make a test strip by voice, in the baths of its print"),
    "base": ("assistant.cli.base", "put an exposure time into a recipe; nothing else in it changes"),
    "card": ("assistant.cli.card", "the run card to pin up before lights out"),
    "fog": ("assistant.cli.fog", "make a fog test: how long paper may lie near this screen"),
    "rehearse": ("assistant.cli.rehearse", "run a whole session in an instant and print what would be said"),
    "plan": ("assistant.cli.plan", "plan several copies in the baths at once: when each sheet goes where"),
    "recipes": ("assistant.cli.recipes", "list the recipes, or copy one to start from"),
    "new": ("assistant.cli.new", "write a recipe of your own from five questions"),
    "check": ("assistant.cli.check", "check recipes and list everything that is wrong"),
    "schema": ("assistant.cli.schema", "print the JSON Schema of a recipe"),
    "calculate": ("assistant.cli.calculate", "calculate exposures, strips, mixes and times"),
    "sounds": ("assistant.cli.sounds", "play every tone with its meaning"),
    "voice": ("assistant.cli.voice", "list the voices, or try one"),
    "hear": ("assistant.cli.hear", "try the microphone and the spoken phrases before the dark"),
    "pedal": ("assistant.cli.pedal", "find out what your pedal sends, and whether holding it shows"),
    "lights": ("assistant.cli.lights", "give the terminal its own colours back after a guarded session"),
    "baths": ("assistant.cli.baths", "bottles and baths by name: what went through them, topping up, tests"),
    "records": ("assistant.cli.records", "show past sessions and each copy's true times"),
    "completion": ("assistant.cli.completion", "lines for bash, zsh or fish that complete these commands"),
}
"""Command -> (module with `configure(parser)` and `run(args) -> exit code`, one line of help)."""
_ABOUT = (
    "A voice and a timer beside the trays, for black-and-white printing by hand. "
    "Without a command it opens the dry side: recipes, calculations, records and settings in one window."
)
INTERRUPTED = 130
"""The exit code of a command that Ctrl+C ended, as shells have it: 128 and the signal's number."""
FAULT = 70
"""The exit code of an internal fault, as `sysexits.h` has it."""
NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EIO)
"""Where output goes that can't be written: a full disk, a terminal that is gone."""


def main(argv: list[str] | None = None) -> int:
    """Run one command; the exit code is 0 when all went well, 1 when the command found faults, 2 for a wrong call."""
    _open_what_is_closed()
    words = sys.argv[1:] if argv is None else argv
    if not words and sys.stdin.isatty() and sys.stdout.isatty():
        words = ["run"]  # the dry side: which recipe, and what it needs
    if "_ARGCOMPLETE" in os.environ:  # a shell asks how a call may go on
        return _complete()
    parser = _parser(next((word for word in words if not word.startswith("-")), None))
    args, unknown = parser.parse_known_args(words)
    if args.after_options and len(unknown) == 1 and not unknown[0].startswith("-") and not getattr(args, args.after_options):
        setattr(args, args.after_options, unknown.pop())
    if unknown:
        (args.parser or parser).error(f"unrecognized arguments: {' '.join(unknown)}")
    if args.command is None:
        parser.print_help()
        return 2
    try:
        return int(importlib.import_module(COMMANDS[args.command][0]).run(args))
    except BrokenPipeError:  # whoever read has read enough
        _discard()
        return 1
    except KeyboardInterrupt:
        return INTERRUPTED
    except OSError as error:
        if error.errno in NO_ROOM:
            _discard()
            complain(f"What was asked for can't be written out: {error.strerror}.")
            return 1
        from assistant.terminal import brightness

        if error.filename is None or brightness.is_guarded():  # a guard goes on by itself with a session that a fault ended
            return _fault()
        complain(f"{error.filename}: {error.strerror}.")
        return 1
    except Exception:
        return _fault()


def _complete() -> int:
    """Answer the shell; only here every command is read."""
    import argcomplete

    argcomplete.autocomplete(whole_parser())
    return 0


def _open_what_is_closed() -> None:
    """A call may come without input or outputs: nothing is read from or written to them then."""
    for name in ("stdin", "stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, "r" if name == "stdin" else "w", encoding="utf-8"))  # noqa: SIM115, PTH123


def _discard() -> None:
    """What still waits to be written goes nowhere, so that the interpreter's end does not stumble over it."""
    import contextlib  # only where output fails

    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


class Parser(argparse.ArgumentParser):
    """A wrong call is answered in the same way as everything else is said, and where it can be read."""

    def _print_message(self, message: str, file: object = None) -> None:
        from assistant.terminal.launched import readable_again

        readable_again(os.environ)
        say(message, end="", to=None if file is sys.stdout else sys.stderr)


def _fault() -> int:
    """An error of the program itself: one sentence for the printer, its traces in a file; the code is that of `sysexits.h`."""
    import traceback

    from assistant.places import home
    from assistant.terminal.launched import readable_again

    readable_again(os.environ)
    try:
        file = home() / "fault.txt"
        file.write_text(traceback.format_exc(), encoding="utf-8")
        where = f"; details are in {file}"
    except OSError:
        where = ""
    complain(f"traycall failed{where}. A session that was running can be resumed: traycall run --resume")
    return FAULT


def whole_parser() -> argparse.ArgumentParser:
    """The parser with the words of every command: for completion and for the manual page."""
    return _parser(None, whole=True)


def _parser(wanted: str | None, whole: bool = False) -> argparse.ArgumentParser:
    parser = Parser(prog="traycall", description=_ABOUT)
    parser.set_defaults(parser=None, after_options="")  # one word that may stand there too, which argparse doesn't know of
    parser.add_argument("--version", action="version", version=f"traycall {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    for name, (module, line) in COMMANDS.items():
        asked = whole or name == wanted
        child = commands.add_parser(name, help=line, description=line[0].upper() + line[1:] + ".", add_help=asked)
        child.set_defaults(parser=child)  # a word too many is answered with this command's own usage
        if asked:  # all others are only listed
            importlib.import_module(module).configure(child)
    return parser
