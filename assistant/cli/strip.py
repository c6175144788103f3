"""`traycall strip`: a test strip as a session, in the paper and baths of the print that it is for."""

import argparse
from dataclasses import dataclass, replace
from pathlib import Path

from assistant.calculations.in_parts import ADD, CARD, STEP
from assistant.cli.fields import add_field, typed
from assistant.cli.printing_words import options_of, printing_words
from assistant.printing.card import Card
from assistant.printing.opening import printed
from assistant.printing.recipe_file import found, open_recipe
from assistant.printing.refusal import Refusal
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import loads
from assistant.recipe.model import Expose, Recipe, Strip
from assistant.recipe.strip_card import NoStrip, strip_card
from assistant.recipe.time_rewriting import CannotRewrite, time_of
from assistant.trade import quantities as q
from assistant.trade import strips
from assistant.trade.strips import CardWay

USUAL, USUAL_STEP = 6, 1 / 2
"""Strips, and stops from one to the next, around the recipe's own time where nothing else is said; common practice."""


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    parser.add_argument(
        "recipe", metavar="RECIPE", type=Path, help="the print's recipe: a file, or a name that `traycall recipes` lists"
    )
    parser.add_argument("--first", metavar="TIME", type=typed(q.parse_span), help="what the lightest strip gets, like 5s")
    parser.add_argument("--around", metavar="TIME", type=typed(q.parse_span), help="a finer strip: what its middle gets")
    count = q.parse_count(strips.LEAST, strips.MOST)
    parser.add_argument("--strips", metavar="N", type=typed(count), help=f"{strips.LEAST} to {strips.MOST}")
    for field in (STEP, ADD, CARD):
        add_field(parser, field)
    parser.add_argument("--size", metavar="SIZE", type=typed(q.parse_size), help="of the strip, if not a whole sheet: 4x10in")
    parser.add_argument("--part", metavar="LIGHT", help="the light or the print it is for, by its name in the recipe")
    printing_words(parser)


def run(args: argparse.Namespace) -> int:
    """Print the strip; 1 where something keeps it from beginning, said in a sentence."""
    way = args.card or CARD.value("")
    wanted = StripCall(args.first, args.around, args.strips, args.step, args.add, way, args.part, args.size)
    return printed(options_of(args), lambda: _card(args.recipe, wanted))


@dataclass(frozen=True)
class StripCall:
    """What the call says of the strip; None where it says nothing. Times in ms, `step` in stops."""

    first: int | None
    around: int | None
    strips: int | None
    step: float | None
    add: int | None
    way: CardWay
    part: str | None = None
    size: q.Size | None = None

    @property
    def unsaid(self) -> bool:
        """Whether the recipe's own strip will do, where it has one."""
        return (self.first, self.around, self.strips, self.step, self.add, self.part, self.size) == (None,) * 7


def _card(named: Path, wanted: StripCall) -> Card:
    file = found(named)
    loaded = open_recipe(file)
    own = next((s.strip for s in loaded.recipe.steps if isinstance(s, Expose) and s.strip), None)
    try:
        if own and wanted.unsaid:
            return Card(loaded, file, loaded.text, named=named)
        strip = strip_of(wanted, loaded.recipe)
        made = loads(strip_card(loaded.text, strip, part=wanted.part))
        return Card(replace(made, warnings=()), file, loaded.text, notes=strip.plan().warnings, named=named)
    except (NoStrip, CannotRewrite, BadRecipe, q.Misread) as error:
        raise Refusal(f"{named}: {error}") from None


def strip_of(wanted: StripCall, recipe: Recipe) -> Strip:
    """The strip that the call asks for: what it does not say comes from the recipe's own time."""
    first, step, way, size = wanted.first, wanted.step, wanted.way, wanted.size
    if first is not None and wanted.around is not None:
        raise q.Misread("a strip begins at a time or lies around one", "give --first or --around, not both")
    count = wanted.strips or USUAL
    if first is None:
        if wanted.add is not None:
            raise q.Misread("equal seconds need a first strip", "give --first too, like --first 5s --add 2s")
        plan = strips.around(wanted.around or _time(recipe, wanted.part), count, step or USUAL_STEP, way)
        return Strip(first=plan.totals[0], step=step or USUAL_STEP, strips=count, way=way, size=size)
    if wanted.add is not None:
        strips.plan(first, count, add=wanted.add, way=way)
        return Strip(first=first, strips=count, way=way, add=wanted.add, size=size)
    strips.plan(first, count, stops=step or USUAL_STEP, way=way)
    return Strip(first=first, strips=count, way=way, step=step or USUAL_STEP, size=size)


def _time(recipe: Recipe, part: str | None) -> int:
    time = time_of(recipe, part)
    if time is not None:
        return time
    if not any(isinstance(step, Expose) for step in recipe.steps):
        raise NoStrip("there is no exposure in this recipe to find the time of")
    raise q.Misread("this recipe has no time to lay a strip around", "say where it begins, like --first 5s")
