"""`traycall base`: puts an exposure time into a recipe file."""

import argparse
from pathlib import Path

from assistant.cli.fields import typed
from assistant.printing.base_time import put_base
from assistant.printing.text_out import complain, say_lines
from assistant.trade import quantities as q


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    parser.add_argument(
        "recipe",
        metavar="RECIPE",
        type=Path,
        help="a file, or a name; one that came with traycall is copied among your own",
    )
    parser.add_argument("time", metavar="TIME", type=typed(q.parse_span), help="the time before dry-down, like 12.6s")
    parser.add_argument("--part", metavar="LIGHT", help="the light or the print it is for, by its name in the recipe")


def run(args: argparse.Namespace) -> int:
    """Write; 1 where the time can't be put there, said in a sentence."""
    said, code = put_base(args.recipe, args.time, args.part)
    if code:
        complain(said)
    else:
        say_lines([said])
    return code
