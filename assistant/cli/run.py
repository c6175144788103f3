"""`traycall run`: print an edition. Wires clock, sound desk, journal and a face around one conductor."""

import argparse
import contextlib
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.cli.opening import Refusal, frozen_score, open_recipe, score_of

if TYPE_CHECKING:
    from assistant.conductor.conductor import Conductor
    from assistant.devices.clock import SessionClock
    from assistant.records.journal import Journal, SessionJournal
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
    add("--no-guard", action="store_true", help="without the supervisor that keeps the terminal dark")
    add("--light", choices=LEVELS, default="paper", help="how bright the screen may be (default: paper)")


def run(args: argparse.Namespace) -> int:
    """Print; 1 where something keeps the session from beginning, said in a sentence."""
    from assistant.records.file import JournalFault

    try:
        return _run(args)
    except (Refusal, JournalFault) as error:
        print(error, file=sys.stderr)
        return 1


@dataclass(frozen=True)
class Opened:
    """What a session needs before its first beat: `since` is where a session that is gone on with last lived."""

    score: "Score"
    journal: "SessionJournal"
    clock: "SessionClock"
    since: int | None = None


def _run(args: argparse.Namespace) -> int:
    from assistant.records.journal import Journal

    with Journal.open() as journal:
        opened = _opened(args, journal)
        with _sound(args, opened) as conductor:
            _face(args)(conductor)
            return _closed(opened, conductor)


def _opened(args: argparse.Namespace, journal: "Journal") -> Opened:
    left = journal.unfinished()
    if left is not None and (args.resume or _wants(left.number, left.title)):
        return _resumed(journal, left.number)
    if args.resume:
        raise Refusal("There is no session to go on with: every one was ended.")
    if args.recipe is None:
        raise Refusal("Say which recipe: traycall run RECIPE. `traycall check` reads them, `traycall rehearse` tries them.")
    return _begun(args, journal)


def _wants(number: int, title: str) -> bool:
    """Whether the printer wants to go on with what was left; asked before anything else is begun."""
    if not sys.stdin.isatty():
        print(f"Session {number}, {title}, was not ended: `traycall run --resume` goes on with it.", file=sys.stderr)
        return False
    print(f"Session {number}, {title}, was not ended. Go on with it? [Y/n] ", end="", flush=True)
    return sys.stdin.readline().strip().lower() not in ("n", "no")


def _begun(args: argparse.Namespace, journal: "Journal") -> Opened:
    from assistant.devices.clock import SessionClock

    loaded = open_recipe(args.recipe)
    score = score_of(loaded, args.copies)
    clock = SessionClock.begin()
    kept = journal.begin(
        clock,
        recipe=loaded.text,
        title=loaded.recipe.title,
        file=args.recipe.name,
        copies=score.plan.copies,
    )
    return Opened(score, kept, clock)


def _resumed(journal: "Journal", number: int) -> Opened:
    from assistant.devices.clock import SessionClock

    session = journal.session(number)
    kept, clock = journal.resume(number, SessionClock.resumed)
    if clock.doubt:
        print(clock.doubt, file=sys.stderr)
    return Opened(frozen_score(session.recipe, session.file, session.copies), kept, clock, kept.mark.at)


@contextlib.contextmanager
def _sound(args: argparse.Namespace, opened: Opened) -> "Iterator[Conductor]":
    from assistant.conductor.conductor import Conductor
    from assistant.devices.desk import open_desk
    from assistant.devices.wakefulness import kept_awake
    from assistant.session.advance import advance, open_bench
    from assistant.session.happenings import Woke

    bench = open_bench(opened.score)
    for entry in opened.journal.entries():
        bench = advance(bench, entry.happening, entry.at).bench
    with kept_awake(), open_desk(opened.clock, silent=args.silent) as desk:
        conductor = Conductor(bench, opened.clock, desk, opened.journal)
        conductor.open()
        if opened.since is not None:
            conductor.tell(Woke(max(opened.since, bench.now)))
        yield conductor


def _face(args: argparse.Namespace) -> "Callable[[Conductor], None]":
    if args.plain or not (sys.stdin.isatty() and sys.stdout.isatty()):
        from assistant.cli.plain import on_this_terminal

        return lambda conductor: on_this_terminal(conductor).run()
    from assistant.screens.app import run_session

    return lambda conductor: run_session(conductor, level=args.light)


def _closed(opened: Opened, conductor: "Conductor") -> int:
    from assistant.cli.rehearse import summary

    bench = conductor.bench
    print("\n".join(summary(bench)))
    if bench.finished:
        opened.journal.finish(bench.now)
        print(f"Session {opened.journal.session.number} is kept: traycall records show {opened.journal.session.number}")
    else:
        opened.journal.leave()
        print("The session is not ended: `traycall run --resume` goes on with it.")
    return 0
