"""What can be said to a session instead of pressed: every phrase, when it can be wanted, and what it means. Pure.

`meant` gives the happening that a key or a line would tell, so that no word does what a hand cannot; or what is to be asked,
answered or refused in words. Nothing ends a session by voice.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from assistant.score import words
from assistant.session import happenings as h
from assistant.session.answers import Refused
from assistant.session.bench import Bench
from assistant.session.hands import Hand
from assistant.session.hands import meant as hand_meant
from assistant.session.heard import NUMBER_MARGIN, READING_MARGIN, Heard, Sure, how_sure
from assistant.session.spoiling import VOID_ASKED
from assistant.session.view import coming
from assistant.session.where_is import why_nothing
from assistant.session.wordings import in_force

Kind = Literal["begin", "reversible", "asked", "harmless", "answer"]
"""What sort of thing is said: it may begin a light, can be taken back, is asked about first, changes nothing, is an answer."""
MOST_AGO = 20
"""How many seconds ago something can be said to have been (s): later the true moment is a guess."""
STAND_INS = 4
"""So many sheets that stand in for spoiled ones can be named too; every number more is one to be taken for another. Common
practice, no source."""
COLDEST, HOTTEST = 16, 26
"""Readings that can be said (whole degrees Celsius): a little more than where a law of temperature may be used."""


@dataclass(frozen=True)
class Question:
    """Whether a copy is void was asked at a moment (ms), when the session had been told so many things.

    Silence, other words or any hand mean no.
    """

    copy: int
    at: int
    told: int

    def open(self, bench: Bench, at: int) -> bool:
        """Whether words that began at a moment can answer it."""
        return self.at <= at <= self.at + VOID_ASKED and len(bench.history) == self.told


@dataclass(frozen=True)
class Tell:
    """Something to be said that changes nothing."""

    words: str


@dataclass(frozen=True)
class Listen:
    """The ears are opened, or closed to all but being opened again."""

    open: bool


@dataclass(frozen=True)
class TakeDown:
    """What is said next is a note."""


Meaning: TypeAlias = h.Happening | Question | Tell | Listen | TakeDown | Refused


@dataclass(frozen=True)
class Phrase:
    """One thing to say: what sort of thing, and what it means; `wordings` has its words."""

    kind: Kind
    means: Callable[[Bench, Heard, Question | None], Meaning]
    possible: Callable[[Bench], bool] = lambda bench: True
    """Whether this session can ever want it."""
    numbers: Callable[[Bench], Iterator[tuple[float, str]]] | None = None
    """The numbers it can have, each with its words."""


def _ago(bench: Bench, heard: Heard) -> int:
    return max(0, bench.now - heard.begin)


def _tap(*wanted: Callable[[Bench, Hand], bool]) -> Callable[[Bench, Heard, Question | None], Meaning]:
    """A tap, where a tap would do one of these; else what is wanted instead."""

    def means(bench: Bench, heard: Heard, asked: Question | None) -> Meaning:
        hand = hand_meant(bench, heard.begin)
        if hand is not None and any(fits(bench, hand) for fits in wanted):
            return h.Tap(_ago(bench, heard))
        return Refused(_instead(bench, hand))

    return means


def _instead(bench: Bench, hand: Hand | None) -> str:
    if hand is None or hand.what in ("void", "alone"):
        return why_nothing(bench, bench.now)
    return words.not_that(hand.copies[0] if len(hand.copies) == 1 else None, bench.score.name(hand.step) or words.OUT)


def _begins(bench: Bench, hand: Hand) -> bool:
    return hand.what == "begin" and not _out(bench, hand)


def _goes_in(bench: Bench, hand: Hand) -> bool:
    bath = hand.step < len(bench.plan.recipe.steps) and bench.plan.recipe.steps[hand.step].kind != "expose"
    return bath and hand.what in ("begin", "moved on", "set right")


def _not_a_light(bench: Bench, hand: Hand) -> bool:
    """Anything that a tap may do, but beginning a light: clatter in threes must not."""
    kind = bench.plan.recipe.steps[hand.step].kind if hand.step < len(bench.plan.recipe.steps) else ""
    return hand.what not in ("void", "alone") and not (kind == "expose" and hand.what == "begin")


def _out(bench: Bench, hand: Hand) -> bool:
    return hand.what == "pull" or (hand.step == len(bench.plan.recipe.steps) and hand.what in ("begin", "moved on"))


def _first_tone(bench: Bench, hand: Hand) -> bool:
    return hand.what == "first tone"


def _moved(bench: Bench, heard: Heard, asked: Question | None) -> Meaning:
    return h.Moved(None, _ago(bench, heard) + round((heard.number or 0) * 1000))


def _pick(bench: Bench, heard: Heard, asked: Question | None) -> Meaning:
    judged = any(copy.lit for copy in bench.copies)
    return h.Pick(round(heard.number or 0)) if judged else Refused(words.NO_STRIP)


def _reading(bench: Bench, heard: Heard, asked: Question | None) -> Meaning:
    return h.Reading(_trays_with_a_law(bench)[0], heard.number or 0.0)


def _hold(bench: Bench, heard: Heard, asked: Question | None) -> Meaning:
    return Refused(words.ON_HOLD) if bench.held else h.HoldPlan()


def _void(bench: Bench, heard: Heard, asked: Question | None) -> Meaning:
    number = round(heard.number or 0)
    if not 1 <= number <= len(bench.copies):
        return Refused(words.NO_SUCH_COPY)
    copy = bench.copy(number)
    return Question(number, bench.now, len(bench.history)) if copy.live else Refused(words.is_over(number, copy.void))


def _coming(bench: Bench, heard: Heard, asked: Question | None) -> Meaning:
    ahead = coming(bench, 1)
    return Tell(words.comes(ahead[0].within, ahead[0].words)) if ahead else Refused(words.NOTHING_COMES)


def _yes(bench: Bench, heard: Heard, asked: Question | None) -> Meaning:
    hand = hand_meant(bench, heard.begin)
    if hand is not None and hand.what == "alone":
        return h.Tap(_ago(bench, heard))
    asked = _still(bench, heard, asked)
    return h.Void(asked.copy) if asked else Refused(words.NOTHING_ASKED)


def _no(bench: Bench, heard: Heard, asked: Question | None) -> Meaning:
    asked = _still(bench, heard, asked)
    return Tell(words.not_void(asked.copy)) if asked else Refused(words.NOTHING_ASKED)


def _still(bench: Bench, heard: Heard, asked: Question | None) -> Question | None:
    return asked if asked is not None and asked.open(bench, heard.begin) else None


def _trays_with_a_law(bench: Bench) -> list[str]:
    steps = bench.plan.recipe.steps
    return sorted({step.tray for step in steps if step.kind == "develop" and step.tray and step.temperature_law})


def _degrees(bench: Bench) -> Iterator[tuple[float, str]]:
    """Whole degrees alone are told apart badly, so every reading is said with its decimal."""
    for tenths in range(COLDEST * 10, HOTTEST * 10 + 1):
        whole, tenth = divmod(tenths, 10)
        yield tenths / 10, f"{words.number(whole)} point {words.number(tenth)}"


def _counted(most: Callable[[Bench], int]) -> Callable[[Bench], Iterator[tuple[float, str]]]:
    return lambda bench: ((float(one), words.number(one)) for one in range(1, most(bench) + 1))


def _steps(*kinds: str) -> Callable[[Bench], bool]:
    return lambda bench: any(step.kind in kinds for step in bench.plan.recipe.steps)


PHRASES: dict[str, Phrase] = {
    "begin": Phrase("begin", _tap(_begins)),
    "in": Phrase("reversible", _tap(_goes_in)),
    "out": Phrase("reversible", _tap(_out)),
    "first_tone": Phrase(
        "reversible", _tap(_first_tone),
        lambda bench: any(step.kind == "develop" and step.factor for step in bench.plan.recipe.steps),
    ),
    "moved": Phrase("reversible", _moved, numbers=_counted(lambda b: MOST_AGO)),
    "pick": Phrase(
        "reversible", _pick, lambda bench: bool(bench.score.totals), _counted(lambda b: len(b.score.totals))
    ),
    "reading": Phrase("reversible", _reading, lambda bench: len(_trays_with_a_law(bench)) == 1, _degrees),
    "hold": Phrase("reversible", _hold),
    "go": Phrase("reversible", lambda bench, heard, asked: h.Go()),
    "undo": Phrase("reversible", lambda bench, heard, asked: h.Undo()),
    "void": Phrase("asked", _void, numbers=_counted(lambda b: len(b.copies) + STAND_INS)),
    "again": Phrase("harmless", lambda bench, heard, asked: h.SayAgain()),
    "how_long": Phrase("harmless", lambda bench, heard, asked: h.HowLong()),
    "coming": Phrase("harmless", _coming),
    "note": Phrase("harmless", lambda bench, heard, asked: TakeDown()),
    "yes": Phrase("answer", _yes),
    "no": Phrase("answer", _no),
    "close": Phrase("harmless", lambda bench, heard, asked: Listen(False)),
    "open": Phrase("harmless", lambda bench, heard, asked: Listen(True)),
}  # fmt: skip
"""Name (see `wordings.WORDINGS`) -> what it means."""


KNOCK = "knock"
"""The name of three knocks: no phrase, and heard only where the settings ask for it."""
OPENS = frozenset({"open"})
"""What closed ears hear."""


def wanted(bench: Bench) -> frozenset[str]:
    """The names of what this session can ever want."""
    return frozenset(name for name, phrase in PHRASES.items() if phrase.possible(bench))


def texts(name: str, bench: Bench, own: Mapping[str, str] | None = None) -> tuple[tuple[float | None, str, str], ...]:
    """Every way to say a phrase in this session: its number and the number's words, if it has one, and all the words.

    `own` are the printer's own wordings, by name.
    """
    wordings, numbers = in_force(own or {})[name], PHRASES[name].numbers
    if numbers is None:
        return tuple((None, "", wording) for wording in wordings)
    return tuple((number, said, _worded(wording, number, said)) for number, said in numbers(bench) for wording in wordings)


def _worded(wording: str, number: float, said: str) -> str:
    """A wording with its number; nobody says "one seconds"."""
    return (re.sub(r"(?i)\b(second)s\b", r"\1", wording) if number == 1 else wording).format(said)


def kind_of(name: str) -> Kind:
    """What sort of thing is said."""
    return "reversible" if name == KNOCK else PHRASES[name].kind


def sure(heard: Heard) -> Sure:
    """Whether a phrase of the table was heard surely enough for what it does; three knocks are, or are not heard at all."""
    if heard.name == KNOCK:
        return Sure.YES
    grave = heard.name == "yes" or PHRASES[heard.name].kind in ("begin", "asked")
    return how_sure(heard, grave, READING_MARGIN if heard.name == "reading" else NUMBER_MARGIN)


def meant(bench: Bench, heard: Heard, asked: Question | None = None) -> Meaning:
    """What a phrase means at the bench's own moment, with the question that is open, if any."""
    if heard.name == KNOCK:
        return _tap(_not_a_light)(bench, heard, asked)
    phrase = PHRASES[heard.name]
    if not phrase.possible(bench):
        return Refused(_instead(bench, hand_meant(bench, heard.begin)))
    return phrase.means(bench, heard, asked)
