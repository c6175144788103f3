"""`traycall fog`: the paper fog test by voice, with the screen itself as the light, and how long it then leaves the paper.

The strips lie open to the screen for 1, 2, 4 and 8 minutes beside one that stays covered, and go through the baths of the
print. ANSI IT2.26 and ISO 8374 reckon the safe time from them.
"""

import argparse
import sys
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from assistant.cli.opening import found, open_recipe
from assistant.cli.playing import Card
from assistant.cli.refusal import Refusal
from assistant.cli.run import faces, printed
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import loads
from assistant.recipe.model import Recipe, Strip
from assistant.recipe.strip_card import FOG_TEST, NoStrip, strip_card
from assistant.records import fogtests
from assistant.trade import quantities as q
from assistant.trade import safetime, strips

STRIP = Strip(first=60_000, step=1, strips=4, way="cover")
"""Open for 1, 2, 4 and 8 minutes (ANSI IT2.26, ISO 8374)."""
TOTALS = strips.plan(STRIP.first, STRIP.strips, stops=STRIP.step).totals
HOW = (
    "Before it: flash half the sheet to a light grey under the lamp, and lay it where your paper lies nearest to the screen.",
    "Keep one strip covered all the time; the card covers one more at every pip. Only screen and safelight may be on.",
    "After it: flash the other half to the same grey, then develop. Look at the flashed halves: they fog sooner.",
)


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    parser.add_argument("recipe", metavar="RECIPE", type=Path, help="of a print on this paper: its name and baths are used")
    parser.add_argument(
        "--judged",
        type=int,
        metavar="N",
        choices=range(STRIP.strips + 1),
        help="keep what a test showed that was made before: N strips are as clean as the covered one",
    )
    faces(parser)


def run(args: argparse.Namespace) -> int:
    """Make the test, or keep a judgement; 1 where something keeps it from beginning, said in a sentence."""
    if args.judged is None:
        return printed(args, lambda: _card(args))
    try:
        print(judged(open_recipe(args.recipe).recipe, args.light, args.judged))
    except (Refusal, fogtests.BadFogTests, OSError) as error:
        print(error, file=sys.stderr)
        return 1
    return 0


def _card(args: argparse.Namespace) -> Card:
    file = found(args.recipe)
    loaded = open_recipe(file)
    if args.light == "blackout":
        raise Refusal("A black screen needs no test: give the level that your paper will see, like --light paper.")
    _paper(loaded.recipe)
    try:
        text = strip_card(loaded.text, STRIP, title=f"{FOG_TEST} at level {args.light}", name=FOG_TEST)
        return Card(replace(loads(text), warnings=()), file, loaded.text, notes=HOW)
    except (NoStrip, BadRecipe) as error:
        raise Refusal(f"{args.recipe}: {error}") from None


def _paper(recipe: Recipe) -> str:
    if recipe.paper is None or not recipe.paper.name:
        raise Refusal(f"{recipe.title} names no paper: write paper: {{name: ...}} into it, so that the test is known again.")
    return recipe.paper.name


def judged(recipe: Recipe, level: str, clean: int) -> str:
    """Keep how many strips stayed as clean as the covered one, and what it means."""
    paper = _paper(recipe)
    if clean == 0:
        return f"Fogged within {q.format_span(TOTALS[0])}: this level is not safe for {paper}. Cover the screen, or go darker."
    fogged = TOTALS[clean] if clean < len(TOTALS) else None
    safe = safetime.safe_time(TOTALS[clean - 1], fogged)
    now = datetime.now().astimezone()
    fogtests.keep(fogtests.FogTest(paper, level, TOTALS[clean - 1], fogged, safe, now, fogtests.this_screen()))
    least = "" if fogged else "at least "
    return (
        f"{paper} by this screen at level {level}: {least}{q.format_span(safe, 0)} for all handling together. Kept.\n"
        f"{safetime.WARNINGS[2]}"
    )


def ask(recipe: Recipe, level: str, picked: int | None, terminal: bool) -> None:
    """After the test: keep the judgement, or say how to keep it later."""
    later = "When it is dry: traycall fog RECIPE --light LEVEL --judged N, N strips being as clean as the covered one."
    answer = str(picked) if picked is not None else ""
    if picked is None and terminal:
        print(f"How many strips are as clean as the covered one? 0 to {len(TOTALS)}; Enter: later. ", end="", flush=True)
        try:
            answer = input().strip()
        except (EOFError, KeyboardInterrupt):
            answer = ""
    if answer.isdecimal() and int(answer) <= len(TOTALS):
        print(judged(recipe, level, int(answer)))
    else:
        print(later)


def standing(recipe: Recipe, level: str) -> tuple[str, bool]:
    """What is known of this paper by this screen, for the start of a session, and whether it was tested."""
    name = recipe.paper.name if recipe.paper else None
    test = fogtests.latest(name, level) if name else None
    if test is None:
        what = name or "this recipe's paper"
        return f"This screen at level {level} was never tested with {what}: `traycall fog`, or cover it.", False
    least = "" if test.fogged else "at least "
    return f"Fog test of {test.day}: {name} may lie by this screen for {least}{q.format_span(test.safe, 0)} in all.", True
