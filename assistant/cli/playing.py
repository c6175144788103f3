"""A session from its first beat to its last, and what there is to say afterwards; wires conductor, desk, journal and face.

Whether it is begun or gone on with is settled before, in `run`.
"""

import argparse
import contextlib
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from assistant.conductor.conductor import Conductor
    from assistant.devices.clock import SessionClock
    from assistant.recipe.loader import Loaded
    from assistant.recipe.model import Recipe
    from assistant.records.journal import SessionJournal
    from assistant.records.steady import SteadyJournal
    from assistant.score.score import Score
    from assistant.session.bench import Bench


@dataclass(frozen=True)
class Card:
    """A recipe that is to be printed, what it is called in the records, and the file it was read from with its text."""

    loaded: "Loaded"
    file: Path
    text: str
    copies: int | None = None
    named: Path | None = None
    """What the printer called the file, where that is not its path."""
    notes: tuple[str, ...] = ()
    """What is to be read before it begins, besides what is needed."""

    @property
    def name(self) -> str:
        """The file's name, without its folders."""
        return self.file.name


@dataclass(frozen=True)
class Opened:
    """What a session needs before its first beat: `since` is where a session that is gone on with last lived."""

    score: "Score"
    kept: "SessionJournal"
    clock: "SessionClock"
    since: int | None = None
    card: Card | None = None


def on_terminal() -> bool:
    """Whether somebody sits before a terminal, to read and to press keys."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def played(args: argparse.Namespace, opened: Opened) -> int:
    """From the first beat to the last, and what there is to say afterwards."""
    from assistant.cli.watched import Watched
    from assistant.conductor.conductor import Conductor
    from assistant.devices.desk import open_desk
    from assistant.devices.keep_awake import kept_awake
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
        if opened.card is not None and sees_the_screen(args, opened.score.plan.recipe):
            _remind(conductor, args.light)
        if opened.since is not None:
            conductor.tell(Woke(max(opened.since, bench.now)))
        with contextlib.suppress(KeyboardInterrupt):  # on a plain terminal: the session is left, not lost
            _face(args)(conductor)
    return _closed(args, opened, steady, conductor)


def sees_the_screen(args: argparse.Namespace, recipe: "Recipe") -> bool:
    """Whether paper will see the screen, and no test of it is being made."""
    return not args.plain and on_terminal() and args.light != "blackout" and recipe.light == "safe" and not is_fog_test(recipe)


def is_fog_test(recipe: "Recipe") -> bool:
    """Whether the light of a recipe is the screen's own."""
    from assistant.recipe.strip_card import FOG_TEST

    return any(step.kind == "expose" and step.name == FOG_TEST for step in recipe.steps)


def _remind(conductor: "Conductor", level: str) -> None:
    from assistant.cli.fog import standing
    from assistant.score import words

    if not standing(conductor.bench.plan.recipe, level)[1]:
        conductor.remark(words.SCREEN_UNTESTED)


def _face(args: argparse.Namespace) -> "Callable[[Conductor], None]":
    if args.plain or not on_terminal():
        from assistant.cli.plain import on_this_terminal

        return lambda conductor: on_this_terminal(conductor).run()
    from assistant.buttons.button import QUIET
    from assistant.buttons.one_button import one_button
    from assistant.buttons.pedal import kept
    from assistant.devices.settings import read_settings
    from assistant.screens.app import Seen, run_session
    from assistant.terminal.launch import is_guarded

    pedal, bound = kept(), read_settings().bound

    def show(conductor: "Conductor") -> None:
        hand = one_button(conductor, pedal.quiet if pedal else QUIET)
        run_session(conductor, hand, Seen(args.light, is_guarded(), bound, pedal.key if pedal else ""))

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

        ask(bench.plan.recipe, args.light, bench.picked, on_terminal())
    elif totals and bench.picked is not None:
        from assistant.cli.picked import Pick, offer

        offer(Pick(totals, bench.picked), (card.named or card.file) if card else None, ask=on_terminal())
