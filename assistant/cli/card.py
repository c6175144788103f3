"""`traycall card`: the run card to pin up before lights out, as text or as a page to be printed."""

import argparse
from pathlib import Path

from assistant.cli.fields import RECIPES, whole_number
from assistant.pages.markup import SHEETS
from assistant.pages.run_card import card_page, card_text
from assistant.printing.card import score_for
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import complain, say, say_lines
from assistant.printing.written import write_new


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    parser.add_argument("recipe", metavar="RECIPE", type=Path, nargs="+", help=RECIPES)
    parser.add_argument("--copies", type=whole_number, metavar="N", help="how many copies (default: the recipe's)")
    parser.add_argument("-o", "--out", metavar="FILE", type=Path, help="into a new file; a page, if its name ends in .html")
    parser.add_argument("--paper", choices=list(SHEETS), default="a4", help="the page's size (default: a4)")


def run(args: argparse.Namespace) -> int:
    """Print the card; 1 where the recipe can't be printed or the file can't be written."""
    try:
        plan = score_for(args.recipe, args.copies).plan
        if args.out is None:
            say(card_text(plan), end="")
        else:
            write_new(args.out, card_page(plan, args.paper) if args.out.suffix == ".html" else card_text(plan))
            say_lines([f"The card is written into {args.out}."])
    except Refusal as error:
        complain(error)
        return 1
    return 0
