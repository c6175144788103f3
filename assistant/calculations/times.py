"""Topics of how long in a bath: `temperature`, `first-tone`, `wash`."""

import math
from typing import Any

from assistant.calculations.topic import Curve, Field, Result, Topic, Values, degrees, in_degrees, two
from assistant.trade import emergence, temperature, washing
from assistant.trade import quantities as q
from assistant.trade.wording import counted, percent

_LEAST_DRAWN = -6.0
"""Less than a millionth (log10) is not drawn: no printer can tell it from nothing."""
_MARKED = 20
"""More changes of water than this are not marked one by one on the curve."""
_KNOWN = two(q.parse_span, "at", degrees)


def _temperature(values: Values) -> Result:
    (ms, at), now, also, coefficient = (values[name] for name in ("known", "now", "also known", "coefficient"))
    if (also is None) == (coefficient is None):
        raise q.Misread("a second known time or a coefficient is needed", "give `also known` or `coefficient`, one of the two")
    points, law = None, temperature.COEFFICIENT_LAW
    if also is not None:
        points, law = ((at, ms), (also[1], also[0])), temperature.POINTS_LAW
        coefficient = temperature.coefficient(*points)
    time = temperature.time_at(ms, at, now, coefficient)
    marks = (at,) if also is None else (at, also[1])
    span = (temperature.COOLEST, temperature.WARMEST)
    curve = Curve(
        least=min(span[0], now, *marks),
        most=max(span[1], now, *marks),
        value=lambda celsius: temperature.time_at(ms, at, celsius, coefficient) / 1000,
        across="the temperature of the bath in C",
        up="developing time",
        at=lambda celsius: f"{celsius:g}",
        reached=lambda seconds: q.format_span(round(seconds * 1000), 0),
        here=now,
        points=marks,
        trusted=span if points is None else (min(marks), max(marks)),
    )
    line = (
        f"{q.format_span(ms)} at {in_degrees(at)} becomes "
        f"{q.format_span(time, 1)} at {in_degrees(now)} (coefficient {coefficient:.4g} for ten degrees)"
    )
    found = {"known_ms": ms, "known_celsius": at, "celsius": now, "ms": time, "coefficient": coefficient}
    return Result((line,), law, temperature.warnings(now, points), found, curve)


def _first_tone(values: Values) -> Result:
    first, factor, developed, one = (values[name] for name in ("first tone", "factor", "developed", "print one"))
    if (factor is None) == (developed is None):
        raise q.Misread("a factor gives the time, a right time gives the factor", "give `factor` or `developed`, one of the two")
    factor = emergence.factor(developed, first) if factor is None else factor
    ms = emergence.development(first, factor)
    lines = [f"first tone {q.format_span(first)}, factor {factor:.4g}: develop {q.format_span(ms, 1)}"]
    found: dict[str, Any] = {"emergence_ms": first, "factor": factor, "development_ms": ms}
    minds: tuple[str, ...] = ()
    if one is not None:
        drift = emergence.drift(one, first)
        way = "later" if drift.percent > 0 else "earlier"
        lines.append(f"  the first tone came {percent(drift.percent)} {way} than on print one")
        found |= {"drift_percent": drift.percent, "tired": drift.tired}
        minds = (emergence.GOING,) if drift.tired else ()
    return Result(tuple(lines), emergence.LAW, minds, found)


def _wash(values: Values) -> Result:
    span, every = values["time"], values["every"]
    changing, running = (values["held"], values["fill"]), (values["washer"], values["flow"])
    if None not in running and changing == (None, None) and every is None:
        return _by_flow(span, *running)
    if running == (None, None) and (changing == (None, None) or None not in changing):
        return _by_changes(span, every or washing.RENEW, *changing)
    raise q.Misread("a wash is by changes or by running water", "give `every`, `fill` and `held`, or only `washer` and `flow`")


def _by_changes(span: int, every: int, held: int | None, fresh: int | None) -> Result:
    changes = washing.changes_in(span, every)
    line = f"{q.format_span(span)}, renewed every {q.format_span(every)}: fresh water {counted(changes, 'time')}"
    found: dict[str, Any] = {"wash_ms": span, "every_ms": every, "changes": changes}
    if held is None or fresh is None:
        return Result((line,), washing.CHANGES_LAW, washing.warnings(every), found)
    wash = washing.fill_and_dump(held, fresh, changes)
    each = washing.fill_and_dump(held, fresh, 1).left
    curve = _thinning(  # between two changes the line is drawn straight, though the water goes in steps
        changes, lambda done: each**done, "changes of water", "{:.0f}".format, changes if changes <= _MARKED else 0
    )
    found |= {"left": wash.left, "water_ml": wash.water}
    return Result((line, _left(wash)), washing.FILL_LAW, washing.warnings(every), found, curve)


def _by_flow(span: int, washer: int, flow: int) -> Result:
    wash = washing.through_flow(washer, flow, span)
    curve = _thinning(
        span / 60_000,
        lambda minutes: washing.through_flow(washer, flow, max(1, round(minutes * 60_000))).left,
        "minutes of running water",
        "{:.3g}".format,
    )
    line = f"{q.format_span(span)} at {q.format_volume(flow)} a minute through {q.format_volume(washer)}"
    found = {"wash_ms": span, "left": wash.left, "water_ml": wash.water}
    return Result((line, _left(wash)), washing.FLOW_LAW, washing.warnings(), found, curve)


def _thinning(most: float, left: Any, across: str, at: Any, marked: int = 0) -> Curve:
    return Curve(
        least=0,
        most=most,
        value=lambda done: max(_LEAST_DRAWN, math.log10(part)) if (part := left(done)) > 0 else _LEAST_DRAWN,
        across=across,
        up="left in the water",
        at=at,
        reached=_share,
        here=most,
        points=tuple(range(marked)),
    )


def _left(wash: washing.Washed) -> str:
    left = "less than a millionth" if wash.left < 1e-6 else f"{wash.left:.4g}"
    return f"  left in the water: {left} of what was there; {q.format_volume(round(wash.water))} of fresh water used"


def _share(log: float) -> str:
    if log <= _LEAST_DRAWN:
        return "1 in a million"
    return f"1 in {10**-log:.3g}" if log > -3 else f"1 in {round(10**-log / 1000):d} thousand"


TOPICS = (
    Topic(
        "temperature",
        "developing time in a warmer or cooler bath",
        "2min 20C 22C --also-known 90s 24C",
        (
            Field("known", _KNOWN, "2 min at 20 C", "a time that is known", "2 min at 20 C", needed=True, between="at"),
            Field("now", degrees, "22 C", "the bath now", "22 C", needed=True),
            Field("also known", _KNOWN, "90 s at 24 C", "a second time that is known", "90 s at 24 C", between="at"),
            Field("coefficient", q.parse_number, "2.1", "for ten degrees"),
        ),
        _temperature,
    ),
    Topic(
        "first-tone",
        "developing time by the first tone",
        "9s --factor 15",
        (
            Field("first tone", q.parse_span, "9 s", "from first touch to the first tone", "9 s", needed=True),
            Field("factor", q.parse_number, "15", "your factor: gives the development", "15"),
            Field("developed", q.parse_span, "2:15", "a right development: gives the factor"),
            Field("print one", q.parse_span, "8 s", "the first print's first tone"),
        ),
        _first_tone,
    ),
    Topic(
        "wash",
        "changes of water, and what is left in it",
        "30min --fill 2l --held 100ml",
        (
            Field("time", q.parse_span, "30 min", "how long", "30 min", needed=True),
            Field("every", q.parse_span, "5 min", "the water is renewed so often", "5 min"),
            Field("fill", q.parse_volume, "2 l", "fresh water at every change", "2 l"),
            Field("held", q.parse_volume, "100 ml", "held back by prints and tray", "100 ml"),
            Field("washer", q.parse_volume, "10 l", "a washer that water runs through"),
            Field("flow", q.parse_volume, "2 l", "what runs through in a minute"),
        ),
        _wash,
    ),
)
