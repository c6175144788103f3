"""`traycall strip`: a test strip as a session, in the paper and baths of the print that it is for."""

import argparse
from dataclasses import replace
from pathlib import Path

from assistant.cli.fields import add_field, typed
from assistant.cli.opening import found, open_recipe
from assistant.cli.playing import Card
from assistant.cli.refusal import Refusal
from assistant.cli.run import faces, printed
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import loads
from assistant.recipe.model import Expose, Recipe, Strip
from assistant.recipe.strip_card import NoStrip, strip_card
from assistant.reckoning.in_parts import ADD, CARD, STEP
from assistant.trade import quantities as q
from assistant.trade import strips

USUAL, USUAL_STEP = 6, 1 / 2
"""Strips, and stops from one to the next, around the recipe's own time where nothing else is said; common practice."""


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    parser.add_argument("recipe", metavar="RECIPE", type=Path, help="of the print: a recipe file, or one that is shipped")
    parser.add_argument("--first", metavar="TIME", type=typed(q.parse_span), help="what the lightest strip gets, like 5s")
    parser.add_argument("--around", metavar="TIME", type=typed(q.parse_span), help="a finer strip: what its middle gets")
    count = q.parse_count(strips.LEAST, strips.MOST)
    parser.add_argument("--strips", metavar="N", type=typed(count), help=f"{strips.LEAST} to {strips.MOST}")
    for field in (STEP, ADD, CARD):
        add_field(parser, field)
    faces(parser)


def run(args: argparse.Namespace) -> int:
    """Print the strip; 1 where something keeps it from beginning, said in a sentence."""
    return printed(args, lambda: _card(args))


def _card(args: argparse.Namespace) -> Card:
    file = found(args.recipe)
    loaded = open_recipe(file)
    own = next((s.strip for s in loaded.recipe.steps if isinstance(s, Expose) and s.strip), None)
    try:
        if own and not _asked(args):
            return Card(loaded, file, loaded.text, named=args.recipe)
        made = loads(strip_card(loaded.text, wanted_strip(args, loaded.recipe)))
        return Card(replace(made, warnings=()), file, loaded.text, named=args.recipe)
    except (NoStrip, BadRecipe, q.Misread) as error:
        raise Refusal(f"{args.recipe}: {error}") from None


def _asked(args: argparse.Namespace) -> bool:
    return any(getattr(args, word) is not None for word in ("first", "around", "strips", "step", "add"))


def wanted_strip(args: argparse.Namespace, recipe: Recipe) -> Strip:
    """The strip that the call asks for: what it does not say comes from the recipe's own time."""
    if args.first is not None and args.around is not None:
        raise q.Misread("a strip begins at a time or lies around one", "give --first or --around, not both")
    count, way = args.strips or USUAL, args.card or CARD.value("")
    if args.first is None:
        if args.add is not None:
            raise q.Misread("equal seconds need a first strip", "give --first too, like --first 5s --add 2s")
        step = args.step or USUAL_STEP
        middle = args.around or _time(recipe)
        plan = strips.around(middle, count, step, way)
        return Strip(first=plan.totals[0], step=step, strips=count, way=way)
    grows = {"add": args.add} if args.add is not None else {"step": args.step or USUAL_STEP}
    strips.plan(args.first, count, add=args.add, stops=grows.get("step"), way=way)
    return Strip(first=args.first, strips=count, way=way, **grows)


def _time(recipe: Recipe) -> int:
    for step in recipe.steps:
        if isinstance(step, Expose) and step.time is not None:
            return step.time
    if not any(isinstance(step, Expose) for step in recipe.steps):
        raise NoStrip("there is no exposure in this recipe to find the time of")
    raise q.Misread("this recipe has no time to lay a strip around", "say where it begins, like --first 5s")
