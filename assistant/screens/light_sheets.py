"""The worksheets of the light: exposure, test strip, burns and dodges, safe time. What is asked, and which law answers."""

import re
from collections.abc import Sequence
from typing import Any

from assistant.screens.worksheets import Answer, Field, Values, Worksheet, chosen, two
from assistant.trade import exposure, parts, safetime, strips
from assistant.trade import quantities as q
from assistant.trade.lengths import parse_length
from assistant.trade.wording import rounded, signed

_PART = re.compile(r"(burn|dodge)\s+(\S.*?)\s+([+-]?(?:\d+\s+)?\d+/\d+|[+-]?\d+(?:\.\d+)?)", re.IGNORECASE)
_PARTS = 5
"""So many burns and dodges fit on the sheet."""
_CLOCK = Field("clock", "0.1 s", q.parse_span, "0.1 s", needed=False)
_DRY_DOWN = Field("dry-down", "8 %", q.parse_percent, "8 %", needed=False)


def _change(name: str, start: str, read: Any, form: str) -> Field:
    return Field(name, start, two(read, "to", read, form), form, needed=False)


_CHANGES = {
    "aperture": exposure.by_aperture,
    "lamp": exposure.by_distance,
    "enlargement": exposure.by_magnification,
    "paper": exposure.by_paper,
    "filter": exposure.by_filter,
}


def _exposure(values: Values) -> Answer:
    changes = [exposure.by_stops(values["stops"])] if values["stops"] else []
    changes += [law(*values[name]) for name, law in _CHANGES.items() if values[name] is not None]
    tick = values["clock"] or 1
    done = exposure.changed(values["time"], changes, values["dry-down"] or 0.0, tick)
    lines = [f"{q.format_span(done.before)} becomes {q.format_span(done.after)}  ({signed(done.stops)})"]
    if len(changes) > 1:
        lines += [f"  {change.what}: {signed(change.stops)}" for change in changes]
    laws = [change.law for change in changes]
    minds = list(done.warnings)
    if done.dry_down:
        lines.append(f"  dry-down {done.dry_down:g} % once, from {q.format_span(done.uncorrected)}: keep that as the base")
        laws.append(exposure.DRY_DOWN_LAW)
        minds.append(exposure.JUDGE_DRY)
    lines += _rounded(tick, [done.off])
    law = "; ".join(dict.fromkeys(laws)) or "nothing was changed but the clock's step"
    return Answer(tuple(lines), law, tuple(minds))


def _strip(values: Values) -> Answer:
    first, count, way, tick = values["time"], values["strips"], values["card"], values["clock"] or 1
    if values["time is the"] == "middle":
        if values["step"] is None or values["add"] is not None:
            raise q.Misread("a finer strip around a time grows by stops", "fill in step, and leave add empty")
        plan = strips.around(first, count, values["step"], way, tick)
    else:
        plan = strips.plan(first, count, add=values["add"], stops=values["step"], way=way, tick=tick)
    lines = (f"{count} strips, {q.format_span(plan.total)} of light in all", *_rounded(tick, plan.off))
    return Answer(lines, plan.law, plan.warnings, plan)


def _part(text: str) -> parts.Part:
    match = _PART.fullmatch(text.strip())
    if match is None:
        raise q.Misread(f"{q.quoted(text)} is no burn and no dodge", "write it like burn sky 1/2")
    stops = q.parse_stops(" ".join(match[3].split()))
    if stops <= 0:
        raise q.Misread(f"{q.quoted(match[3])} is no stops at all, or less", "write stops above 0, like 1/3")
    return parts.Part("burn" if match[1].lower() == "burn" else "dodge", " ".join(match[2].split()), stops)


def _parts(values: Values) -> Answer:
    asked = [part for i in range(_PARTS) if (part := values[f"part {i + 1}"]) is not None]
    tick = values["clock"] or 1
    plan = parts.plan(values["base"], asked, values["dry-down"] or 0.0, tick)
    lines = [f"base {q.format_span(plan.base)}, {q.format_span(plan.light)} of light in all"]
    wide = max((len(one.part.area) for one in plan.parts), default=0)
    for one in plan.parts:
        name = f"{one.part.kind:<5} {one.part.area:<{wide}}"
        lines.append(f"  {name}  {q.format_span(one.ms):>8}  ({q.format_stops(one.part.stops)} stop)")
    minds = list(plan.warnings)
    if plan.dry_down:
        kept = q.format_span(plan.uncorrected)
        lines.append(f"  dry-down {plan.dry_down:g} % once, from {kept}: keep that as the base")
        minds.append(exposure.JUDGE_DRY)
    if plan.parts:
        lines += _rounded(tick, [one.off for one in plan.parts])
    return Answer(tuple(lines), parts.LAW, tuple(minds))


def _fog(values: Values) -> Answer:
    safe = safetime.safe_time(values["clean"], values["fogged"])
    bound = "at least " if values["fogged"] is None else ""
    law = safetime.AT_LEAST_LAW if values["fogged"] is None else safetime.LAW
    return Answer((f"all handling together: {bound}{q.format_span(safe, 1)}",), law, safetime.WARNINGS)


def _rounded(tick: int, off: Sequence[float]) -> list[str]:
    said = rounded(tick, off)
    return [f"  {said}"] if said else []


_STARTS = ("dodge door 1/3", "burn sky 2/3", "burn lower corners 1/4", "", "")

SHEETS = (
    Worksheet(
        "exposure",
        (
            Field("time", "9.6 s", q.parse_span, "9.6 s"),
            Field("stops", "", q.parse_stops, "1/3, or -1/2 for less", needed=False),
            _change("aperture", "f/11 to f/16", q.parse_aperture, "f/11 to f/16"),
            _change("lamp", "", parse_length, "80 cm to 100 cm"),
            _change("enlargement", "", q.parse_number, "2 to 3"),
            _change("paper", "", q.parse_paper_speed, "P500 to P250"),
            _change("filter", "", q.parse_number, "1 to 2"),
            _DRY_DOWN,
            _CLOCK,
        ),
        _exposure,
    ),
    Worksheet(
        "strip",
        (
            Field("time", "8 s", q.parse_span, "8 s"),
            chosen("time is the", "lightest", "middle"),
            Field("strips", "5", q.parse_count(strips.LEAST, strips.MOST), "5"),
            Field("step", "1/3", q.parse_stops, "1/3 stop, written 1/3", needed=False),
            Field("add", "", q.parse_span, "2 s, in place of a step", needed=False),
            chosen("card", "cover", "uncover"),
            _CLOCK,
        ),
        _strip,
    ),
    Worksheet(
        "parts",
        (
            Field("base", "14 s", q.parse_span, "14 s"),
            *(Field(f"part {i + 1}", _STARTS[i], _part, "burn sky 1/2", needed=False) for i in range(_PARTS)),
            _DRY_DOWN,
            _CLOCK,
        ),
        _parts,
    ),
    Worksheet(
        "fog",
        (
            Field("clean", "4 min", q.parse_span, "4 min"),
            Field("fogged", "8 min", q.parse_span, "8 min; empty where no strip was", needed=False),
        ),
        _fog,
    ),
)
