"""What time alone does to the bench.

`due` says when something will change by itself, `beat` brings the bench up to a moment. A bench beaten in one go or in
a thousand is the same bench.
"""

from collections.abc import Iterator

from assistant.score.cues import Passage
from assistant.score.score import Score
from assistant.session.bench import Ahead, Bench, ends
from assistant.session.changes import change
from assistant.session.copy import Copy
from assistant.session.frozen import replace
from assistant.session.next_hand import safe_from, settled
from assistant.session.place import Assumed, InBox, Over
from assistant.session.rules_number import RULES
from assistant.session.spoiling import VOID_ASKED

END_ASKED = 10_000
"""An end of the session is to be confirmed within this time (ms): long enough to hear the question and tap again. Common
practice, no source."""


def fresh_bench(score: Score, rules: int = RULES) -> Bench:
    """A bench before the first tap; what it promises to say is still to be made."""
    copies = tuple(Copy(number, print=score.plan.print_of(number)) for number in range(1, score.plan.copies + 1))
    return settled(Bench(score, copies, rules), 0)


def due(bench: Bench) -> int | None:
    """The next moment at which something changes by itself, ms; None: only a hand will change anything."""
    return _ahead(bench).due


def _ahead(bench: Bench) -> Ahead:
    if bench.ahead is not None:
        return bench.ahead
    return _with_ahead(bench, Ahead(None if bench.ended else min(_moments(bench), default=None)))


def _with_ahead(bench: Bench, ahead: Ahead) -> Ahead:
    object.__setattr__(bench, "ahead", ahead)  # what is kept there follows from the bench, and is no part of it
    return ahead


def promising(bench: Bench, promised: tuple[Passage, ...], said: str) -> Bench:
    """The bench with what is promised, and what was said last before it; its future stays as it was worked out."""
    if promised is bench.promised and said is bench.said:
        return bench
    after = replace(bench, promised=promised, said=said)
    _with_ahead(after, _ahead(bench))
    return after


def _moments(bench: Bench) -> Iterator[int]:
    for copy, end in zip(bench.copies, bench.endings, strict=True):
        if isinstance(copy.place, InBox | Over):
            continue
        if end is not None:
            yield end
        if isinstance(copy.place, Assumed):
            yield copy.place.until
        safe = safe_from(bench, copy) if bench.white_since is None else None
        if safe is not None and safe > bench.now:
            yield safe
    for ask in bench.asks:
        if any(isinstance(bench.copy(number).place, InBox) for number in ask.copies):
            yield ask.at
    if bench.overlaps and bench.planned is not None and bench.planned.ask is not None:
        planned = bench.planned.ask
        yield from (at for at in (planned.opens, planned.closes) if at is not None and at > bench.now)
    if bench.end_asked is not None:
        yield bench.end_asked + END_ASKED
    if bench.void_asked is not None:
        yield bench.void_asked[1] + VOID_ASKED


def beat(bench: Bench, at: int) -> Bench:
    """The bench at `at`, every change that was due by then made at its own moment. Never goes back."""
    while (moment := due(bench)) is not None and moment <= at:
        bench = promising(changed(bench, moment), bench.promised, bench.said)
    if at <= bench.now:
        return bench
    later = replace(bench, now=at)
    _with_ahead(later, _ahead(bench))  # nothing was due by then, so the same comes next
    return later


def changed(bench: Bench, at: int) -> Bench:
    """The bench after all that is due at `at`, which is its next due moment."""
    ahead = _ahead(bench)
    if ahead.then is None:
        ahead.then = _changed(bench, at)
    return ahead.then


def _changed(bench: Bench, at: int) -> Bench:
    for number in [copy.number for copy, end in zip(bench.copies, bench.endings, strict=True) if end == at]:
        if ends(bench, bench.copy(number)) == at:
            bench = change(bench, bench.copy(number), "time up", at)
    for copy in bench.copies:
        if isinstance(copy.place, Assumed) and copy.place.until <= at:
            bench = change(bench, copy, "window over", at)
    for ask in bench.asks:
        for number in ask.copies:
            if ask.at <= at and isinstance(bench.copy(number).place, InBox):
                bench = change(bench, bench.copy(number), "asked", at)
    if bench.end_asked is not None and bench.end_asked + END_ASKED <= at:
        bench = replace(bench, end_asked=None)
    if bench.void_asked is not None and bench.void_asked[1] + VOID_ASKED <= at:
        bench = replace(bench, void_asked=None)
    return settled(bench, at)
