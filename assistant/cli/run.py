"""`traycall run`: print an edition. Wires clock, sound desk, journal and a face around one conductor."""

import argparse
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.cli.refusal import Refusal

if TYPE_CHECKING:
    from assistant.conductor.conductor import Conductor
    from assistant.devices.clock import SessionClock
    from assistant.recipe.loader import Loaded
    from assistant.recipe.model import Recipe
    from assistant.records.journal import Journal, SessionJournal
    from assistant.records.steady import SteadyJournal
    from assistant.score.score import Score
    from assistant.session.bench import Bench

LEVELS = ("paper", "work", "setup", "blackout")


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
    add("--light", choices=LEVELS, default="paper", help="how bright the screen may be (default: paper)")


@dataclass(frozen=True)
class Card:
    """A recipe that is to be printed, what it is called in the records, and the file it was read from with its text."""

    loaded: "Loaded"
    file: Path
    text: str
    copies: int | None = None
    notes: tuple[str, ...] = ()
    """What is to be read before it begins, besides what is needed."""

    @property
    def name(self) -> str:
        """The file's name, without its folders."""
        return self.file.name


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
    from assistant.terminal.choice import Refused, unguarded
    from assistant.terminal.launch import guard, is_guarded

    if is_guarded() or args.plain or not _on_terminal():
        return _run(args, read)
    refused = None
    if args.guard is not False:
        program = [sys.executable, "-m", "assistant"]
        again = [*program, "run", "--resume", "--light", args.light, *(["--silent"] if args.silent else [])]
        try:
            return guard([*program, *sys.argv[1:]], args.light, again, first=(lambda: _readable(read())) if early else None)
        except Refused as error:
            refused = error
    try:
        print(unguarded(args.guard, refused), flush=True)
    except Refused as error:
        raise Refusal(str(error)) from None
    return _run(args, read)


def _readable(card: Card) -> None:
    from assistant.cli.opening import score_of

    score_of(card.loaded, card.copies)


@dataclass(frozen=True)
class Opened:
    """What a session needs before its first beat: `since` is where a session that is gone on with last lived."""

    score: "Score"
    kept: "SessionJournal"
    clock: "SessionClock"
    since: int | None = None
    card: Card | None = None


def _run(args: argparse.Namespace, read: "Callable[[], Card]") -> int:
    from assistant.devices.pedal import BadPedal
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
    from assistant.planning.needs import needed
    from assistant.terminal import light

    recipe, score = card.loaded.recipe, score_of(card.loaded, card.copies)
    lines = [*(fault.said(card.name) for fault in card.loaded.warnings), *needed(score.plan)]
    lines += [*card.notes, *baths_before(journal, recipe, score.plan.copies)]
    if _watched(args, recipe):
        from assistant.cli.fog import standing

        lines.append(standing(recipe, args.light)[0])
    print("\n".join(filter(None, [*lines, light.caution()])), flush=True)
    if not args.silent and _on_terminal():
        from assistant.cli.soundcheck import sound_check

        sound_check(score)
    clock, copies = SessionClock.begin(), score.plan.copies
    kept = journal.begin(clock, recipe=card.loaded.text, title=recipe.title, file=card.name, copies=copies)
    return _played(args, Opened(score, kept, clock, card=card))


def _resumed(args: argparse.Namespace, journal: "Journal", number: int) -> int:
    from assistant.cli.opening import frozen_score
    from assistant.devices.clock import SessionClock

    session = journal.session(number)
    kept, clock = journal.resume(number, SessionClock.resumed)
    if clock.doubt:
        print(clock.doubt, file=sys.stderr)
    score = frozen_score(session.recipe, session.file, session.copies)
    return _played(args, Opened(score, kept, clock, kept.mark.at))


def _played(args: argparse.Namespace, opened: Opened) -> int:
    """From the first beat to the last, and what there is to say afterwards."""
    from assistant.cli.watched import Watched
    from assistant.conductor.conductor import Conductor
    from assistant.devices.desk import open_desk
    from assistant.devices.wakefulness import kept_awake
    from assistant.records.steady import SteadyJournal
    from assistant.session.advance import advance, open_bench
    from assistant.session.happenings import Woke

    bench = open_bench(opened.score)
    for entry in opened.kept.entries():
        bench = advance(bench, entry.happening, entry.at).bench
    steady = SteadyJournal(opened.kept)
    with kept_awake() as awake, open_desk(opened.clock, silent=args.silent) as desk:
        if not awake:
            print("The system does not promise to stay awake: switch its sleep off while you print.", flush=True)
        conductor = Conductor(bench, opened.clock, desk, steady)
        if opened.card is not None:
            conductor.asides.append(Watched(opened.card.file, opened.card.text))
        conductor.open()
        if opened.card is not None and _watched(args, opened.score.plan.recipe):
            _remind(conductor, args.light)
        if opened.since is not None:
            conductor.tell(Woke(max(opened.since, bench.now)))
        _face(args)(conductor)
    return _closed(args, opened, steady, conductor)


def _watched(args: argparse.Namespace, recipe: "Recipe") -> bool:
    """Whether paper will see the screen, and no test of it is being made."""
    return not args.plain and _on_terminal() and args.light != "blackout" and recipe.light == "safe" and not is_fog_test(recipe)


def is_fog_test(recipe: "Recipe") -> bool:
    """Whether the light of a recipe is the screen's own."""
    from assistant.recipe.strip_card import FOG_TEST

    return any(step.kind == "expose" and step.name == FOG_TEST for step in recipe.steps)


def _remind(conductor: "Conductor", level: str) -> None:
    from assistant.cli.fog import standing
    from assistant.score import words

    if not standing(conductor.bench.plan.recipe, level)[1]:
        conductor.remark(words.SCREEN_UNTESTED)


def _card(args: argparse.Namespace) -> Card:
    """The recipe that was named, or which one and how many copies: asked on the screen, or in a sentence where there is none."""
    if args.recipe is not None:
        return card_of(args.recipe, args.copies)
    if args.plain or not _on_terminal():
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


def _on_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _wants(journal: "Journal", number: int, title: str) -> bool:
    """Whether the printer wants to go on with what was left; a no ends that session for good."""
    if not _on_terminal():
        print(f"Session {number}, {title}, was not ended: `traycall run --resume` goes on with it.", file=sys.stderr)
        return False
    print(f"Session {number}, {title}, was not ended. Go on with it? Enter: yes. n: no, end it. ", end="", flush=True)
    if not sys.stdin.readline().strip().lower().startswith("n"):
        return True
    from assistant.devices.clock import SessionClock

    kept, _ = journal.resume(number, SessionClock.resumed)
    kept.finish(kept.mark.at)
    return False


def _face(args: argparse.Namespace) -> "Callable[[Conductor], None]":
    if args.plain or not _on_terminal():
        from assistant.cli.plain import on_this_terminal

        return lambda conductor: on_this_terminal(conductor).run()
    from assistant.devices.button import QUIET
    from assistant.devices.hands import one_button
    from assistant.devices.pedal import kept
    from assistant.devices.settings import read_settings
    from assistant.screens.app import run_session
    from assistant.terminal.launch import is_guarded

    pedal, bound = kept(), read_settings().bound

    def show(conductor: "Conductor") -> None:
        hand = one_button(conductor, pedal.quiet if pedal else QUIET)
        run_session(conductor, hand, level=args.light, gated=is_guarded(), bound=bound, button=pedal.key if pedal else "")

    return show


def _closed(args: argparse.Namespace, opened: Opened, steady: "SteadyJournal", conductor: "Conductor") -> int:
    from assistant.cli.rehearse import summary

    bench, number = conductor.bench, opened.kept.session.number
    print("\n".join(summary(bench)))
    if bench.finished:
        steady.finish(bench.now)
        print(f"Session {number} is kept: `traycall records show {number}` tells it again.")
        _offer(args, bench, opened.card)
    else:
        opened.kept.leave()
        print("The session is not ended: `traycall run --resume` goes on with it.")
    return 0


def _offer(args: argparse.Namespace, bench: "Bench", card: Card | None) -> None:
    """After a strip: what its picked time is good for."""
    totals = bench.score.totals
    if is_fog_test(bench.plan.recipe):
        from assistant.cli.fog import ask

        ask(bench.plan.recipe, args.light, bench.picked, _on_terminal())
    elif totals and bench.picked is not None:
        from assistant.cli.picked import Pick, offer

        offer(Pick(totals, bench.picked), card.file if card else None, ask=_on_terminal())
