"""The proof book: for each negative over the years, strip, pick, grade, dry-down, the look at the dry print, and the edition.

A negative is known by its name in the recipe; where none is written, by the recipe's title.
"""

from collections.abc import Iterable

from assistant.history.exposures import given
from assistant.history.printed import Printed
from assistant.history.summary import became, remark_line
from assistant.recipe.model import STRIP_FOR, Expose, Print, Recipe
from assistant.recipe.several_prints import light_of
from assistant.trade import exposure
from assistant.trade import quantities as q
from assistant.trade.foreign_text import as_text
from assistant.trade.wording import in_stops


def proof_book(sessions: Iterable[Printed]) -> str:
    """Everything known of every negative, the oldest session first; "" where there is none."""
    by_negative: dict[str, list[Printed]] = {}
    for record in sessions:
        if record.course.sheets and not any(sheet.stays or sheet.within for sheet in record.course.sheets):
            continue  # no sheet was ever lit: it tells nothing
        for name in negatives_of(record):
            by_negative.setdefault(name, []).append(record)
    parts = []
    for name in sorted(by_negative, key=str.casefold):
        lines = [as_text(line) for record in by_negative[name] for line in _entry(record, name)]
        parts.append("\n".join([as_text(name), *(f"  {line}" for line in lines)]))
    return "\n\n".join(parts) + "\n" if parts else ""


def negatives_of(record: Printed) -> list[str]:
    """The negatives' names; the recipe's title where none is written, without what a strip adds to it."""
    recipe = record.recipe
    if recipe and recipe.prints:
        return list(dict.fromkeys(one.negative.name if one.negative else one.name for one in recipe.prints))
    if recipe and recipe.negative:
        return [recipe.negative.name]
    return [record.session.title.removeprefix(STRIP_FOR)]


def _named(one: Print) -> str:
    return one.negative.name if one.negative else ""


def _entry(record: Printed, negative: str) -> list[str]:
    session, named = record.session, _prints_of(record, negative)
    sheets = [sheet for sheet in record.course.sheets if not record.recipe or not sheet.print or sheet.print in named]
    lines = [f"{session.started:%Y-%m-%d}  session {session.number}: {session.title}: {became(sheets)}"]
    if record.recipe:
        lines += [f"            {line}" for line in _light(record.recipe, record.course.picked, negative)]
        settled = [one for one in given(record, record.recipe) if not one.print or one.print in named]
        lines += [f"            settled on {q.format_span(one.ms)} while it was printed" for one in settled]
    others = {sheet.number for sheet in record.course.sheets} - {sheet.number for sheet in sheets}
    lines += [f"            dry: {remark_line(remark, record.called)}" for remark in record.remarks if remark.copy not in others]
    return lines


def _prints_of(record: Printed, negative: str) -> list[str]:
    """The names of the prints that are of a negative; empty where there is one negative."""
    prints = record.recipe.prints if record.recipe else ()
    return [one.name for one in prints if negative in (one.name, _named(one))]


def _light(recipe: Recipe, picked: int | None, negative: str) -> list[str]:
    lines = []
    paper = recipe.paper
    if paper:
        lines.append(", ".join(filter(None, [paper.name, paper.grade, f"batch {paper.batch}" if paper.batch else None])))
    for step in recipe.steps:
        if not isinstance(step, Expose):
            continue
        step = light_of(step, next((one for one in recipe.prints if negative in (one.name, _named(one))), None))
        if step.strip:
            totals = step.strip.plan().totals
            choice = f"picked {picked}: {q.format_span(totals[picked - 1], 1)}" if picked else "none picked"
            lines.append(f"strip {', '.join(q.format_span(total, 1) for total in totals)}: {choice}")
        if step.time:
            less = q.format_span(exposure.dry_down(step.time, step.dry_down), 1)
            down = f", less {step.dry_down:g} % {less}" if step.dry_down else ""
            aperture = f", {q.format_aperture(step.aperture)}" if step.aperture else ""
            lines.append(f"{step.name.lower()} {q.format_span(step.time)}{down}{aperture}")
        for part in step.parts:
            if part.stops:
                lines.append(f"{part.kind} {part.area}, {in_stops(part.stops)}")
    return [line for line in lines if line]
