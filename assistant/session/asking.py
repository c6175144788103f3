"""How a hand is asked for: the words of every question, and when they are said again."""

from collections.abc import Iterator

from assistant.score import words
from assistant.score.cues import Cue
from assistant.score.lamp import Enlarger
from assistant.session.bench import Ask, Bench
from assistant.session.copy import Copy, Stay
from assistant.session.next_hand import safe_from
from assistant.session.place import AskedFor, Assumed
from assistant.trade import toning_drift

AGAIN = (0, 60_000, 180_000, 600_000)
"""A question is said again so long after it was first said (ms), and from then on every ten minutes: rarely enough for a
printer who is busy, often enough for one who was out of the room. Common practice, no source."""
AFTER_PIP = 4_000
"""An open question is said again so long after another sheet's pip (ms): whoever was late for the pip has tapped by then."""
LAST_AGAIN = 2 * 3_600_000
"""Nobody is asked any more so long after (ms): who has not come by then will not, and a promise has an end. Common practice,
no source."""


def asking(bench: Bench, ask: Ask) -> Iterator[Cue]:
    """The cues of a question: its words, and the same words again."""
    steps = bench.plan.recipe.steps
    kind = steps[ask.step].kind if ask.step < len(steps) else ""
    spoken = question(bench, ask)
    named = ask.copies[0] if len(ask.copies) == 1 else None
    for moment in _moments(bench, ask):
        yield Cue(moment, "ask", spoken, named, kind)


def _moments(bench: Bench, ask: Ask) -> list[int]:
    """When a question is said: at its moment, again and again, and after every pip that fell into it."""
    again = (*AGAIN, *range(2 * AGAIN[-1], LAST_AGAIN, AGAIN[-1]))
    return sorted({*(ask.at + later for later in again), *(pip + AFTER_PIP for pip in pips(bench, ask))})


def pips(bench: Bench, ask: Ask) -> tuple[int, ...]:
    """The pips of other sheets since a question was first said, as far as a tap may still belong to them (ms)."""
    if not bench.overlaps:
        return ()
    others = (copy.place for copy in bench.living() if copy.number not in ask.copies)
    return tuple(place.since for place in others if isinstance(place, Assumed) and place.since >= ask.at)


def said_last(bench: Bench, ask: Ask, at: int) -> int:
    """When a question was said last by a moment (ms); its own beginning where it is still to come."""
    return max((moment for moment in _moments(bench, ask) if moment <= at), default=ask.at) if bench.overlaps else ask.at


def question(bench: Bench, ask: Ask) -> str:
    """What a question says."""
    copy, steps = bench.copy(ask.copies[0]), bench.plan.recipe.steps
    if ask.step == len(steps):
        return _last(bench)
    step = steps[ask.step]
    if step.kind == "expose":
        return _light(bench, copy, ask)
    index = None if len(ask.copies) > 1 else copy.number
    if step.kind == "tone":
        return toner(bench, copy, ask.step, index)
    if any(copy.step < toner < ask.step for toner in bench.plan.toners):
        return words.stays_untoned(step.name, ask.copies)
    asked = words.into(step.name, index) if index is None or not bench.in_company else words.into_among(step.name, index)
    if copy.boxed:
        asked = _in_darkness(bench, asked)
    known = any(c.bath is not None or any(stay.kind != "expose" for stay in c.stays) for c in bench.copies)
    return asked if known else f"{asked}. {words.AS_IT_GOES_IN}"


def _in_darkness(bench: Bench, asked: str) -> str:
    """Asks for total darkness first where a recipe wants it; not again while a sheet is out that had it asked for."""
    dark = any(other.live and not other.boxed and safe_from(bench, other) is None for other in bench.copies)
    return asked if dark or bench.plan.recipe.light != "none" else f"{words.LIGHTS_OUT}. {asked}"


def _light(bench: Bench, copy: Copy, ask: Ask) -> str:
    run = bench.score.lights(ask.step, copy.print, copy.base)[ask.run]
    if isinstance(copy.place, AskedFor) and copy.place.laid:
        return words.laid(copy.number)
    task = run.task(_left_at(bench))
    if ask.run:
        return words.place_for(task)
    lit_before = any(_was_safe(bench, c, ask.at) for c in bench.copies) and bench.plan.recipe.light == "safe"
    asked = words.place_paper(copy.number, bench.plan.copies, lit_before)
    if bench.in_company:
        asked = words.place_among(copy.number)
    if bench.plan.recipe.prints:
        asked = _placed_print(bench, copy, lit_before)
    asked = _in_darkness(bench, asked)
    first = "" if any(c.stays for c in bench.copies) else words.WHEN_READY
    return ". ".join(filter(None, [asked, task, first]))


def _left_at(bench: Bench) -> Enlarger | None:
    """How the last light left the enlarger, a spoiled sheet's too; None before the first: nobody knows."""
    lit = [(stay.from_ms, copy) for copy in bench.copies for stay in copy.stays if stay.kind == "expose"]
    if not lit:
        return None
    copy = max(lit, key=lambda one: one[0])[1]
    step = next(stay.step for stay in copy.stays if stay.kind == "expose")
    return bench.score.lights(step, copy.print, copy.base)[copy.lit - 1].enlarger


def _was_safe(bench: Bench, copy: Copy, at: int) -> bool:
    """Whether white light may have been on for a sheet before a moment (ms): from when it was safe for it, it was called."""
    moment = safe_from(bench, copy)
    return moment is not None and moment <= at


def _placed_print(bench: Bench, copy: Copy, lit_before: bool) -> str:
    """Of several prints: which one, which of its copies, and that the negative is changed where it was another's turn."""
    mates = [mate.number for mate in bench.copies if mate.print == copy.print and not mate.void]
    lit = [mate for mate in bench.copies if mate.stays]
    before = max(lit, key=lambda mate: mate.stays[0].from_ms).print if lit else copy.print
    name = bench.plan.recipe.prints[copy.print].name
    return words.place_print(name, mates.index(copy.number) + 1, len(mates), copy.number, lit_before, before != copy.print)


def toner(bench: Bench, copy: Copy, index: int, whose: int | None) -> str:
    """Asks for a print (None: all) to be put into the toner of a step: cautions before its first, what the last took after it."""
    step = bench.plan.recipe.steps[index]
    before = _by_eye(bench, index)
    care = () if before or step.tray is None else bench.plan.recipe.trays[step.tray].care
    company = [copy] if whose is not None else [mate for mate in bench.beside(copy) if mate.live]
    short = [mate.number for mate in company if any(stay.kind == "fix" and stay.verdict == "short" for stay in mate.stays)]
    latest = step.by_eye.latest if step.by_eye is not None else None
    mates = [stay for stay in before if bench.copy(stay.copy).print == copy.print]
    doubt = words.fixed_short(short, whose is not None) if short else ""
    return words.into_toner(step.name, whose, care, doubt, _expected(mates if len(mates) > 1 else before, latest))


def _expected(before: list[Stay], latest: int | None) -> str:
    """What the prints before it tell of the next one; nothing of it ends a print."""
    times = [stay.lasted for stay in before]
    hint = toning_drift.hint(times)
    if hint is None:
        return words.took(before[-1].copy, times[-1]) if before else ""
    return words.look_from(hint.before, hint.look_from, latest is not None and toning_drift.passes(times, latest))


def _last(bench: Bench) -> str:
    """Nothing follows the water the sheets lie in: a strip is judged there, a print lifted."""
    return words.judge(bench.score.totals) if bench.score.totals else words.LIFT_OUT


def last_by_eye(bench: Bench, step: int) -> tuple[int, int] | None:
    """The sheet that an eye took out of a step's bath last, and how long it was in (copy, ms)."""
    last = max(_by_eye(bench, step), key=lambda stay: stay.to_ms, default=None)
    return (last.copy, last.lasted) if last else None


def _by_eye(bench: Bench, step: int) -> list[Stay]:
    """The stays in a step that an eye ends, in the order in which the bath had them; spoiled sheets left out."""
    since = bench.mixed(bench.plan.recipe.steps[step].tray)
    stays = [s for copy in bench.copies if not copy.void for s in copy.stays if s.step == step and s.from_ms >= since]
    return sorted(stays, key=lambda stay: stay.to_ms)
