"""A session from its first beat to its last: wires conductor, sound desk, journal and face around one bench.

Whether it is begun or gone on with is settled before, in `opening`.
"""

import contextlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from assistant.conductor.conductor import Conductor
from assistant.conductor.planner import planner_for
from assistant.devices.clock import SessionClock
from assistant.devices.desk import open_desk
from assistant.devices.ears import Listener
from assistant.devices.keep_awake import NOT_AWAKE, kept_awake
from assistant.devices.settings import read_settings
from assistant.printing import fog_test
from assistant.printing.aftermath import closed, judged
from assistant.printing.before_toning import BeforeToning
from assistant.printing.by_voice import worked_by_voice
from assistant.printing.card import Card
from assistant.printing.first_words import say_first
from assistant.printing.options import Options
from assistant.printing.recipe_watch import RecipeWatch
from assistant.printing.text_out import say_lines
from assistant.records.buffered_journal import BufferedJournal
from assistant.score.score import Score
from assistant.session.advance import advance, open_bench
from assistant.session.bench import Bench

if TYPE_CHECKING:
    from assistant.records.journal import Journal
    from assistant.records.session_journal import SessionJournal


@dataclass(frozen=True)
class Opened:
    """What a session needs before its first beat: `since` is where a session that is gone on with last lived."""

    score: Score
    kept: "SessionJournal"
    clock: SessionClock
    since: int | None = None
    card: Card | None = None
    journal: "Journal | None" = None
    """The records, to be asked before toning."""
    remarks: tuple[str, ...] = ()
    """What is to be said at the beginning, besides what is promised and what the card has to say."""
    ears: Listener | None = None


def played(options: Options, opened: Opened) -> Card | None:
    """From the first beat to the last, and what there is to say afterwards; the card that is to be printed next, if any."""
    bench = open_bench(opened.score)
    for entry in opened.kept.entries():
        bench = advance(bench, entry.happening, entry.at).bench
    with BufferedJournal(opened.kept) as buffered:
        bench = _played(options, opened, bench, buffered)
        return closed(options, opened.kept.session.number, buffered, bench, opened.card)


def _played(options: Options, opened: Opened, bench: Bench, buffered: BufferedJournal) -> Bench:
    with kept_awake() as awake, open_desk(opened.clock, silent=options.silent) as desk:
        if not awake and not options.seen:  # the full screen would cover it at once: there `opening` says it, to be read
            say_lines([NOT_AWAKE])
        hands = read_settings().own_hands
        conductor = Conductor(bench, opened.clock, desk, buffered, planner_for(opened.score, hands))
        if opened.card is not None and opened.card.watched:
            conductor.asides.append(RecipeWatch(opened.card.file, opened.card.text))
        if fog_test.is_fog_test(opened.score.plan.recipe):
            conductor.asides.append(fog_test.SecondFlash(lambda: conductor.bench))
        if opened.journal is not None:
            then = opened.card.before_toning if opened.card is not None else ""
            number = opened.kept.session.number
            conductor.asides.append(BeforeToning(lambda: conductor.bench, opened.journal, number, then))
        turn, session = None, None if options.trial else opened.kept.session.number
        if opened.ears is not None:
            turn = worked_by_voice(conductor, desk, opened.ears, opened.clock, session)
        show = _face(options, conductor, turn, explained=options.is_read and opened.since is None)
        conductor.open()
        if opened.since is not None:
            conductor.woke(opened.since)
        differs = opened.card.spoken if opened.card is not None else ""
        say_first(conductor, _of_the_screen(options, opened), differs, options.temperatures, opened.remarks)
        with contextlib.suppress(KeyboardInterrupt):  # on a plain terminal: the session is left, not lost
            show()
        if (pick := judged(conductor.bench)) is not None:
            conductor.tell(pick)
    return conductor.bench


def _of_the_screen(options: Options, opened: Opened) -> str:
    recipe = opened.score.plan.recipe
    return fog_test.standing(recipe, options.light).spoken if opened.card is not None and options.lights_paper(recipe) else ""


def _face(options: Options, conductor: Conductor, turn: Callable[[], None] | None, explained: bool) -> Callable[[], None]:
    """The face that was asked for, listening; called, it runs the session. Only one of the two is imported.

    `turn` closes the ears of a session that is worked by voice, or opens them; `explained`: a plain face's help was read.
    """
    if not options.seen:
        from assistant.printing.plain_face import on_this_terminal

        return on_this_terminal(conductor, explained).run
    from assistant.buttons.button import QUIET
    from assistant.buttons.one_button import one_button
    from assistant.buttons.pedal import kept
    from assistant.screens.app import Seen, run_session
    from assistant.terminal.brightness import is_guarded

    pedal, settings = kept(), read_settings()
    bound = settings.bound if turn is None else settings.bound_with_ears
    hand = one_button(conductor, pedal.quiet if pedal else QUIET)
    seen = Seen(options.light, is_guarded(), bound, pedal.key if pedal else "", turn)
    return lambda: run_session(conductor, hand, seen)
