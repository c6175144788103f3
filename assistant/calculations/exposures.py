"""Topics of an exposure as a whole: `exposure`, `stops`, `corner`."""

from collections.abc import Callable
from typing import Any

from assistant.calculations.topic import Field, Reader, Result, Topic, Values, rounding, two
from assistant.trade import evenness, exposure, limits, stops
from assistant.trade import quantities as q
from assistant.trade.lengths import format_length, parse_length
from assistant.trade.wording import signed

CLOCK = Field("clock", q.parse_span, "0.1 s", "the smallest step of your clock", start="0.1 s")
DRY_DOWN = Field("dry-down", q.parse_percent, "8 %", "taken off once and last")


def kept_base(uncorrected: int) -> str:
    """Which time (ms) the printer keeps where dry-down was taken off."""
    return f"  before dry-down {q.format_span(uncorrected)}: keep that as the base"


def _density(text: str) -> float:
    return 0.0 if text.strip().strip("0") in ("", ".") else limits.between(q.parse_number(text), 0, 6, "a density")


def _change(name: str, read: Reader, form: str, about: str, start: str = "") -> Field:
    return Field(name, two(read, "to", read), form, about, start, between="to")


_LAWS: dict[str, Callable[..., exposure.StopsChange]] = {
    "more": exposure.by_stops,
    "less": lambda amount: exposure.by_stops(-amount),
    "density": exposure.by_density,
    "aperture": exposure.by_aperture,
    "height": exposure.by_distance,
    "enlargement": exposure.by_magnification,
    "paper": exposure.by_paper,
    "filter": exposure.by_filter,
}


def _exposure(values: Values) -> Result:
    asked: dict[str, Any] = {name: values[name] for name in _LAWS if values[name] is not None}
    percent, tick = values["dry-down"] or 0.0, values["clock"] or 1
    if not asked and not percent and values["clock"] is None:
        raise q.Misread("nothing was changed", "say what, like more 1/3, or aperture f/11 to f/16")
    changes = [_LAWS[name](*value) if isinstance(value, tuple) else _LAWS[name](value) for name, value in asked.items()]
    done = exposure.changed(values["time"], changes, percent, tick)
    lines = [f"{q.format_span(done.before)} becomes {q.format_span(done.after)} ({signed(done.stops)})"]
    rows = [(change.what, change.stops) for change in changes]
    laws = [change.law for change in changes]
    minds = list(done.warnings)
    if percent:
        rows.append((f"dry-down {percent:g} %", done.dry_down_stops))
        laws.append(exposure.DRY_DOWN_LAW)
        minds.append(exposure.JUDGE_DRY)
    wide = max((len(what) for what, _ in rows), default=0)
    lines += [f"  {what:<{wide}}  {signed(amount)}" for what, amount in rows]
    lines += [kept_base(done.uncorrected)] if percent else []
    law = "; ".join(dict.fromkeys(laws)) or "the nearest whole step of the clock"
    found = {
        "before_ms": done.before,
        "after_ms": done.after,
        "stops": done.stops,
        "uncorrected_ms": done.uncorrected,
        "dry_down_percent": percent,
        "dry_down_stops": done.dry_down_stops,
        "clock_ms": tick,
        "off_stops": done.off,
        "changes": [{"what": change.what, "stops": change.stops} for change in changes],
    }
    return Result((*lines, *rounding(tick, [done.off])), law, tuple(minds), found)


def _stops(values: Values) -> Result:
    first, second = values["first"], values["second"]
    apart = stops.between(first, second)
    line = f"{q.format_span(first)} to {q.format_span(second)} is {signed(apart, 4)}"
    return Result((line,), "n = log2(t2/t1)", (), {"first_ms": first, "second_ms": second, "stops": apart})


def _corner(values: Values) -> Result:
    size, height = values["size"], values["height"]
    corner = evenness.corner(size, height)
    line = (
        f"{q.format_size(size)} under a bare lamp at {format_length(height)}: "
        f"the corner gets {corner.share:.3f} of the middle ({signed(corner.stops)})"
    )
    found = {"height_mm": height, "share": corner.share, "stops": corner.stops}
    return Result((line,), evenness.LAW, (exposure.NEW_STRIP,), found)


TOPICS = (
    Topic(
        "exposure",
        "a time after lens, lamp, paper or filter changed",
        "10s --more 1/3 --aperture f/11 f/16",
        (
            Field("time", q.parse_span, "9.6 s", "the time that was right", "9.6 s", needed=True),
            Field("more", q.parse_some_stops, "1/3", "so many stops more light"),
            Field("less", q.parse_some_stops, "1/3", "so many stops less light"),
            _change("aperture", q.parse_aperture, "f/11 to f/16", "another aperture, as marked", "f/11 to f/16"),
            _change("height", parse_length, "80 cm to 100 cm", "a bare lamp moved, from the paper"),
            _change("enlargement", q.parse_number, "2 to 3", "print edge over negative edge"),
            _change("paper", q.parse_paper_speed, "P500 to P250", "another paper, by ISO paper speed"),
            _change("filter", q.parse_number, "1 to 2", "another filter, by its factor"),
            Field("density", _density, "0.30", "so much density more before the lamp"),
            DRY_DOWN,
            CLOCK,
        ),
        _exposure,
    ),
    Topic(
        "stops",
        "how many stops lie between two times",
        "12s 18.75s",
        (
            Field("first", q.parse_span, "12 s", "a time", "12 s", needed=True),
            Field("second", q.parse_span, "18.75 s", "another", "18.75 s", needed=True),
        ),
        _stops,
    ),
    Topic(
        "corner",
        "how evenly a bare lamp lights a sheet",
        "8x10in 80cm",
        (
            Field("size", q.parse_size, "8x10 in", "the sheet", "12x16 in", needed=True),
            Field("height", parse_length, "80 cm", "the bare lamp over it", "80 cm", needed=True),
        ),
        _corner,
    ),
)
