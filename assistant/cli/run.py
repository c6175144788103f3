"""`traycall run`: print an edition. Wires clock, sound desk, journal and a face around one conductor."""

import argparse
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.cli.playing import Card, Opened, on_terminal, played, sees_the_screen
from assistant.cli.refusal import Refusal
from assistant.terminal.levels import DEFAULT, LEVELS

if TYPE_CHECKING:
    from assistant.records.journal import Journal


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    add = parser.add_argument
    add("recipe", metavar="RECIPE", type=Path, nargs="?", help="a recipe file, or the name of one that is shipped")
    add("--copies", type=int, metavar="N", help="how many copies (default: the recipe's)")
    add("--resume", action="store_true", help="go on with the session that was not ended")
    faces(parser)


def faces(parser: argparse.ArgumentParser) -> None:
    """The words that every printing command has: how it is seen and heard."""
    add = parser.add_argument
    add("--plain", action="store_true", help="a line for everything heard, on a terminal that is not dark")
    add("--silent", action="store_true", help="no sound at all")
    add(
        "--guard",
        action=argparse.BooleanOptionalAction,
        default=None,
        help="keep the terminal red on black whatever happens, until `lights` is typed (default: where the terminal can)",
    )
    add("--light", choices=LEVELS, default=DEFAULT, help="how bright the screen may be (default: paper)")


def run(args: argparse.Namespace) -> int:
    """Print; 1 where something keeps the session from beginning, said in a sentence."""
    return printed(args, lambda: _card(args), early=args.recipe is not None)


def printed(args: argparse.Namespace, read: "Callable[[], Card]", early: bool = True) -> int:
    """Print the card that `read` gives, or go on with what was left; `early` where it can be read before any screen is."""
    from assistant.records.file import JournalFault

    try:
        return _guarded(args, read, early)
    except (Refusal, JournalFault) as error:
        print(error, file=sys.stderr)
        return 1


def _guarded(args: argparse.Namespace, read: "Callable[[], Card]", early: bool) -> int:
    """The same call once more, on an inner terminal behind the gate; the recipe is read first, while words can be seen."""
    from assistant.terminal.black import unlaunched
    from assistant.terminal.choice import Refused, unguarded
    from assistant.terminal.launch import guard, is_guarded

    if is_guarded() or args.plain or not on_terminal():
        return _run(args, read)
    refused = None
    if args.guard is not False:
        program = [sys.executable, "-m", "assistant"]
        again = [*program, "run", "--resume", "--light", args.light, *(["--silent"] if args.silent else [])]
        try:
            return guard([*program, *sys.argv[1:]], args.light, again, first=(lambda: _readable(read())) if early else None)
        except Refused as error:
            refused = error
    sys.stdout.write(unlaunched(os.environ))
    try:
        print(unguarded(args.guard, refused), flush=True)
    except Refused as error:
        raise Refusal(str(error)) from None
    return _run(args, read)


def _readable(card: Card) -> None:
    from assistant.cli.opening import score_of

    score_of(card.loaded, card.copies)


def _run(args: argparse.Namespace, read: "Callable[[], Card]") -> int:
    from assistant.buttons.pedal import BadPedal
    from assistant.devices.settings import BadSetting
    from assistant.records.fogtests import BadFogTests
    from assistant.records.journal import Journal

    try:
        with Journal.open() as journal:
            left = journal.unfinished()
            if left is not None and (getattr(args, "resume", False) or _wants(journal, left.number, left.title)):
                return _resumed(args, journal, left.number)
            if getattr(args, "resume", False):
                raise Refusal("There is no session to go on with: every one was ended.")
            return _begun(args, journal, read())
    except (BadSetting, BadPedal, BadFogTests) as error:
        raise Refusal(str(error)) from None


def _begun(args: argparse.Namespace, journal: "Journal", card: Card) -> int:
    from assistant.cli.opening import score_of
    from assistant.cli.records import baths_before
    from assistant.devices.clock import SessionClock
    from assistant.planning.briefing import needed
    from assistant.terminal import light

    recipe, score = card.loaded.recipe, score_of(card.loaded, card.copies)
    lines = [*(fault.said(card.name) for fault in card.loaded.warnings), *needed(score.plan)]
    lines += [*card.notes, *baths_before(journal, recipe, score.plan.copies)]
    if sees_the_screen(args, recipe):
        from assistant.cli.fog import standing

        lines.append(standing(recipe, args.light)[0])
    print("\n".join(filter(None, [*lines, light.caution()])), flush=True)
    if not args.silent and on_terminal():
        from assistant.cli.soundcheck import sound_check

        sound_check(score)
    clock, copies = SessionClock.begin(), score.plan.copies
    kept = journal.begin(clock, recipe=card.loaded.text, title=recipe.title, file=card.name, copies=copies)
    return played(args, Opened(score, kept, clock, card=card))


def _resumed(args: argparse.Namespace, journal: "Journal", number: int) -> int:
    from assistant.cli.opening import frozen_score
    from assistant.devices.clock import SessionClock

    session = journal.session(number)
    kept, clock = journal.resume(number, SessionClock.resumed)
    if clock.doubt:
        print(clock.doubt, file=sys.stderr)
    score = frozen_score(session.recipe, session.file, session.copies)
    return played(args, Opened(score, kept, clock, kept.mark.at))


def _card(args: argparse.Namespace) -> Card:
    """The recipe that was named, or which one and how many copies: asked on the screen, or in a sentence where there is none."""
    if args.recipe is not None:
        return card_of(args.recipe, args.copies)
    if args.plain or not on_terminal():
        from assistant.cli.dryside import shipped_names

        raise Refusal("Say which recipe: traycall run RECIPE. Those that came with the program: " + ", ".join(shipped_names()))
    from assistant.cli.dryside import chosen

    wanted = chosen(args.silent)
    args.light = wanted.level
    return card_of(Path(wanted.name), wanted.copies)


def card_of(named: Path, copies: int | None) -> Card:
    """A recipe file's card; Refusal says all that is wrong with it."""
    from assistant.cli.opening import found, open_recipe

    file = found(named)
    loaded = open_recipe(file)
    return Card(loaded, file, loaded.text, copies)


def _wants(journal: "Journal", number: int, title: str) -> bool:
    """Whether the printer wants to go on with what was left; a no ends that session for good."""
    if not on_terminal():
        print(f"Session {number}, {title}, was not ended: `traycall run --resume` goes on with it.", file=sys.stderr)
        return False
    answer = "?"
    while answer not in ("", "y", "yes", "n", "no"):
        print(f"Session {number}, {title}, was not ended. Go on with it? Enter: yes. n: no, end it. ", end="", flush=True)
        line = sys.stdin.readline()
        if not line:
            raise Refusal("Nothing was begun.")
        answer = line.strip().lower()
    if answer in ("", "y", "yes"):
        return True
    from assistant.devices.clock import SessionClock

    kept, _ = journal.resume(number, SessionClock.resumed)
    kept.finish(kept.mark.at)
    return False
