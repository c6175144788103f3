"""`traycall fog`: the paper fog test by voice, with the screen itself as the light, and how long it then leaves the paper."""

import argparse
from dataclasses import replace
from pathlib import Path

from assistant.cli.fields import whole_number
from assistant.cli.printing_words import options_of, printing_words
from assistant.printing.card import Card
from assistant.printing.fog_test import HOW, STRIP, judged, paper_of, title
from assistant.printing.opening import printed
from assistant.printing.recipe_file import found, open_recipe
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import complain, say_lines
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import loads
from assistant.recipe.strip_card import FOG_TEST, NoStrip, strip_card
from assistant.records.faults import JournalFault
from assistant.records.fogtests import BadFogTests


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    parser.add_argument("recipe", metavar="RECIPE", type=Path, help="a recipe on this paper; its baths are used")
    parser.add_argument(
        "--judged",
        type=whole_number,
        metavar="N",
        choices=range(STRIP.strips + 1),
        help="record the result of a test: N strips are as clean as the covered one",
    )
    printing_words(parser)


def run(args: argparse.Namespace) -> int:
    """Make the test, or keep a judgement; 1 where something keeps it from beginning, said in a sentence."""
    if args.judged is None:
        return printed(options_of(args), lambda: _card(args.recipe, args.light))
    try:
        if args.trial:
            raise Refusal("A trial keeps no safe time: judge a test that is in the records, without --trial.")
        say_lines(judged(open_recipe(args.recipe).recipe, args.light, args.judged).split("\n"))
    except (Refusal, BadFogTests, JournalFault, OSError) as error:
        complain(error)
        return 1
    return 0


def _card(named: Path, level: str) -> Card:
    file = found(named)
    loaded = open_recipe(file)
    if level == "blackout":
        raise Refusal("A black screen needs no test: give the level that your paper will see, like --light paper.")
    paper_of(loaded.recipe)
    try:
        text = strip_card(loaded.text, STRIP, title=title(level), name=FOG_TEST)
        return Card(replace(loads(text), warnings=()), file, loaded.text, notes=HOW)
    except (NoStrip, BadRecipe) as error:
        raise Refusal(f"{named}: {error}") from None
