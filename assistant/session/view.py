"""What a face shows of a session at one moment: a frozen value, compared and painted only when it has changed.

Words and numbers, no colours and no layout. Spans are whole ms; faces round them as they show them.
"""

from dataclasses import dataclass

from assistant.recipe.model import Expose, Tone
from assistant.score import words
from assistant.score.cues import Cue
from assistant.session.bench import Bench, ends
from assistant.session.copy import Copy, Stay
from assistant.session.taps import tapped, where_is


@dataclass(frozen=True)
class Urgent:
    """The one most urgent time: whose, of what, ms left or (`up`) gone by, and what to do at its end."""

    copy: int | None
    name: str
    ms: int
    up: bool
    then: str
    late: bool = False


@dataclass(frozen=True)
class Occupant:
    """A copy in a tray: its ms so far, ms left to its call (None: a hand ends it), least and most, and if it is late."""

    copy: int
    stayed: int
    left: int | None
    least: int | None
    most: int | None
    late: bool


@dataclass(frozen=True)
class Lane:
    """A tray in bench order and the copies in it."""

    tray: str
    bath: str
    holds: int
    occupants: tuple[Occupant, ...]


@dataclass(frozen=True)
class Progress:
    """One copy: its number, where it is in words, how many of its steps it has behind it, and how it has gone."""

    copy: int
    where: str
    behind: int
    of: int
    void: bool
    done: bool
    flaws: tuple[str, ...]
    toned: int | None


@dataclass(frozen=True)
class Coming:
    """Something that will be heard: in how many ms, and what."""

    within: int
    words: str
    copy: int | None


@dataclass(frozen=True)
class Face:
    """All that a face shows. `tap` says what a tap does now ("" nothing); `light` is "white", "safelight" or "none"."""

    moment: int
    title: str
    urgent: Urgent | None
    tap: str
    lanes: tuple[Lane, ...]
    copies: tuple[Progress, ...]
    coming: tuple[Coming, ...]
    said: str
    light: str
    held: bool
    finished: bool
    ended: bool
    trouble: str = ""
    totals: tuple[int, ...] = ()
    """Of a test strip, lightest first, once its light is out."""
    picked: int | None = None


def face(bench: Bench, said: str = "", trouble: str = "") -> Face:
    """The face of a bench at its own moment; `said` is what was heard last."""
    return Face(
        bench.now,
        bench.plan.recipe.title,
        urgent(bench),
        tap_words(bench),
        tuple(_lane(bench, tray) for tray in bench.plan.recipe.trays),
        tuple(_progress(bench, copy) for copy in bench.copies),
        coming(bench),
        said,
        light(bench),
        bench.held,
        bench.finished,
        bench.ended,
        trouble,
        bench.score.totals if any(stay.kind == "expose" for copy in bench.copies for stay in copy.stays) else (),
        bench.picked,
    )


def urgent(bench: Bench) -> Urgent | None:
    """What to look at: a copy that is late, then the next end of a bath, then an eye's time, then the longest wait."""
    running = [copy for copy in bench.living() if copy.since is not None]
    found = [_urgency(bench, copy) for copy in running]
    return min(found, key=lambda pair: pair[0], default=(None, None))[1]


def _urgency(bench: Bench, copy: Copy) -> tuple[tuple[int, int], Urgent]:
    step, end = bench.step_of(copy), ends(bench, copy)
    index = None if bench.shared(copy) and len(bench.company(copy)) > 1 else copy.number
    stayed = bench.now - (copy.since or 0)
    onward = bench.score.name(bench.following(copy))
    then = words.pip(onward)
    if isinstance(step, Expose):
        return (1, end or 0), _light_time(bench, copy, end or bench.now)
    if copy.called is not None:
        return (0, -stayed), Urgent(index, step.name, stayed, True, then, late=True)
    if isinstance(step, Tone):
        return (2, -stayed), Urgent(index, step.name, stayed, True, "pull by eye", late=stayed > step.by_eye.latest)
    if end is not None:
        return (1, end), Urgent(index, step.name, end - bench.now, False, then)
    late = step.at_most is not None and stayed > step.at_most
    return (3, -stayed), Urgent(index, step.name, stayed, True, then if onward else "", late)


def _light_time(bench: Bench, copy: Copy, end: int) -> Urgent:
    run = bench.score.runs[copy.step][copy.run]
    on = end - run.light
    if bench.now < on:
        return Urgent(copy.number, f"{run.name}: count-in", on - bench.now, False, "light on")
    moves = [on - run.count_in + mark.offset for mark in run.marks if mark.kind == "move"]
    ahead = [moment for moment in moves if moment > bench.now]
    if ahead:
        which = len(moves) - len(ahead) + 1
        return Urgent(copy.number, run.name, ahead[0] - bench.now, False, f"move the card: {which} of {len(moves)}")
    return Urgent(copy.number, run.name, end - bench.now, False, "light off")


def tap_words(bench: Bench) -> str:
    """What a tap would do now, as a face shows it; "" when it would do nothing."""
    meant = tapped(bench, bench.now)
    if meant is None:
        return "go on with the plan" if bench.held and not bench.finished else ""
    where, copy = meant
    return _TAP_WORDS[where].format(
        copy="all copies" if len(bench.company(copy)) > 1 or _all_wanted(bench, copy) else words.copy(copy.number),
        here=bench.step_of(copy).name.lower(),
        there=(bench.score.name(copy.step if copy.since is None else bench.following(copy)) or "rack").lower(),
    )


_TAP_WORDS = {
    "lifted": "{copy}: into the {there} now",
    "moved": "{copy}: it went into the {here} now",
    "called": "{copy}: into the {there}",
    "unseen": "{copy}: first tone seen",
    "toning": "{copy}: pull",
    "wanted": "{copy}: begin {there}",
}


def _all_wanted(bench: Bench, copy: Copy) -> bool:
    return copy.number in bench.wanted and len(bench.wanted) > 1


def _lane(bench: Bench, tray: str) -> Lane:
    bath = bench.plan.recipe.trays[tray]
    inside = []
    for copy in bench.living():
        step = bench.step_of(copy)
        if copy.since is None or isinstance(step, Expose) or step.tray != tray:
            continue
        end, stayed = ends(bench, copy), bench.now - copy.since
        left = None if end is None else end - bench.now
        late = copy.called is not None or (step.at_most is not None and stayed > step.at_most)
        inside.append(Occupant(copy.number, stayed, left, step.at_least, step.at_most, late))
    return Lane(tray, bath.bath, bath.holds, tuple(inside))


def _progress(bench: Bench, copy: Copy) -> Progress:
    steps = bench.plan.recipe.steps
    toned = next((stay.lasted for stay in copy.stays if stay.kind == "tone"), None)
    flaws = tuple(f"{s.name.lower()} {s.verdict}" for s in copy.stays if s.verdict in ("short", "long"))
    return Progress(copy.number, _where(bench, copy), copy.step, len(steps), copy.void, copy.done, flaws, toned)


def _where(bench: Bench, copy: Copy) -> str:
    if copy.void or copy.done:
        return "void" if copy.void else "done"
    if copy.boxed:
        return "in the box"
    step = bench.step_of(copy)
    return step.name.lower() if copy.since is not None else f"before {step.name.lower()}"


def coming(bench: Bench, count: int = 3) -> tuple[Coming, ...]:
    """The next things to be heard that say or command something; repeated questions are left out."""
    silent = {"tick", "tenth", "count", "agitate"}
    ahead = [c for p in bench.promised for c in p.cues if c.at > bench.now and c.kind not in silent and c.words]
    found: list[Cue] = []
    for cue in sorted(ahead, key=lambda cue: cue.at):
        repeats = cue.kind == "over" and any(other.kind == "over" for other in found)
        if not repeats and cue.words not in {other.words for other in found}:
            found.append(cue)
        if len(found) == count:
            break
    return tuple(Coming(cue.at - bench.now, cue.words, cue.copy) for cue in found)


def light(bench: Bench) -> str:
    """Whether white light may be on: "white", "safelight", or "none" where the recipe asks for total darkness."""
    dark = "none" if bench.plan.recipe.light == "none" else "safelight"
    begun = [copy for copy in bench.living() if not copy.boxed]
    if not begun or any(bench.copy(n).since is None for n in bench.wanted):
        return dark if bench.wanted else "white"
    return "white" if all(_safe(bench, copy) for copy in begun) else dark


def _safe(bench: Bench, copy: Copy) -> bool:
    after = bench.score.light_safe_after
    if after is None:
        return False
    fixed: Stay | None = next((stay for stay in copy.stays if stay.kind == "fix"), None)
    if fixed is not None:
        return fixed.from_ms + after <= bench.now
    fixing = copy.since is not None and bench.step_of(copy).kind == "fix"
    return fixing and (copy.since or 0) + after <= bench.now


def overdue(bench: Bench) -> str:
    """What is late, in words; "" when nothing is."""
    return ". ".join(where_is(bench, copy, bench.now) for copy in bench.living() if copy.called is not None)
