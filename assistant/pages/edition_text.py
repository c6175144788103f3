"""The edition sheet: a session's record as plain text, to be read in ten years without this program.

Ordered for a printer: what was printed and how, each copy's true times against the recipe's, toning along the
edition, what went wrong, what was said, and the recipe as it was. At most 78 characters a line, but for the
recipe's own. It calculates nothing.
"""

import textwrap
from datetime import datetime

from assistant.history.baths import age
from assistant.history.chemistry import days, through
from assistant.history.printed import Printed
from assistant.history.summary import became, poured, prints, remark_line
from assistant.pages.times_table import times_table
from assistant.recipe.model import Expose, Part, Print
from assistant.recipe.several_prints import light_of
from assistant.session.copy import Stay
from assistant.trade import quantities as q
from assistant.trade.foreign_text import as_text
from assistant.trade.lengths import format_length
from assistant.trade.wording import counted, in_stops, to_tenth

WIDE = 78
"""Characters a line, but for the recipe's own: less than the eighty of a narrow window or page."""
UNDER_A_PRINT = " " * 11
"""What a line begins with that belongs to one of several prints."""


def edition_sheet(record: Printed) -> str:
    """The whole sheet. Other people's words stand in it as words: nothing in them breaks a line or acts on a terminal."""
    parts = [
        head(record),
        paper_and_light(record),
        baths(record),
        times_table(record),
        toning(record),
        *(_listed(title, items) for title, items in lists(record)),
        ["The recipe, as it was printed from", *(f"    {line}".rstrip() for line in record.session.recipe.splitlines())],
    ]
    return "\n\n".join("\n".join(map(as_text, part)) for part in parts if part) + "\n"


def lists(record: Printed) -> list[tuple[str, list[str]]]:
    """What went wrong and what was said: title, and a line for each; those without a line too."""
    course = record.course
    return [
        ("Prints", prints(record)),
        ("Void", _voids(record)),
        ("Still in a bath where this record ends", _left(record)),
        ("Turns left out, the hands not being free", _turns(record)),
        ("Nobody was called", [f"{_at(record, a)} to {_at(record, b)}" for a, b in record.unattended]),
        ("First visible tone", [f"{record.called} {copy} after {to_tenth(ms)}" for copy, ms in course.first_tones]),
        ("Another bath from then on", [f"{_at(record, one.from_ms)}  {one.tray}" for one in record.baths_changed]),
        ("Temperatures read", _readings(record)),
        ("Notes", [f"{_at(record, at)}  {words}" for at, words in course.notes]),
        ("Afterwards", [remark_line(remark, record.called) for remark in record.remarks]),
    ]


def _turns(record: Printed) -> list[str]:
    lacking = ((sheet.number, [stay for stay in sheet.stays if stay.left_out]) for sheet in record.course.sheets)
    return [
        f"{record.called} {number}: " + ", ".join(f"{stay.name.lower()} {stay.left_out}" for stay in stays)
        for number, stays in lacking
        if stays
    ]


def head(record: Printed) -> list[str]:
    """Title and its line, session, what became of the copies, the recipe's name and notes."""
    session = record.session
    ended = session.ended is not None
    title = as_text(session.title)
    return [
        title,
        "=" * min(len(title), WIDE),
        f"Session {session.number}, begun {_date(session.started)}, "
        + (f"ended after {to_tenth(session.ended or 0)}" if ended else f"not ended; followed for {to_tenth(session.lived)}"),
        f"{counted(session.copies, record.called)} planned: " + became(record.course.sheets),
        f"Recipe {session.file or 'without a name'}, printed with traycall {session.program}",
        *remarks_of_recipe(record),
    ]


def remarks_of_recipe(record: Printed) -> list[str]:
    """The recipe's notes, and why it or the course can't be read."""
    notes = record.recipe.notes if record.recipe else ""
    return [line for words in (notes, record.trouble) for line in textwrap.wrap(words, WIDE)]


def paper_and_light(record: Printed) -> list[str]:
    """Negative, lamp, paper, and every light with its parts."""
    recipe, lines = record.recipe, []
    if recipe is None:
        return []
    if recipe.negative:
        lines.append("Negative  " + ", ".join(filter(None, [recipe.negative.name, recipe.negative.orientation])))
    if recipe.lamp or recipe.height:
        height = f"{format_length(recipe.height)} high" if recipe.height else None
        lines.append("Lamp      " + ", ".join(filter(None, [recipe.lamp, height])))
    if recipe.paper:
        paper = recipe.paper
        size = q.format_size(paper.size) if paper.size else None
        batch = f"batch {paper.batch}" if paper.batch else None
        label = "Paper" if record.called == "copy" else "Film"
        blank = counted(recipe.blank, "blank sheet") if recipe.blank else None
        lines.append(f"{label:<10}" + ", ".join(filter(None, [paper.name, size, paper.grade, batch, blank])))
    for step in recipe.steps:
        if isinstance(step, Expose):
            first, *parts = _light(step, record.course.picked)
            lines += [f"{step.name:<9} {first}", *(f"{'':9} {part}" for part in parts)]
            lines += [line for one in recipe.prints for line in _print(one, step, record.course.picked)]
    return lines


def _print(one: Print, step: Expose, picked: int | None) -> list[str]:
    """One of several prints: its negative, and the light that it has."""
    negative = f" (negative {one.negative.name})" if one.negative else ""
    first, *parts = _light(light_of(step, one), picked)
    return [f"{'':9} {one.name}{negative}: {first}", *(f"{UNDER_A_PRINT} {part}" for part in parts)]


def _light(step: Expose, picked: int | None) -> list[str]:
    base = f"{q.format_span(step.time)} base, as set" if step.time else None
    aperture = q.format_aperture(step.aperture) if step.aperture else None
    dry_down = f"dry-down {step.dry_down:g} % taken off once" if step.dry_down else None
    strip = f"test strip of {step.strip.strips}, moved to {step.strip.way}" if step.strip else None
    choice = f"strip {picked} picked" if step.strip and picked else None
    light = f"filter {step.filter}" if step.filter else None
    return [", ".join(filter(None, [base, aperture, light, dry_down, strip, choice])), *map(_part, step.parts)]


def _part(part: Part) -> str:
    amount = in_stops(part.stops) if part.stops else q.format_span(part.time or 0)
    aperture = q.format_aperture(part.aperture) if part.aperture else None
    light = f"filter {part.filter}" if part.filter else None
    return ", ".join(filter(None, [f"{part.kind} {part.area}", amount, aperture, light]))


def baths(record: Printed) -> list[str]:
    """Every tray's bath, and what was known of it before the session."""
    trays = bath_words(record)
    wide = max((len(tray) for tray, *_ in trays), default=0) + 4
    lines = []
    for tray, *said in trays:
        first, *more = filter(None, said)
        lines += _hanging(f"  {tray}", first, wide)
        lines += [line for words in more for line in _hanging("", words, wide)]
    return ["Baths", *lines] if lines else []


def bath_words(record: Printed) -> list[tuple[str, str, str]]:
    """Tray, what is in it by the recipe, and what was known of it before the session ("" nothing)."""
    known = {bath.tray: bath for bath in record.baths}
    found = []
    for tray, bath in record.recipe.trays.items() if record.recipe else ():
        said = ""
        if tray in known:
            stood = known[tray].bath
            name = f"{stood.name}, " if stood.name != tray else ""
            said = f"{name}mixed {_date(stood.made)}, {days(age(stood, record.session.started))} before; "
            said += f"until then {through(known[tray])}"
        found.append((tray, poured(bath), said))
    return found


def _hanging(label: str, words: str, wide: int) -> list[str]:
    indent = " " * min(wide, WIDE // 2)
    return textwrap.wrap(words, WIDE, initial_indent=f"{label:<{len(indent)}}", subsequent_indent=indent)


def toning(record: Printed) -> list[str]:
    """Toning in the order pulled: in what, how warm where it was read, and what was left untoned."""
    if not record.course.toned:
        return []
    trays = dict.fromkeys(stay.tray for stay in record.course.toned)
    lines = []
    for place, stay in enumerate(record.course.toned, 1):
        out_of = f"out of the {stay.name.lower()} " if len(trays) > 1 else ""
        pulled = f"pulled {out_of}{_at(record, stay.to_ms)} after {to_tenth(stay.lasted)}{_warmth(record, stay)}"
        lines.append(f"  {place:>2}.  {record.called} {stay.copy:<3} {pulled}")
    untoned = ", ".join(map(str, record.course.untoned))
    reference = [f"  left untoned, to compare with: {record.called} {untoned}"] if untoned else []
    before = [
        f"  before them in {bath.bath.name}: {len(bath.pulled)} prints, at last {', '.join(map(to_tenth, bath.pulled[-3:]))}"
        for bath in record.baths
        if bath.tray in trays and bath.pulled
    ]
    toners = [f"  in {said[0]}" for tray, *said in bath_words(record) if tray in trays]
    return ["Toning along the edition, in the order pulled", *toners, *before, *lines, *reference]


def _warmth(record: Printed, stay: Stay) -> str:
    """How warm its bath was when it was read last before a print came out, "" where nobody did."""
    read = [one.celsius for one in record.course.readings if one.tray == stay.tray and one.at <= stay.to_ms]
    return f", {q.format_temperature(read[-1])}" if read else ""


def _voids(record: Printed) -> list[str]:
    found = []
    for sheet in record.course.sheets:
        if sheet.state == "void":
            last = sheet.stays[-1] if sheet.stays else None
            where = f", last in {last.name} until {_at(record, last.to_ms)}" if last else ", before it was begun"
            found.append(f"{record.called} {sheet.number}{where}")
    return found


def _left(record: Printed) -> list[str]:
    return [
        f"{record.called} {sheet.number}, in {within.name} for {to_tenth(record.until - within.since)}"
        for sheet, within in record.course.left
    ]


def _readings(record: Printed) -> list[str]:
    return [f"{_at(record, r.at)}  {r.tray} {q.format_temperature(r.celsius)}" for r in record.course.readings]


def _listed(title: str, items: list[str]) -> list[str]:
    wrapped = [line for item in items for line in textwrap.wrap(item, WIDE - 4, subsequent_indent="    ")]
    return [title, *(f"  {line}" for line in wrapped)] if items else []


def _at(record: Printed, ms: int) -> str:
    """A moment as people look for it: the wall clock's time, by the clock that was right when the session began."""
    return f"{record.session.wall(ms):%H:%M:%S}"


def _date(wall: datetime) -> str:
    return f"{wall:%Y-%m-%d %H:%M} (UTC{wall:%z})"
