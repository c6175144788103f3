"""What a hand is asked for next, and what white light would meet: both follow from where the sheets are.

One at a time from station to station: a new leg is begun only when no copy is between two of them.
"""

from collections.abc import Iterator

from assistant.planning.hand_work import LOOK_AT_FIRST
from assistant.session.bench import Ask, Bench
from assistant.session.copy import Copy
from assistant.session.frozen import replace
from assistant.session.happenings import NextAsk
from assistant.session.place import Assumed, Called, InBath, InBox, InLight, Waiting

ASK_AFTER = 2_000
"""A question begins this long after its hand is wanted (ms): the answer to the last tap has ended by then, and no second
tap of the same hand is taken for an answer to it. Common practice, no source."""
SAID_AFTER = 3_000
"""That white light is safe is said so long after a hand has made it so (ms): the answer to the hand comes first."""

Wanted = tuple[tuple[int, ...], int, int]
"""Which copies are wanted, at which step, and for which of its lights (both counted from 0)."""


def settled(bench: Bench, at: int, told: bool = False) -> Bench:
    """The bench at `at` with its open questions, and with white light safe or not, after anything about its copies changed.

    `told`: a happening changed it and not time, so that something is said first.
    """
    found = tuple(among_others(bench, at) if bench.overlaps else wanted(bench))
    asks = tuple(_kept(bench, one) or Ask(*one, max(_first_said(bench, one, at, told), ready(bench, one[0]))) for one in found)
    safe = white_light_is_safe(bench, asks, at)
    if at == bench.now and asks == bench.asks and safe == (bench.white_since is not None):
        return bench
    since = bench.white_since if safe and bench.white_since is not None else at + SAID_AFTER * told
    return replace(bench, now=at, asks=asks, white_since=since if safe else None)


def _kept(bench: Bench, one: Wanted) -> Ask | None:
    return next((ask for ask in bench.asks if (ask.copies, ask.step, ask.run) == one), None)


def _first_said(bench: Bench, one: Wanted, at: int, told: bool) -> int:
    """At the beginning not before the opening words are over. By the first rules a tap needed no question."""
    if bench.rules == 1:
        return at
    if at == 0 and isinstance(bench.copy(one[0][0]).place, InBox):
        return bench.score.opening_lasts
    if not told and bench.overlaps and (planned := _planned(bench, one)) is not None and planned.opens == at:
        return at
    return at + ASK_AFTER


def ready(bench: Bench, copies: tuple[int, ...]) -> int:
    """From when these copies have been long enough in the water they wait in, ms; 0 where nothing is said of that."""
    if bench.rules == 1:
        return 0
    waiting = [copy for number in copies if (copy := bench.copy(number)).bath is not None]
    return max((copy.since or 0) + (bench.step_of(copy).at_least or 0) for copy in waiting) if waiting else 0


def wanted(bench: Bench) -> Iterator[Wanted]:
    """Which copies a hand should take to which step and light: a sheet that has had its light first, then by the plan."""
    if bench.ended or any(isinstance(copy.place, Assumed) for copy in bench.copies):
        return
    lit = next((c for c in bench.living() if isinstance(c.place, Waiting) and not c.place.carried), None)
    if lit is not None and isinstance(lit.place, Waiting):
        yield (lit.number,), lit.step, lit.place.run
        return
    passing = next((c for c in bench.living() if _passes(bench, c) and bench.room_in(bench.following(c))), None)
    if passing is not None:
        yield (passing.number,), bench.following(passing), 0
        return
    if bench.held or any(bench.under_way(copy) for copy in bench.living()):
        return
    if any(copy.bath is not None and bench.step_of(copy).ends == "eye" for copy in bench.living()):
        return
    boxed = _next_from_box(bench)
    if boxed is not None:
        yield (boxed.number,), boxed.step, 0
        return
    yield from _from_the_hold(bench)


def among_others(bench: Bench, at: int) -> Iterator[Wanted]:
    """The same where copies are planned to be in the baths together: one sheet that has had its light, or the next from the box.

    The plan says when it is asked for. What it does not name is asked for as if copies went one at a time. While a sheet
    is overdue, or under the lamp, nothing is.
    """
    if bench.ended or any(isinstance(copy.place, Called | InLight) for copy in bench.living()):
        return
    lit = next((c for c in bench.living() if isinstance(c.place, Waiting) and not c.place.carried), None)
    if lit is not None and isinstance(lit.place, Waiting):
        one: Wanted = (lit.number,), lit.step, lit.place.run
        if _planned(bench, one) is None or _open(bench, at):
            yield one
        return
    boxed = _next_from_box(bench)
    if boxed is None or bench.held or any(isinstance(copy.place, Waiting) for copy in bench.living()):
        return
    one = (boxed.number,), boxed.step, 0
    alone = not any(bench.under_way(copy) for copy in bench.living())
    if _open(bench, at) if _planned(bench, one) is not None else alone:
        yield one


def _planned(bench: Bench, one: Wanted) -> NextAsk | None:
    """What the plan says of a question, if it is of this one."""
    ask = bench.planned.ask if bench.planned is not None else None
    return ask if ask is not None and ((ask.copy,), ask.step, ask.run) == one else None


def _open(bench: Bench, at: int) -> bool:
    """Whether the question that the plan names may be asked now; it is closed only for a bath in use."""
    ask = bench.planned.ask if bench.planned is not None else None
    if ask is None or at < ask.opens:
        return False
    running = any(isinstance(copy.place, InBath) and bench.under_way(copy) for copy in bench.living())
    return ask.closes is None or at < ask.closes or not running


def closed(bench: Bench) -> bool:
    """Whether the next question has been closed and nobody has said when it opens again."""
    ask = bench.planned.ask if bench.planned is not None and bench.overlaps else None
    return ask is not None and ask.closes is not None and ask.closes <= bench.now and not bench.asks


def _next_from_box(bench: Bench) -> Copy | None:
    """The sheet in its box whose turn it is: one that was asked for, then those of the negative that is in place, by number."""
    boxed = [copy for copy in bench.living() if copy.boxed]
    if not boxed:
        return None
    lit = max((mate for mate in bench.copies if mate.stays), key=lambda mate: mate.stays[0].from_ms, default=None)
    return min(boxed, key=lambda copy: (isinstance(copy.place, InBox), lit is not None and copy.print != lit.print, copy.number))


def _passes(bench: Bench, copy: Copy) -> bool:
    """Whether a copy is in a holding water where it waits for no other."""
    return copy.bath is not None and copy.step not in bench.plan.stations and bench.step_of(copy).ends == "others"


def _from_the_hold(bench: Bench) -> Iterator[Wanted]:
    waiting = [c for c in bench.living() if c.bath is not None and bench.step_of(c).gathers]
    if not waiting or not bench.all_in(min(c.step for c in waiting)):
        return
    first = min(c.step for c in waiting)
    here = [c for c in waiting if c.step == first]
    steps = bench.plan.recipe.steps
    toning_next = first + 1 < len(steps) and steps[first + 1].kind == "tone"
    untoned = bench.untoned if toning_next else frozenset()
    ready = [c for c in here if c.number not in untoned] or here
    onward = bench.following(ready[0])
    together = onward < len(steps) and (steps[onward].together or steps[onward].gathers)
    yield tuple(c.number for c in (ready if together else ready[:1])), onward, 0


def white_light_is_safe(bench: Bench, asks: tuple[Ask, ...], at: int) -> bool:
    """Whether white light would spoil nothing: a sheet is out, and every sheet that is out or is asked for next is safe."""
    if any(bench.copy(number).boxed for ask in asks for number in ask.copies):
        return False
    if bench.overlaps and _opens_soon(bench, at):
        return False
    out = [copy for copy in bench.living() if not isinstance(copy.place, InBox)]
    return bool(out) and all(_safe(bench, copy, at) for copy in out)


def _opens_soon(bench: Bench, at: int) -> bool:
    """Whether the next sheet is wanted before anybody could have looked at one in white light."""
    ask = bench.planned.ask if bench.planned is not None and not bench.held else None
    return ask is not None and ask.opens < at + LOOK_AT_FIRST and any(c.boxed for c in bench.living() if c.number == ask.copy)


def _safe(bench: Bench, copy: Copy, at: int) -> bool:
    moment = safe_from(bench, copy)
    return moment is not None and moment <= at


def safe_from(bench: Bench, copy: Copy) -> int | None:
    """From when a sheet stands white light, ms; None while that is not known: it is in no fixer yet.

    Never while a tap may still say that it goes into the fixer only now.
    """
    after = bench.score.light_safe_after
    if after is None or copy.boxed:
        return None
    fixed = copy.fixed_at
    if fixed is None and copy.bath is not None and bench.step_of(copy).kind == "fix":
        fixed = copy.bath.since
        if isinstance(copy.place, Assumed):
            return max(fixed + after, copy.place.until)
    return fixed + after if fixed is not None else None
