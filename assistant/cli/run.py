"""`traycall run`: print an edition."""

import argparse
from pathlib import Path

from assistant.cli.fields import RECIPES, whole_number
from assistant.cli.printing_words import options_of, printing_words
from assistant.printing.card import Card, card_of
from assistant.printing.opening import printed
from assistant.printing.options import Options
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import complain


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    add = parser.add_argument
    add("recipe", metavar="RECIPE", type=Path, nargs="*", help=f"{RECIPES}; without one: chosen on the dry side")
    add("--copies", type=whole_number, metavar="N", help="how many copies (default: the recipe's)")
    add("--like", type=whole_number, metavar="N", help="print like session N: its recipe and true times, on today's baths")
    add("--resume", action="store_true", help="resume the session that was not ended")
    printing_words(parser)


def run(args: argparse.Namespace) -> int:
    """Print; 1 where something keeps the session from beginning, said in a sentence."""
    options = options_of(args, args.resume)
    if args.like is not None and args.recipe:
        complain("Give a recipe or --like, not both: a session has its own recipe.")
        return 1
    if args.like is not None:
        return printed(options, lambda: _like(args.like, args.copies, options))
    if args.recipe:
        return printed(options, lambda: card_of(*args.recipe, copies=args.copies))
    return printed(options, lambda: _chosen(options), early=False)


def _chosen(options: Options) -> Card:
    """Which recipe and how many copies: asked on the screen, or in a sentence where there is none."""
    from assistant.printing.dry_side import chosen
    from assistant.printing.outside import shipped_names

    if not options.seen:
        raise Refusal("Say which recipe: traycall run RECIPE. Those that came with the program: " + ", ".join(shipped_names()))
    wanted = chosen(options.silent)
    return card_of(Path(wanted.name), copies=wanted.copies, level=wanted.level)


def _like(number: int, copies: int | None, options: Options) -> Card:
    from assistant.printing.repeat import card_like

    return card_like(number, copies, options.baths, options.temperatures)
