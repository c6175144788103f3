"""`traycall base`: puts an exposure time into a recipe file; comments, spaces and all other values stay."""

import argparse
import sys
from pathlib import Path

from assistant.cli.opening import found
from assistant.cli.reckon.reading import typed
from assistant.recipe.faults import BadRecipe
from assistant.recipe.rewrite import CannotRewrite, put_time_in_file
from assistant.trade import quantities as q


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    parser.add_argument("recipe", metavar="RECIPE", type=Path, help="a recipe file")
    parser.add_argument("time", metavar="TIME", type=typed(q.parse_span), help="the base before dry-down, like 12.6s")


def run(args: argparse.Namespace) -> int:
    """Write; 1 where the time can't be put there, said in a sentence."""
    said, code = put_base(found(args.recipe), args.time)
    print(said, file=sys.stderr if code else sys.stdout)
    return code


def put_base(file: Path, ms: int) -> tuple[str, int]:
    """What was done or why it could not be, and the exit code."""
    try:
        put_time_in_file(file, ms)
    except (BadRecipe, CannotRewrite) as error:
        return f"{file}: {error}", 1
    except OSError as error:
        return f"{file}: the time can't be written: {error.strerror}", 1
    return f"{file}: the base is {q.format_span(ms)} now.", 0
