"""Which hand is asked for next among several copies: whose, from when on, until when, and how soon it can have been done."""

from assistant.planning.following import Followed
from assistant.planning.hand_work import Work
from assistant.session.bench import Bench
from assistant.session.copy import Copy
from assistant.session.happenings import NextAsk
from assistant.session.place import AskedFor, InBath, InLight, Waiting


def next_ask(work: Work, copies: list[Copy], found: Followed, bench: Bench) -> NextAsk | None:
    """An exposed sheet first, which has no closing time; then the next from its box."""
    carry = work.visits[0].entry
    for c, copy in enumerate(copies):
        place = copy.place
        unlit = isinstance(place, Waiting) and bench.step_of(copy).kind == "expose"
        more = isinstance(place, InLight) and place.run + 1 < len(bench.lights(copy))
        if unlit and isinstance(place, Waiting):
            opens, lights = found.starts[c][0], bench.lights(copy)[place.run].lasts
            return NextAsk(copy.number, copy.step, place.run, opens, _closes(work, found, lights))
        if isinstance(place, Waiting | InLight) and not more:
            return NextAsk(copy.number, work.visits[0].step, 0, found.starts[c][carry], None, _soonest(work, work.hands.carry))
        if more:
            return None  # asked for as soon as this light is over
    if not any(bench.under_way(copy) for copy in bench.living()):
        return None  # nothing to keep apart from: it is asked for at once
    c, boxed = next(((c, copy) for c, copy in enumerate(copies) if copy.boxed), (0, None))
    if boxed is None or isinstance(boxed.place, InBath):
        return None
    first = bench.score.lights(0, boxed.print, boxed.base)[0].lasts if bench.step_of(boxed).kind == "expose" else 0
    asked = work.hands.place if bench.step_of(boxed).kind == "expose" else work.hands.carry
    soonest = 0 if isinstance(boxed.place, AskedFor) and boxed.place.laid else _soonest(work, asked)
    return NextAsk(boxed.number, boxed.step, 0, found.starts[c][0], _closes(work, found, first), soonest)


def _soonest(work: Work, takes: int) -> int:
    """Two fifths of what the hands are planned to need, until they answer too (ms): even quick ones are no quicker.

    Common practice, no source.
    """
    return (work.hands.pace + takes) * 2 // 5


def _closes(work: Work, found: Followed, lights: int) -> int | None:
    """The latest tap after which its light is over before the hands are wanted (ms)."""
    return None if found.wanted_by is None else found.wanted_by - work.hands.change - lights
