"""The edition sheet: a session's record as plain text, to be read in ten years without this program.

Ordered for a printer: what was printed and how, each copy's true times against the recipe's, toning along the
edition, what went wrong, what was said, and the recipe as it was. At most 78 characters a line, but for the
recipe's own. It reckons nothing.
"""

import textwrap
from collections.abc import Iterable
from datetime import datetime, timedelta

from assistant.recipe.model import Expose, Recipe, Tone
from assistant.records.chemistry import InUse, days, through
from assistant.records.printed import Printed, state
from assistant.session.copy import Copy, Stay
from assistant.trade import quantities as q

_WIDE = 78
_NAME, _TIME, _ABREAST = 24, 10, 4
_MARKS = {"good": " ", "void": " ", "short": "-", "long": "+"}


def edition_sheet(record: Printed, baths: Iterable[InUse] = ()) -> str:
    """The whole sheet; `baths` are those whose mixing was written down, as they stood before this session."""
    parts = [
        _head(record),
        _paper_and_light(record),
        _baths(record, {bath.tray: bath for bath in baths}),
        _true_times(record),
        _toning(record),
        _listed("Void", _voids(record)),
        _listed("Still in a bath where this record ends", _left(record)),
        _listed("Nobody was called", [f"{_at(record, a)} to {_at(record, b)}" for a, b in record.unattended]),
        _listed("First visible tone", [f"copy {copy} after {span(ms)}" for copy, ms in record.bench.emerged]),
        _listed("Temperatures read", _readings(record)),
        _listed("Notes", [f"{_at(record, at)}  {words}" for at, words in record.bench.notes]),
        ["The recipe, as it was printed from", *(f"    {line}".rstrip() for line in record.session.recipe.splitlines())],
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def span(ms: int) -> str:
    """A span to the tenth of a second, as `2:00.0` or `1:00:00.0`."""
    tenths = (ms + 50) // 100
    minutes, rest = divmod(tenths, 600)
    hours, minutes = divmod(minutes, 60)
    front = f"{hours}:{minutes:02}" if hours else f"{minutes}"
    return f"{front}:{rest // 10:02}.{rest % 10}"


def _head(record: Printed) -> list[str]:
    session, copies = record.session, record.bench.copies
    counted = {what: sum(state(copy) == what for copy in copies) for what in map(state, copies)}
    ended = session.ended is not None
    return [
        session.title,
        "=" * min(len(session.title), _WIDE),
        f"Session {session.number}, begun {_date(session.started)}, "
        + (f"ended after {span(session.ended or 0)}" if ended else f"not ended; followed for {span(session.lived)}"),
        f"{session.copies} {_plural(session.copies)} planned: "
        + ", ".join(f"{number} {what}" for what, number in counted.items()),
        f"Recipe {session.file or 'without a name'}, printed with traycall {session.program}",
        *textwrap.wrap(record.bench.plan.recipe.notes, _WIDE),
    ]


def _plural(copies: int) -> str:
    return "copy" if copies == 1 else "copies"


def _paper_and_light(record: Printed) -> list[str]:
    recipe, lines = record.bench.plan.recipe, []
    if recipe.paper:
        paper = recipe.paper
        size = q.format_size(paper.size) if paper.size else None
        batch = f"batch {paper.batch}" if paper.batch else None
        lines.append("Paper     " + ", ".join(filter(None, [paper.name, size, paper.grade, batch])))
    for step in recipe.steps:
        if isinstance(step, Expose):
            first, *parts = _light(step, record.bench.picked)
            lines += [f"{step.name:<9} {first}", *(f"{'':9} {part}" for part in parts)]
    return lines


def _light(step: Expose, picked: int | None) -> list[str]:
    base = f"{q.format_span(step.time)} base, as set" if step.time else None
    aperture = q.format_aperture(step.aperture) if step.aperture else None
    dry_down = f"dry-down {step.dry_down:g} % taken off once" if step.dry_down else None
    strip = f"test strip of {step.strip.strips}, moved to {step.strip.way}" if step.strip else None
    choice = f"strip {picked} picked" if step.strip and picked else None
    parts = [
        f"{'burn' if part.burn else 'dodge'} {part.burn or part.dodge}, {q.format_stops(part.stops)} stop"
        for part in step.parts
    ]
    return [", ".join(filter(None, [base, aperture, dry_down, strip, choice])), *parts]


def _baths(record: Printed, known: dict[str, InUse]) -> list[str]:
    trays, lines = record.bench.plan.recipe.trays, []
    wide = max(map(len, trays), default=0) + 4
    for tray, bath in trays.items():
        mix = q.format_mix(bath.mix) if bath.mix else None
        volume = q.format_volume(bath.volume) if bath.volume else None
        warmth = q.format_temperature(bath.temperature) if bath.temperature is not None else None
        words = ", ".join(filter(None, [f"{bath.bath} {mix or ''}".rstrip(), volume, warmth]))
        lines += _hanging(f"  {tray}", words, wide)
        if tray in known:
            age = record.session.started - known[tray].mixed
            said = f"mixed {_date(known[tray].mixed)}, {days(age)} before; until then {through(known[tray])}"
            lines += _hanging("", said, wide)
    return ["Baths", *lines]


def _hanging(label: str, words: str, wide: int) -> list[str]:
    indent = " " * min(wide, _WIDE // 2)
    return textwrap.wrap(words, _WIDE, initial_indent=f"{label:<{len(indent)}}", subsequent_indent=indent)


def _true_times(record: Printed) -> list[str]:
    """Tables of a few copies abreast: a line for each step and each target it had, a column for each copy."""
    lines = ["True times, minutes:seconds  (+ longer than it should be, - shorter)"]
    copies = record.bench.copies
    for first in range(0, len(copies), _ABREAST):
        abreast = copies[first : first + _ABREAST]
        heads = [f"{'void' if copy.void else 'copy'} {copy.number} " for copy in abreast]
        lines += ["", f"{'':{_NAME}}{'target ':>{_TIME}}" + "".join(f"{head:>{_TIME + 1}}" for head in heads).rstrip()]
        lines += _rows(record.bench.plan.recipe, abreast)
    return lines


def _rows(recipe: Recipe, copies: Iterable[Copy]) -> list[str]:
    stays = [_numbered(copy) for copy in copies]
    keys = sorted({key for column in stays for key in column})
    return [
        f"{_short(_named(stays, key)):<{_NAME}}{_target(recipe, key):>{_TIME}}"
        + "".join(f"{_cell(column.get(key)):>{_TIME + 1}}" for column in stays).rstrip()
        for key in keys
    ]


def _numbered(copy: Copy) -> dict[tuple[int, int, int], Stay]:
    """A copy's stays by step, number of the light within the step, and target (-1 for none)."""
    found: dict[tuple[int, int, int], Stay] = {}
    for stay in copy.stays:
        light = sum(1 for step, _, _ in found if step == stay.step)
        found[stay.step, light, -1 if stay.target_ms is None else stay.target_ms] = stay
    return found


def _named(columns: list[dict[tuple[int, int, int], Stay]], key: tuple[int, int, int]) -> str:
    return next(column[key].name for column in columns if key in column)


def _target(recipe: Recipe, key: tuple[int, int, int]) -> str:
    if key[2] >= 0:
        return span(key[2]) + " "
    return "by eye " if isinstance(recipe.steps[key[0]], Tone) else "open "


def _cell(stay: Stay | None) -> str:
    return "" if stay is None else span(stay.lasted) + _MARKS[stay.verdict]


def _short(name: str) -> str:
    return textwrap.shorten(name, _NAME - 1, placeholder="..") if len(name) >= _NAME else name


def _toning(record: Printed) -> list[str]:
    if not record.toned:
        return []
    lines = [
        f"  {place:>2}.  copy {stay.copy:<3} pulled {_at(record, stay.to_ms)} after {span(stay.lasted)}"
        for place, stay in enumerate(record.toned, 1)
    ]
    untoned = ", ".join(map(str, sorted(record.bench.untoned)))
    reference = [f"  left untoned, to compare with: copy {untoned}"] if untoned else []
    return ["Toning along the edition, in the order pulled", *lines, *reference]


def _voids(record: Printed) -> list[str]:
    found = []
    for copy in record.bench.copies:
        if copy.void:
            last = copy.stays[-1] if copy.stays else None
            where = f", last in {last.name} until {_at(record, last.to_ms)}" if last else ", before it was begun"
            found.append(f"copy {copy.number}{where}")
    return found


def _left(record: Printed) -> list[str]:
    end = record.bench.now
    return [
        f"copy {copy.number}, in {record.bench.step_of(copy).name} for {span(end - (copy.since or 0))}"
        for copy in record.left
    ]


def _readings(record: Printed) -> list[str]:
    return [f"{_at(record, r.at)}  {r.tray} {q.format_temperature(r.celsius)}" for r in record.bench.readings]


def _listed(title: str, items: list[str]) -> list[str]:
    wrapped = [line for item in items for line in textwrap.wrap(item, _WIDE - 4, subsequent_indent="    ")]
    return [title, *(f"  {line}" for line in wrapped)] if items else []


def _at(record: Printed, ms: int) -> str:
    """A moment as people look for it: the wall clock's time, by the clock that was right when the session began."""
    return f"{record.session.started + timedelta(milliseconds=ms):%H:%M:%S}"


def _date(wall: datetime) -> str:
    return f"{wall:%Y-%m-%d %H:%M} (UTC{wall:%z})"
