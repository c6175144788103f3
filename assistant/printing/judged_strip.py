"""After a strip was judged: its time into the print's recipe, or a finer strip around it. Nothing is written unasked."""

import shlex
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from assistant.printing.base_time import put_base
from assistant.printing.card import Card
from assistant.printing.plain_face import answered, numbered
from assistant.printing.recipe_file import found
from assistant.printing.text_out import say, say_lines
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import load, loads
from assistant.recipe.model import Expose, Strip
from assistant.recipe.strip_card import strip_card
from assistant.trade import quantities as q
from assistant.trade import strips

FINER = 5
"""Strips of a finer strip; an odd number, so that the picked time is its middle."""


@dataclass(frozen=True)
class JudgedStrip:
    """The totals of a strip (ms, lightest first), the strip that was picked, counted from one, and the light it is for."""

    totals: tuple[int, ...]
    strip: int
    part: str | None = None

    @property
    def light(self) -> str:
        """What the time is of."""
        return f"the time of {self.part}" if self.part else "the base time"

    @property
    def words(self) -> str:
        """What names the light in a call."""
        return f" --part {shlex.quote(self.part)}" if self.part else ""

    @property
    def time(self) -> int:
        """The picked time, ms."""
        return self.totals[self.strip - 1]


def which(totals: tuple[int, ...]) -> int | None:
    """Ask which strip is good, counted from one; None for none."""
    listed = ", ".join(f"{number}: {q.format_span(total)}" for number, total in enumerate(totals, 1))
    return numbered(f"Which strip is good? {listed}.", 1, len(totals))


def offer(judged: JudgedStrip, card: Card | None, ask: bool) -> Card | None:
    """Say what can be done with the picked time, and do it if it is wanted; `ask` where somebody sits at the terminal.

    The card of a finer strip, where that is to be printed now.
    """
    step = strips.finer_step(judged.totals, judged.strip)
    plan = strips.around(judged.time, FINER, step)
    file = (card.named or card.file) if card else None
    named = shlex.quote(str(file)) if file else "RECIPE"
    finer = ", ".join(q.format_span(total, 1) for total in plan.totals)
    say_lines([f"Strip {judged.strip}: {q.format_span(judged.time)}.", f"A finer strip around it: {finer}:"])
    say(f"  traycall strip {named} --around {q.span_argument(judged.time)} --strips {FINER} --step {_stops(step)}{judged.words}")
    if ask and card is not None and answered("Print it now? y: yes. Any other key: no. ").lower() == "y":
        return _finer(card, Strip(first=plan.totals[0], step=step, strips=FINER), judged.part)
    if not _takes_a_time(file):
        say(f"Or as {judged.light} in the print's recipe: traycall base RECIPE {q.span_argument(judged.time)}{judged.words}")
    elif ask:
        assert file is not None
        wanted = answered(f"Write {q.format_span(judged.time)} into {file} as {judged.light}? y: yes. Any other key: no. ")
        later = f"Not written: traycall base {named} {q.span_argument(judged.time)}{judged.words}"
        say(put_base(file, judged.time, judged.part)[0] if wanted.lower() == "y" else later)
    else:
        say(f"Or as {judged.light}: traycall base {named} {q.span_argument(judged.time)}{judged.words}")
    return None


def _finer(card: Card, strip: Strip, part: str | None) -> Card:
    made = loads(strip_card(card.text, strip, part=part))
    return replace(card, loaded=replace(made, warnings=()))


def _stops(step: float) -> str:
    near = Fraction(step).limit_denominator(12)
    return q.format_stops(float(near) if abs(near - step) < 0.01 else round(step, 2))  # stops: no lamp is finer


def _takes_a_time(file: Path | None) -> bool:
    """Whether the file is a print's recipe, with a time to be exchanged."""
    try:
        return file is not None and any(isinstance(s, Expose) and s.time is not None for s in load(found(file)).recipe.steps)
    except BadRecipe:
        return False
