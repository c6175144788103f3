"""What there is to say and to offer when a session is over, or was left."""

from typing import TYPE_CHECKING

from assistant.printing import fog_test, judged_strip
from assistant.printing.card import Card
from assistant.printing.options import Options, on_terminal
from assistant.printing.transcript import summary
from assistant.recipe.strip_card import part_of
from assistant.session.bench import Bench

if TYPE_CHECKING:
    from assistant.records.buffered_journal import BufferedJournal
    from assistant.records.session_journal import SessionJournal


def closed(options: Options, kept: "SessionJournal", buffered: "BufferedJournal", bench: Bench, card: Card | None) -> int:
    """Say each copy's true times and how to go on; a session that is over is ended in the records."""
    number = kept.session.number
    print("\n".join(summary(bench)))
    if bench.finished:
        buffered.finish(bench.now, bench)
        print(f"Session {number} is kept: `traycall records show {number}` tells it again.")
        _offer(options, bench, card)
    else:
        kept.leave()
        print("The session is not ended: `traycall run --resume` goes on with it.")
    return 0


def _offer(options: Options, bench: Bench, card: Card | None) -> None:
    """After a strip: what its picked time is good for."""
    if fog_test.is_fog_test(bench.plan.recipe):
        fog_test.ask(bench.plan.recipe, options.light, bench.picked, on_terminal())
    elif bench.score.totals and bench.picked is not None:
        judged = judged_strip.JudgedStrip(bench.score.totals, bench.picked, part_of(bench.plan.recipe))
        judged_strip.offer(judged, (card.named or card.file) if card else None, ask=on_terminal())
