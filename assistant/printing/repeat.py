"""Printing like an earlier session: its frozen recipe with what was learned from it, on the baths that stand there today."""

from collections.abc import Mapping
from pathlib import Path
from statistics import median

from assistant.history.baths import Bath
from assistant.history.printed import Printed
from assistant.printing.card import Card
from assistant.printing.records_read import baths_for, record_of
from assistant.printing.refusal import Refusal
from assistant.recipe.loader import loads
from assistant.recipe.model import Develop, Recipe
from assistant.recipe.time_rewriting import CannotRewrite, put_developing
from assistant.records.journal import Journal
from assistant.score import words
from assistant.trade import toning_drift
from assistant.trade.foreign_text import as_text
from assistant.trade.quantities import format_temperature
from assistant.trade.wording import to_tenth

LEARNED = 1_000
"""A developing time that differs by less than this (ms) from the recipe's is the hand's, and is not taken over."""


def card_like(number: int, copies: int | None, asked: Mapping[str, str], temperatures: Mapping[str, float] | None = None) -> Card:
    """The card of a session that was printed, with its true developing time; Refusal where it can't be read any more.

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
    return Card(loaded, file, text, copies, notes=tuple(map(as_text, notes)), spoken=". ".join(said), watched=False)


def corrected(record: Printed, recipe: Recipe) -> tuple[str, list[str], list[str]]:
    """The recipe's text with the developing time that the good copies really had; what was changed, to read and to say."""
    text, said, spoken = record.session.recipe, [], []
    done = {sheet.number for sheet in record.course.sheets if sheet.state == "done"}
    for place, step in enumerate(recipe.steps):
        if not isinstance(step, Develop) or step.target is None or step.temperature_law is not None:
            continue
        true = [stay.lasted for stay in record.course.stays if stay.step == place and stay.copy in done]
        if not true or abs(median(true) - step.target) < LEARNED:
            continue
        seconds = round(median(true) / 1000) * 1000
        try:
            text = put_developing(text, place, seconds)
            said.append(f"{step.name}: {to_tenth(seconds)}, as it was; the recipe said {to_tenth(step.target)}.")
            spoken.append(f"{step.name.lower()} {words.span(seconds)}, as it was")
        except CannotRewrite as error:
            said.append(f"{step.name} was {to_tenth(seconds)}, not {to_tenth(step.target)}: {error}.")
    return text, said, spoken


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
    hint = toning_drift.hint([stay.lasted for stay in record.course.toned])
    if hint is not None:
        before = ", ".join(to_tenth(ms) for ms in hint.before)
        lines.append(f"Toning then: {before} at last. Look from {to_tenth(hint.look_from)}; a fresher toner is quicker.")
    return lines
