"""`traycall run`: print an edition. Wires clock, sound desk, journal and a face around one conductor."""

import argparse
import contextlib
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.cli.opening import Refusal, frozen_score, open_recipe, score_of
from assistant.planning.needs import needed

if TYPE_CHECKING:
    from assistant.conductor.conductor import Conductor
    from assistant.devices.clock import SessionClock
    from assistant.records.journal import Journal, SessionJournal
    from assistant.records.steady import SteadyJournal
    from assistant.score.score import Score

LEVELS = ("paper", "work", "setup", "blackout")


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    add = parser.add_argument
    add("recipe", metavar="RECIPE", type=Path, nargs="?", help="a recipe file, or the name of one that is shipped")
    add("--copies", type=int, metavar="N", help="how many copies (default: the recipe's)")
    add("--resume", action="store_true", help="go on with the session that was not ended")
    add("--plain", action="store_true", help="a line for everything heard, on a terminal that is not dark")
    add("--silent", action="store_true", help="no sound at all")
    add(
        "--guard",
        action=argparse.BooleanOptionalAction,
        default=False,
        help="keep the terminal red on black whatever happens, until `lights` is typed",
    )
    add("--light", choices=LEVELS, default="paper", help="how bright the screen may be (default: paper)")


def run(args: argparse.Namespace) -> int:
    """Print; 1 where something keeps the session from beginning, said in a sentence."""
    from assistant.records.file import JournalFault

    try:
        return _guarded(args) if args.guard else _run(args)
    except (Refusal, JournalFault) as error:
        print(error, file=sys.stderr)
        return 1


def _guarded(args: argparse.Namespace) -> int:
    """The same call once more, on an inner terminal behind the gate; the recipe is read first, while words can be seen."""
    import os

    from assistant.terminal.channel import guarded_key

    if guarded_key(os.environ) or args.plain or not (sys.stdin.isatty() and sys.stdout.isatty()):
        return _run(args)
    if args.recipe is not None:
        score_of(open_recipe(args.recipe), args.copies)
    from assistant.terminal.launch import Refused, guard

    program = [sys.executable, "-m", "assistant"]
    again = [*program, "run", "--resume", "--guard", "--light", args.light, *(["--silent"] if args.silent else [])]
    try:
        return guard([*program, *sys.argv[1:]], args.light, again)
    except Refused as error:
        raise Refusal(f"{error} Or without --guard: then only the program itself keeps to red.") from None


@dataclass(frozen=True)
class Opened:
    """What a session needs before its first beat: `since` is where a session that is gone on with last lived."""

    score: "Score"
    kept: "SessionJournal"
    clock: "SessionClock"
    since: int | None = None


def _run(args: argparse.Namespace) -> int:
    from assistant.devices.settings import BadSetting
    from assistant.records.journal import Journal
    from assistant.records.steady import SteadyJournal

    try:
        with Journal.open() as journal:
            opened = _opened(args, journal)
            steady = SteadyJournal(opened.kept)
            with _conducted(args, opened, steady) as conductor:
                _face(args)(conductor)
                return _closed(opened, steady, conductor)
    except BadSetting as error:
        raise Refusal(str(error)) from None


def _opened(args: argparse.Namespace, journal: "Journal") -> Opened:
    left = journal.unfinished()
    if left is not None and (args.resume or _wants(journal, left.number, left.title)):
        return _resumed(journal, left.number)
    if args.resume:
        raise Refusal("There is no session to go on with: every one was ended.")
    if args.recipe is None:
        _choose(args)
    return _begun(args, journal)


def _choose(args: argparse.Namespace) -> None:
    """Which recipe and how many copies: asked on the screen, or in a sentence where there is none."""
    if args.plain or not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise Refusal("Say which recipe: traycall run RECIPE. Those that came with the program: " + ", ".join(_shipped()))
    from assistant.screens.choosing import Offered, choose

    chosen = choose([Offered(name, open_recipe(Path(name)).recipe) for name in _shipped()], gated=args.guard)
    if chosen is None:
        raise Refusal("Nothing was chosen.")
    args.recipe, args.copies = Path(chosen.name), chosen.copies


def _shipped() -> list[str]:
    from assistant.places import shipped

    return sorted(file.stem for file in shipped("recipes").glob("*.yaml"))


def _wants(journal: "Journal", number: int, title: str) -> bool:
    """Whether the printer wants to go on with what was left; a no ends that session for good."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        print(f"Session {number}, {title}, was not ended: `traycall run --resume` goes on with it.", file=sys.stderr)
        return False
    print(f"Session {number}, {title}, was not ended. Go on with it? Enter: yes. n: no, end it. ", end="", flush=True)
    if not sys.stdin.readline().strip().lower().startswith("n"):
        return True
    from assistant.devices.clock import SessionClock

    kept, _ = journal.resume(number, SessionClock.resumed)
    kept.finish(kept.mark.at)
    return False


def _begun(args: argparse.Namespace, journal: "Journal") -> Opened:
    from assistant.cli.records import baths_before
    from assistant.devices.clock import SessionClock

    loaded = open_recipe(args.recipe)
    score = score_of(loaded, args.copies)
    lines = [*(fault.said(args.recipe.name) for fault in loaded.warnings), *needed(score.plan)]
    print("\n".join([*lines, *baths_before(journal, loaded.recipe, score.plan.copies)]), flush=True)
    clock = SessionClock.begin()
    name, copies = args.recipe.name, score.plan.copies
    kept = journal.begin(clock, recipe=loaded.text, title=loaded.recipe.title, file=name, copies=copies)
    return Opened(score, kept, clock)


def _resumed(journal: "Journal", number: int) -> Opened:
    from assistant.devices.clock import SessionClock

    session = journal.session(number)
    kept, clock = journal.resume(number, SessionClock.resumed)
    if clock.doubt:
        print(clock.doubt, file=sys.stderr)
    return Opened(frozen_score(session.recipe, session.file, session.copies), kept, clock, kept.mark.at)


@contextlib.contextmanager
def _conducted(args: argparse.Namespace, opened: Opened, steady: "SteadyJournal") -> "Iterator[Conductor]":
    from assistant.conductor.conductor import Conductor
    from assistant.devices.desk import open_desk
    from assistant.devices.wakefulness import kept_awake
    from assistant.session.advance import advance, open_bench
    from assistant.session.happenings import Woke

    bench = open_bench(opened.score)
    for entry in opened.kept.entries():
        bench = advance(bench, entry.happening, entry.at).bench
    with kept_awake(), open_desk(opened.clock, silent=args.silent) as desk:
        conductor = Conductor(bench, opened.clock, desk, steady)
        conductor.open()
        if opened.since is not None:
            conductor.tell(Woke(max(opened.since, bench.now)))
        yield conductor


def _face(args: argparse.Namespace) -> "Callable[[Conductor], None]":
    if args.plain or not (sys.stdin.isatty() and sys.stdout.isatty()):
        from assistant.cli.plain import on_this_terminal

        return lambda conductor: on_this_terminal(conductor).run()
    from assistant.screens.app import run_session

    return lambda conductor: run_session(conductor, level=args.light, gated=args.guard)


def _closed(opened: Opened, steady: "SteadyJournal", conductor: "Conductor") -> int:
    from assistant.cli.rehearse import summary

    bench, number = conductor.bench, opened.kept.session.number
    print("\n".join(summary(bench)))
    if bench.finished:
        steady.finish(bench.now)
        print(f"Session {number} is kept: `traycall records show {number}` tells it again.")
    else:
        opened.kept.leave()
        print("The session is not ended: `traycall run --resume` goes on with it.")
    return 0
