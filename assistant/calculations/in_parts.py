"""Topics of light that is given bit by bit, with a card or with the hands: `strip`, `parts`."""

import re
from collections.abc import Sequence

from assistant.calculations.exposures import CLOCK, DRY_DOWN, kept_base
from assistant.calculations.topic import Field, Result, Topic, Values, chosen, rounding
from assistant.trade import exposure, parts, strips
from assistant.trade import quantities as q
from assistant.trade.wording import counted, in_stops

_WAYS = {
    "cover": "the whole sheet open, the lightest covered first",
    "uncover": "the whole sheet covered, the darkest uncovered first",
}
_STOPS = r"[+-]?(?:\d+\s+)?\d+/\d+|[+-]?\d+(?:\.\d+)?"
_PART = re.compile(rf"(burn|dodge)\s+(\S.*?)\s+({_STOPS})", re.IGNORECASE)
_NEXT = re.compile(r"[,;]?\s+(?=(?:burn|dodge)\s)", re.IGNORECASE)
_LONGEST = 80
"""Letters in the name of a part of the picture; more is a slip."""

STEP = Field("step", q.parse_some_stops, "1/3", "equal stops from strip to strip", "1/3")
ADD = Field("add", q.parse_span, "2 s", "equal seconds, in place of a step")
CARD = chosen(
    "card",
    ("cover", "uncover"),
    "which way the card goes",
    flags={"cover": "cover the lightest first", "uncover": "uncover the darkest first"},
)
STRIPS = Field("strips", q.parse_count(strips.LEAST, strips.MOST), "5", f"{strips.LEAST} to {strips.MOST}", "5", needed=True)


def one_growth(step: float | None, add: int | None) -> None:
    """Misread unless a strip grows in one way."""
    if (step is None) == (add is None):
        raise q.Misread("a strip grows by equal stops or by equal seconds", "give `step` or `add`, one of the two")


def _strip(values: Values) -> Result:
    first, count, step, add = values["time"], values["strips"], values["step"], values["add"]
    way, tick = values["card"], values["clock"] or 1
    if values["time is"] == "middle":
        if step is None or add is not None:
            raise q.Misread("a finer strip around a time grows by stops", "give `step`, like 1/6, and no `add`")
        plan = strips.around(first, count, step, way, tick)
    else:
        one_growth(step, add)
        plan = strips.plan(first, count, add=add, stops=step, way=way, tick=tick)
    lines = (
        f"{counted(count, 'strip')}, {_WAYS[plan.way]}: {q.format_span(plan.total)} of light in all",
        f"  totals, lightest first: {_spans(plan.totals)}",
        f"  given in this order: {_spans(plan.increments)}",
        f"  in one exposure, {plan.way} at: {_spans(plan.moves)}; light off at {q.format_span(plan.total)}",
        *rounding(tick, plan.off),
    )
    found = {
        "way": plan.way,
        "totals_ms": plan.totals,
        "increments_ms": plan.increments,
        "moves_ms": plan.moves,
        "total_ms": plan.total,
        "clock_ms": tick,
        "off_stops": plan.off,
    }
    return Result(lines, plan.law, plan.warnings, found, plan)


def _spans(spans: Sequence[int]) -> str:
    return ", ".join(map(q.format_span, spans))


def _read_parts(text: str) -> tuple[parts.BurnOrDodge, ...]:
    """Burns and dodges in order: `dodge door 1/3, burn sky 1/2`."""
    return tuple(map(_part, _NEXT.split(" ".join(text.split()).rstrip(",;"))))


def _part(text: str) -> parts.BurnOrDodge:
    match = _PART.fullmatch(text)
    if match is None:
        raise q.Misread(f"{q.quoted(text)} is no burn and no dodge", "write it like burn sky 1/2")
    area = match[2]
    if len(area) > _LONGEST or not area.isprintable():
        raise q.Misread(f"{q.quoted(area)} names no part of the picture", "write a few plain words, like sky")
    return parts.BurnOrDodge("burn" if match[1].lower() == "burn" else "dodge", area, q.parse_some_stops(match[3]))


def _parts(values: Values) -> Result:
    tick = values["clock"] or 1
    plan = parts.plan(values["base"], values["parts"], values["dry-down"] or 0.0, tick)
    wide = max(len(one.part.area) for one in plan.parts)
    lines = [
        f"base {q.format_span(plan.base)}, {q.format_span(plan.light)} of light in all",
        *(
            f"  {one.part.kind:<5} {one.part.area:<{wide}}  {q.format_span(one.ms):>8}  {in_stops(one.part.stops)}"
            for one in plan.parts
        ),
    ]
    minds = list(plan.warnings)
    if plan.dry_down:
        lines.append(kept_base(plan.uncorrected))
        minds.append(exposure.JUDGE_DRY)
    found = {
        "uncorrected_ms": plan.uncorrected,
        "base_ms": plan.base,
        "dry_down_percent": plan.dry_down,
        "light_ms": plan.light,
        "clock_ms": tick,
        "parts": [
            {"kind": one.part.kind, "area": one.part.area, "stops": one.part.stops, "ms": one.ms, "off_stops": one.off}
            for one in plan.parts
        ],
    }
    lines += rounding(tick, [plan.off, *(one.off for one in plan.parts)])
    return Result(tuple(lines), parts.LAW, tuple(minds), found)


TOPICS = (
    Topic(
        "strip",
        "a test strip: totals, what to give, when to move",
        "5s 5 --step 1/3",
        (
            Field("time", q.parse_span, "5 s", "what the lightest strip gets, or the middle one", "5 s", needed=True),
            STRIPS,
            chosen(
                "time is",
                ("lightest", "middle"),
                "which strip gets the time",
                flags={"middle": "a finer strip around TIME, with a step"},
            ),
            STEP,
            ADD,
            CARD,
            CLOCK,
        ),
        _strip,
    ),
    Topic(
        "parts",
        "seconds for burns and dodges",
        "25.4s dodge door 1/3, burn sky 1/2",
        (
            Field("base", q.parse_span, "14 s", "the base before dry-down", "14 s", needed=True),
            Field(
                "parts",
                _read_parts,
                "dodge door 1/3, burn sky 1/2",
                "in your order, in stops",
                "dodge door 1/3, burn sky 2/3, burn lower corners 1/4",
                needed=True,
                words=True,
            ),
            DRY_DOWN,
            CLOCK,
        ),
        _parts,
    ),
)
