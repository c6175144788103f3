"""What there is to say of a session that is looked back on, as plain data: no widget, no file, no width.

Moments are told by the wall clock that was right when the session began. Nothing is judged here that the session did not
judge.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.history.baths import age
from assistant.history.chemistry import days, through
from assistant.history.printed import Printed
from assistant.history.summary import became, poured, prints, remark_line, turns_left_out
from assistant.session.copy import Stay
from assistant.trade import emergence
from assistant.trade import quantities as q
from assistant.trade.wording import counted, percent, to_tenth


def course(past: Printed) -> str:
    """How many copies were planned, what became of them, and how long it took."""
    session, until = past.session, to_tenth(past.until)
    end = f"not ended, followed for {until}" if session.ended is None else f"ended after {until}"
    planned = f"{counted(session.copies, past.called)} planned"
    return f"{planned}: {became(past.course.sheets)}; {end}"


@dataclass(frozen=True)
class Along:
    """Times along an edition (copy, ms), with levels (word, ms) to compare them to, and what there is to say of them."""

    title: str
    times: tuple[tuple[int, int], ...]
    levels: tuple[tuple[str, int], ...]
    said: str = ""
    called: str = "copy"

    @property
    def listed(self) -> list[str]:
        """The times themselves, to be read and copied."""
        return [f"{'' if place else self.called + ' '}{copy}: {to_tenth(ms)}" for place, (copy, ms) in enumerate(self.times)]


def toning(past: Printed) -> Iterator[Along]:
    """The times in each toner, its prints in the order in which they went in, which is how the bath tires."""
    toned = past.course.toned
    untoned = ", ".join(map(str, past.course.untoned))
    for step in sorted({stay.step for stay in toned}):
        here = [stay for stay in toned if stay.step == step]
        times = tuple((stay.copy, stay.lasted) for stay in here)
        said = f"untoned: {past.called} {untoned}" if untoned else ""
        yield Along(f"{here[0].name}, pulled by eye", times, _usual(past, step), said, past.called)


def _usual(past: Printed, step: int) -> tuple[tuple[str, int], ...]:
    """Between which times the recipe has prints pulled."""
    found = past.recipe.steps[step] if past.recipe and step < len(past.recipe.steps) else None
    return (("from", found.by_eye.earliest), ("to", found.by_eye.latest)) if found and found.by_eye else ()


def first_tones(past: Printed) -> Iterator[Along]:
    """When the first tone showed, along the edition: it comes later as a developer tires."""
    times = past.course.first_tones
    if times:
        (first, began), (last, now) = times[0], times[-1]
        late = round(began * (1 + emergence.TIRED / 100))
        said = _drift(past.called, first, began, last, now) if first != last else ""
        yield Along("First visible tone", tuple(times), ((f"+{emergence.TIRED:g} %", late),), said, past.called)


def _drift(called: str, first: int, began: int, last: int, now: int) -> str:
    moved = emergence.drift(began, now)
    way = "later" if moved.percent >= 0 else "sooner"
    going = f". {emergence.GOING}" if moved.tired else ""
    return f"{called} {last}: {percent(moved.percent)} {way} than {called} {first}{going}"


def notable(past: Printed) -> Iterator[tuple[str, list[str]]]:
    """What else there is to read, under its titles."""
    yield "Prints", prints(past)
    yield "Not as planned", list(_wrong(past))
    readings = past.course.readings
    yield "Temperatures read", [f"{_clock(past, r.at)}  {r.tray} {q.format_temperature(r.celsius)}" for r in readings]
    yield "Notes", [f"{_clock(past, at)}  {words}" for at, words in past.course.notes]
    yield "Afterwards", [remark_line(remark, past.called) for remark in past.remarks]
    yield "Baths", list(_baths(past))


def _wrong(past: Printed) -> Iterator[str]:
    for sheet in past.course.sheets:
        last = sheet.stays[-1] if sheet.stays else None
        if sheet.state == "void":
            where = f", last in {last.name} until {_clock(past, last.to_ms)}" if last else ""
            yield f"{past.called} {sheet.number} void{where}"
        for stay in sheet.stays:
            if stay.verdict in ("short", "long"):
                wanted = f" for {to_tenth(stay.target_ms)}" if stay.target_ms is not None else ""
                yield f"{past.called} {sheet.number} {stay.name} {to_tenth(stay.lasted)}{wanted}: {stay.verdict}"
        if sheet.within is not None:
            yield f"{past.called} {sheet.number} still in {sheet.within.name}, for {to_tenth(past.until - sheet.within.since)}"
    for since, until in past.unattended:
        yield f"nobody was called from {_clock(past, since)} to {_clock(past, until)}"


def _baths(past: Printed) -> Iterator[str]:
    known = {bath.tray: bath for bath in past.baths}
    for tray, bath in past.recipe.trays.items() if past.recipe else ():
        before = ""
        if tray in known:
            before = f"mixed {days(age(known[tray].bath, past.session.started))} before; until then {through(known[tray])}"
        yield f"{tray}: " + ", ".join(filter(None, [poured(bath), before]))
    for one in past.baths_changed:
        yield f"{one.tray}: another bath from {_clock(past, one.from_ms)} on"


STAYS = ("step", "in at", "target", "true", "off", "")
"""What stands in a row of `stays`, after the number of its copy."""


def stays(past: Printed) -> Iterator[tuple[str, ...]]:
    """Every copy's true times against their targets: the wall clock when it went in, how far off, and the verdict."""
    for sheet in past.course.sheets:
        for stay in sheet.stays:
            word = ", ".join(filter(None, [stay.verdict * (stay.verdict != "good"), turns_left_out(stay) * bool(stay.left_out)]))
            yield str(sheet.number), stay.name, _clock(past, stay.from_ms), *_figures(stay), word
        if (within := sheet.within) is not None:
            target = to_tenth(within.target_ms) if within.target_ms is not None else "open"
            so_far = to_tenth(past.until - within.since)
            yield str(sheet.number), within.name, _clock(past, within.since), target, so_far, "", "in it"


def _figures(stay: Stay) -> tuple[str, str, str]:
    if stay.target_ms is None:
        return "by eye" if stay.kind == "tone" else "open", to_tenth(stay.lasted), ""
    off = (_tenths(stay.lasted) - _tenths(stay.target_ms)) * 100  # of the tenths shown, so that the sum is right to the eye
    return to_tenth(stay.target_ms), to_tenth(stay.lasted), f"{'+' if off > 0 else '-'}{to_tenth(abs(off))}" if off else ""


def _tenths(ms: int) -> int:
    return (ms + 50) // 100


def _clock(past: Printed, ms: int) -> str:
    return f"{past.session.wall(ms):%H:%M:%S}"
