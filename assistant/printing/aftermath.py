"""What there is to say and to offer when a session is over, or was left."""

from typing import TYPE_CHECKING

from assistant.devices.settings import read_settings
from assistant.history.own_pace import proposed
from assistant.history.summary import summary
from assistant.printing import fog_test, judged_strip
from assistant.printing.card import Card
from assistant.printing.options import Options, on_terminal
from assistant.printing.text_out import say_lines
from assistant.recipe.strip_card import part_of
from assistant.session.bench import Bench
from assistant.session.happenings import Pick

if TYPE_CHECKING:
    from assistant.records.buffered_journal import BufferedJournal


def judged(bench: Bench) -> Pick | None:
    """Which strip of a strip that is out is the good one, where nobody has said so yet and somebody can be asked."""
    if not bench.score.totals or bench.picked is not None or not bench.finished or not on_terminal():
        return None
    if not any(copy.done for copy in bench.copies) or fog_test.is_fog_test(bench.plan.recipe):
        return None
    strip = judged_strip.which(bench.score.totals)
    return Pick(strip) if strip is not None else None


def closed(options: Options, number: int, buffered: "BufferedJournal", bench: Bench, card: Card | None) -> Card | None:
    """Say each copy's true times and how to go on; a session that is over is ended in the records.

    The card that is to be printed next, where one was asked for.
    """
    pace = proposed(bench, read_settings().own_hands)
    say_lines([*summary(bench), *([pace] if pace else [])])
    if bench.finished:
        buffered.finish(bench.now, bench)
        if options.trial:
            say_lines(["This was a trial: it is not among the records."])
        else:
            say_lines([f"Session {number} is recorded: see `traycall records show {number}`."])
        return _offer(options, bench, card)
    say_lines([f"The session is not ended: resume it with `{options.resuming}`."])
    buffered.leave()
    return None


def _offer(options: Options, bench: Bench, card: Card | None) -> Card | None:
    """After a strip: what its picked time is good for."""
    if fog_test.is_fog_test(bench.plan.recipe):
        fog_test.ask(bench, options.light, on_terminal(), options.trial)
    elif bench.score.totals and bench.picked is not None:
        strip = judged_strip.JudgedStrip(bench.score.totals, bench.picked, part_of(bench.plan.recipe))
        return judged_strip.offer(strip, card, ask=on_terminal())
    return None
