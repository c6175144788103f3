"""What a face shows of a session at one moment: a frozen value, compared and painted only when it has changed.

Words and numbers, no colours and no layout. Moments and spans are whole ms; faces round them as they show them.
"""

from dataclasses import dataclass

from assistant.score import words
from assistant.score.cues import Cue, Rank
from assistant.session.bench import Bench, ends
from assistant.session.copy import Copy
from assistant.session.hands import free_for, meant
from assistant.session.place import Called, InBath, InBox
from assistant.session.urgency import Urgent, over, urgent
from assistant.session.where_is import where_is

AHEAD = 120_000
"""ms: what comes is shown as far ahead as two minutes, the longest bath of a usual print before its fixer."""
_UNMARKED = frozenset(["tick", "tenth", "count", "ask"])  # too many to be told apart, or said again until answered


@dataclass(frozen=True)
class WantedHand:
    """A hand that is asked for: in two or three words, whose it is (None: of all), and where a tap leads."""

    ask: str
    copy: int | None
    leads: str


@dataclass(frozen=True)
class Occupant:
    """A copy in a tray: its ms so far, ms left to its call (None: a hand ends it), ms it is over its time (None: it is not)."""

    copy: int
    stayed: int
    left: int | None
    over: int | None


@dataclass(frozen=True)
class Lane:
    """A tray in bench order, how many sheets it holds, and the copies in it."""

    tray: str
    bath: str
    holds: int
    occupants: tuple[Occupant, ...]


@dataclass(frozen=True)
class Progress:
    """One copy: its number, where it is in words, whether a bath or the light has it, and how it has gone.

    `flaws`: stays that were short or long; `toned`: ms in the toner; `print`: of several prints which, as "ferry, 2 of 3".
    """

    copy: int
    where: str
    busy: bool
    void: bool
    flaws: tuple[str, ...]
    toned: int | None
    print: str = ""


@dataclass(frozen=True)
class Coming:
    """Something that will be heard: in how many ms, what, whose it is, and whether its tone commands."""

    within: int
    words: str
    copy: int | None
    act_now: bool = False


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
    """Of a test strip, lightest first, once its light is out; `picked` counts them from one."""
    picked: int | None = None
    wanted: WantedHand | None = None
    """What a tap would begin, where one is asked for."""
    marks: tuple[Coming, ...] = ()
    """All that will be heard in the next two minutes, ticks and repeats left out."""
    free: int | None = None
    """ms in which no hand is wanted, where several copies are on their way; None while one is."""
    ears: str = ""
    """How the ears are and what they understood last, "" in a session without."""


def face(bench: Bench, said: str = "", trouble: str = "", ears: str = "") -> Face:
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
        bench.score.totals if any(copy.lit for copy in bench.copies) else (),
        bench.picked,
        wanted(bench),
        marks(bench),
        free_for(bench, bench.now) if bench.in_company else None,
        ears,
    )


def wanted(bench: Bench) -> WantedHand | None:
    """The question that a tap would answer now; None where nothing is asked."""
    hand = meant(bench, bench.now)
    if hand is None or hand.what not in ("begin", "void", "alone"):
        return None
    who = hand.copies[0] if len(hand.copies) == 1 else None
    steps = bench.plan.recipe.steps
    name = (bench.score.name(hand.step) or "rack").lower()
    if hand.what in ("void", "alone"):
        void = WantedHand(f"void {hand.copies[0]}", who, "it is void")
        return void if hand.what == "void" else WantedHand("one at a time", None, "one at a time")
    if hand.step == len(steps):
        return WantedHand("judge the strip" if bench.score.totals else "lift out", who, "done")
    if steps[hand.step].kind == "expose":
        return WantedHand("place paper", who, "light on")
    return WantedHand(f"into the {name}", who, name)


def tap_words(bench: Bench) -> str:
    """What a tap would do now, as a face shows it; "" when it would do nothing."""
    hand = meant(bench, bench.now)
    if hand is None:
        return "resume the plan" if bench.held and not bench.finished else ""
    there = (bench.score.name(hand.step) or "rack").lower()
    who = words.copy(hand.copies[0]) if len(hand.copies) == 1 else "all copies"
    late = hand.what == "moved on" and hand.due <= bench.now
    return bench.score.worded(_TAP_WORDS[hand.what, late].format(copy=who, there=there))


_TAP_WORDS = {
    ("moved on", False): "{copy}: into the {there} now",
    ("moved on", True): "{copy}: into the {there}",
    ("set right", False): "{copy}: it went into the {there} now",
    ("first tone", False): "{copy}: first tone seen",
    ("pull", False): "{copy}: pull",
    ("begin", False): "{copy}: begin {there}",
    ("void", False): "{copy}: it is void",
    ("alone", False): "go on one at a time",
}
"""What a hand may be about to do, and whether its time is over -> the words on the screen."""


def _lane(bench: Bench, tray: str) -> Lane:
    bath = bench.plan.recipe.trays[tray]
    inside = []
    for copy in bench.living():
        step = bench.step_of(copy)
        if not isinstance(copy.place, InBath) or step.tray != tray:
            continue
        end, stayed = ends(bench, copy), bench.now - copy.place.since
        left = None if end is None else end - bench.now
        inside.append(Occupant(copy.number, stayed, left, over(bench, copy)))
    return Lane(tray, bath.bath, bath.holds, tuple(inside))


def _progress(bench: Bench, copy: Copy) -> Progress:
    toned = next((stay.lasted for stay in copy.stays if stay.kind == "tone"), None)
    flaws = tuple(f"{s.name.lower()} {s.verdict}" for s in copy.stays if s.verdict in ("short", "long"))
    where, of = _where(bench, copy), _print(bench, copy)
    return Progress(copy.number, where, copy.since is not None, copy.void, flaws, toned, of)


def _print(bench: Bench, copy: Copy) -> str:
    prints = bench.plan.recipe.prints
    mates = [mate.number for mate in bench.copies if mate.print == copy.print and not mate.void]
    if not prints or copy.number not in mates:
        return ""
    return f"{prints[copy.print].name}, {mates.index(copy.number) + 1} of {len(mates)}"


def _where(bench: Bench, copy: Copy) -> str:
    if copy.void or copy.done:
        return "void" if copy.void else "done"
    if copy.boxed:
        return "in the box"
    step = bench.step_of(copy)
    return step.name.lower() if copy.since is not None else f"waiting for {step.name.lower()}"


def coming(bench: Bench, count: int = 3) -> tuple[Coming, ...]:
    """The next things to be heard that say or command something; repeated questions are left out."""
    silent = {"tick", "tenth", "count"} | (set() if bench.in_company else {"agitate"})
    ahead = [c for p in bench.promised for c in p.cues if c.at > bench.now and c.kind not in silent and c.words]
    found: list[Cue] = []
    for cue in sorted(ahead, key=lambda cue: cue.at):
        repeats = cue.kind == "over" and any(other.kind == "over" for other in found)
        if not repeats and cue.words not in {other.words for other in found}:
            found.append(cue)
        if len(found) == count:
            break
    return tuple(Coming(cue.at - bench.now, cue.words, cue.copy) for cue in found)


def marks(bench: Bench, ahead: int = AHEAD) -> tuple[Coming, ...]:
    """All that will be said or commanded within a time, in order; agitation too, since a hand is wanted for it."""
    heard = (cue for passage in bench.promised for cue in passage.cues if 0 < cue.at - bench.now <= ahead)
    kept = sorted((cue for cue in heard if cue.kind not in _UNMARKED), key=lambda cue: cue.at)
    return tuple(Coming(cue.at - bench.now, cue.words, cue.copy, cue.sound.rank is Rank.ACT) for cue in kept)


def light(bench: Bench) -> str:
    """Whether white light may be on: "white", "safelight", or "none" where the recipe asks for total darkness."""
    out = any(not isinstance(copy.place, InBox) for copy in bench.living())
    comes = any(bench.copy(number).boxed for ask in bench.asks for number in ask.copies)
    if (bench.white_since is not None and bench.white_since <= bench.now) or not (out or comes):
        return "white"
    return "none" if bench.plan.recipe.light == "none" else "safelight"


def overdue(bench: Bench) -> str:
    """What is late, in words; "" when nothing is."""
    called = (where_is(bench, copy, bench.now) for copy in bench.living() if isinstance(copy.place, Called))
    return bench.score.worded(". ".join(called))
