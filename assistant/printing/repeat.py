"""Printing like an earlier session: its frozen recipe with what was learned from it, on the baths that stand there today."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from statistics import median

from assistant.history.baths import Bath
from assistant.history.exposures import given
from assistant.history.printed import Printed, Sheet
from assistant.printing.card import Card
from assistant.printing.records_read import baths_for, record_of
from assistant.printing.refusal import Refusal
from assistant.recipe.loader import loads
from assistant.recipe.model import Develop, Recipe
from assistant.recipe.time_rewriting import CannotRewrite, put_developing, put_time
from assistant.records.journal import Journal
from assistant.score import words
from assistant.trade import toning_drift
from assistant.trade.foreign_text import as_text
from assistant.trade.quantities import format_span, format_temperature
from assistant.trade.wording import to_tenth

LEARNED = 1_000
"""A developing time that differs by less than this (ms) from the recipe's is the hand's, and is not taken over. Common
practice, no source."""


def card_like(number: int, copies: int | None, asked: Mapping[str, str], temperatures: Mapping[str, float] | None = None) -> Card:
    """The card of a session that was printed, with its true times; Refusal where it can't be read any more.

    `asked`: tray -> the bath that stands in it today; `temperatures`: tray -> degrees Celsius, as read today.
    """
    with Journal.open() as journal:
        record = record_of(journal, journal.session(number))
        if record.recipe is None:
            raise Refusal(record.trouble)
        text, learned, said = corrected(record, record.recipe)
        today = baths_for(journal, record.recipe, asked)
    loaded = loads(text, record.session.file or "recipe")
    notes = [f"Like session {number} of {record.session.started:%Y-%m-%d}.", *learned, *differing(record, today)]
    file = Path(record.session.file or f"session {number}")
    said = [*_of_baths(record, today), *said, *_of_temperatures(record, record.recipe, temperatures or {})]
    copies = copies or record.session.copies
    hint = _hint(record)
    then = f"then, {words.look_from(hint.before, hint.look_from, False)}" if hint else ""
    spoken = ". ".join(said)
    return Card(loaded, file, text, copies, notes=tuple(map(as_text, notes)), spoken=spoken, before_toning=then, watched=False)


@dataclass(frozen=True)
class Learned:
    """A time that was another than the recipe's: of what, both in ms, how they are written, and how it gets into a text."""

    name: str
    was: int
    now: int
    written: Callable[[int], str]
    put: Callable[[str], str]


def corrected(record: Printed, recipe: Recipe) -> tuple[str, list[str], list[str]]:
    """The recipe's text with the times that the good copies really had; what was changed, to read and to say.

    Dry-down is the recipe's own: it is taken off the new time as it was off the old one.
    """
    text, said, spoken = record.session.recipe, [], []
    for one in (*_exposures(record, recipe), *_developments(record, recipe)):
        was = one.written(one.was)
        try:
            text = one.put(text)
            said.append(f"{one.name}: {one.written(one.now)}, as it was; the recipe said {was}.")
            spoken.append(f"{one.name.lower()} for {words.span(one.now)}, as it was")
        except CannotRewrite as error:
            said.append(f"{one.name} was {one.written(one.now)}, not {was}: {error}.")
    return text, said, spoken


def _developments(record: Printed, recipe: Recipe) -> Iterator[Learned]:
    """What the hand made of a development: the median of the good copies."""
    for place, step in enumerate(recipe.steps):
        if not isinstance(step, Develop) or step.target is None or step.temperature_law is not None:
            continue
        true = [stay.lasted for sheet in _good(record) for stay in sheet.stays if stay.step == place]
        if true and abs(median(true) - step.target) >= LEARNED:
            now = round(median(true) / 1000) * 1000
            yield Learned(step.name, step.target, now, to_tenth, partial(put_developing, step=place, ms=now))


def _exposures(record: Printed, recipe: Recipe) -> Iterator[Learned]:
    """Base times that were given while it was printed."""
    for one in given(record, recipe):
        put = partial(put_time, ms=one.ms, part=one.print or None)
        yield Learned(one.print or one.step, one.was, one.ms, format_span, put)


def _good(record: Printed) -> list[Sheet]:
    return [sheet for sheet in record.course.sheets if sheet.state == "done"]


def _of_baths(record: Printed, today: Mapping[str, Bath]) -> list[str]:
    """Which baths are others than then, as it is said: mixed since, or another one that was mixed before."""
    then = {bath.tray: bath.bath.number for bath in record.baths}
    new = [tray for tray, bath in today.items() if bath.made > record.session.started]
    other = [tray for tray, bath in today.items() if tray not in new and then.get(tray, bath.number) != bath.number]
    said = [f"{words.listed(new)} {'is' if len(new) == 1 else 'are'} new"] if new else []
    return [*said, *(f"{tray} is another bath" for tray in other)]


def _of_temperatures(record: Printed, recipe: Recipe, today: Mapping[str, float]) -> list[str]:
    """What was read then in trays that are at another temperature today; where the recipe has a law, the time says it."""
    by_law = {step.tray for step in recipe.steps if isinstance(step, Develop) and step.temperature_law is not None}
    then = {reading.tray: reading.celsius for reading in record.course.readings if reading.tray not in by_law}
    others = {tray: celsius for tray, celsius in then.items() if round(today.get(tray, celsius) - celsius, 1)}
    return [f"{tray} was {words.temperature(celsius)} then" for tray, celsius in others.items()]


def _hint(record: Printed) -> toning_drift.Hint | None:
    return toning_drift.hint([stay.lasted for stay in record.course.toned])


def differing(record: Printed, today: Mapping[str, Bath]) -> list[str]:
    """What differs from then: baths that are others, temperatures that were read, toning times to begin from."""
    then = {bath.tray: bath.bath for bath in record.baths}
    lines = []
    for tray, bath in today.items():
        if tray in then and then[tray].number != bath.number:
            lines.append(f"{tray} is another than then: {bath.name}, mixed {bath.made:%Y-%m-%d %H:%M}.")
        elif tray not in then:
            lines.append(f"{tray}: {bath.name}, mixed {bath.made:%Y-%m-%d %H:%M}; which one it was then is not known.")
    last = {reading.tray: reading for reading in record.course.readings}
    lines += [f"{tray} was read {format_temperature(one.celsius)} then." for tray, one in last.items()]
    hint = _hint(record)
    if hint is not None:
        before = ", ".join(to_tenth(ms) for ms in hint.before)
        lines.append(f"Toning then: {before} at last. Look from {to_tenth(hint.look_from)}; a fresher toner is quicker.")
    return lines
