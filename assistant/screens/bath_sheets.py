"""The worksheets of the trays: mixing, temperature, capacity, washing. What is asked, and which law answers.

Chemistry is named here, so cautions come with the answers; none of them says that anything may be poured away.
"""

import math

from assistant.screens.worksheets import Answer, Course, Field, Values, Worksheet, chosen, two
from assistant.trade import capacity, cautions, dilution, filling, temperature, washing
from assistant.trade import quantities as q
from assistant.trade.wording import ml, plain

_BATHS = ("developer", "stop", "fixer", "washing aid", "toner")
_FLOOR = -6.0
"""Less than a millionth (log10) is not drawn."""


def _mix(values: Values) -> Answer:
    volume, mix = values["volume"], values["mix"]
    if mix is None:
        water, lines, laws, minds = float(volume), [], [], []
    else:
        pour = dilution.poured(volume, mix)
        water = pour.water
        lines = [f"{ml(pour.concentrate)} concentrate + {ml(pour.water)} water"]
        laws, minds = [dilution.PARTS_LAW], [*pour.warnings, cautions.WATER_FIRST, *cautions.for_bath(values["bath"])]
    if values["water at"] is not None:
        if values["cold"] is None or values["hot"] is None:
            raise q.Misread("how warm the taps are is not said", "fill in cold and hot, or leave water at empty")
        taps = filling.hot_and_cold(water, values["water at"], cold=values["cold"], hot=values["hot"])
        lines.append(
            f"{ml(water)} water at {q.format_temperature(values['water at'])}: "
            f"{ml(taps.cold)} cold, then {ml(taps.hot)} hot"
        )
        laws.append(filling.WATER_LAW)
        minds += filling.water_warnings(values["hot"])
    if not lines:
        raise q.Misread("there is nothing to mix", "fill in mix or water at")
    return Answer(tuple(lines), "; ".join(laws), tuple(minds))


def _temperature(values: Values) -> Answer:
    (ms, at), now, known, coefficient = (values[name] for name in ("known", "bath now", "and known", "coefficient"))
    if (known is None) == (coefficient is None):
        raise q.Misread("one thing more must be known, and only one", "fill in and known, or coefficient")
    points = None
    if known is not None:
        points = ((at, ms), (known[1], known[0]))
        coefficient = temperature.coefficient(*points)
    law = temperature.COEFFICIENT_LAW if points is None else temperature.POINTS_LAW
    time = temperature.time_at(ms, at, now, coefficient)
    marks = (at,) if known is None else (at, known[1])
    course = Course(
        least=min(temperature.COOLEST, now, *marks),
        most=max(temperature.WARMEST, now, *marks),
        value=lambda celsius: temperature.time_at(ms, at, celsius, coefficient),
        across=q.format_temperature,
        up=lambda reached: q.format_span(round(reached), 0),
        here=now,
        points=marks,
    )
    line = f"{q.format_span(time, 1)} at {q.format_temperature(now)}  (coefficient {coefficient:.4g} for ten degrees)"
    return Answer((line,), law, temperature.warnings(now, points), course)


def _capacity(values: Values) -> Answer:
    size, count, volume, bath = values["size"], values["sheets"], values["volume"], values["bath"]
    low, high = capacity.USUAL[bath]
    lasts, before = values["lasts"] or low, values["8x10s before"] or 0
    use = capacity.edition(size, count, volume, lasts, before)
    lines = [
        f"{q.format_volume(volume)} takes {capacity.sheets(size, volume, lasts):.2f} sheets of {q.format_size(size)}",
        f"  {plain(use.takes)} of 8x10 in, {plain(use.used)} used here, {plain(use.left)} left: {use.more} more of this size",
    ]
    minds = [capacity.EVERYTHING_COUNTS]
    if use.spent_at is not None:
        minds.insert(0, f"Spent before sheet {use.spent_at}: mix more, or renew it by then.")
    if "fixer" in bath:
        silver = capacity.silver(before + use.used, volume)
        lines.append(f"  about {silver:.2f} g of silver in a litre afterwards")
    if values["lasts"] is None:
        usual = f"{low:g}" if low == high else f"{low:g} to {high:g}, the lower one taken"
        minds.append(f"Usual for {bath}: {usual} per litre. The product's label goes before it.")
    return Answer(tuple(lines), capacity.LAW, (*minds, capacity.KEEPS[bath], *cautions.for_bath(bath)))


def _wash(values: Values) -> Answer:
    span, every = values["wash"], values["renewed every"]
    held, fresh, running = values["held"], values["fresh"], (values["washer"], values["flow"])
    if None not in running and every is None and held is fresh is None:
        return _by_flow(span, *running)
    if running != (None, None) or (held is None) != (fresh is None):
        raise q.Misread(
            "a wash is by changes or by running water", "fill in renewed every, fresh and held, or only washer and flow"
        )
    every = every or washing.RENEW
    changes = washing.changes_in(span, every)
    lines = [f"fresh water {changes} times, every {q.format_span(every)}"]
    if held is None:
        return Answer(tuple(lines), washing.CHANGES_LAW, washing.warnings(every))
    wash = washing.fill_and_dump(held, fresh, changes)
    course = Course(  # between two changes the line is drawn straight, though the water goes in steps
        least=0,
        most=changes,
        value=lambda done: _log(washing.fill_and_dump(held, fresh, 1).left ** done),
        across=lambda done: f"{done:.0f} changes",
        up=_share,
        here=changes,
        points=tuple(range(changes)) if changes <= 20 else (),
    )
    return Answer((*lines, _left(wash)), washing.FILL_LAW, washing.warnings(every), course)


def _by_flow(span: int, washer: int, flow: int) -> Answer:
    wash = washing.through_flow(washer, flow, span)
    course = Course(
        least=0,
        most=span,
        value=lambda ms: 0.0 if ms < 1 else _log(washing.through_flow(washer, flow, round(ms)).left),
        across=lambda ms: q.format_span(round(ms), 0),
        up=_share,
        here=span,
    )
    line = f"{q.format_span(span)} at {q.format_volume(flow)} a minute through {q.format_volume(washer)}"
    return Answer((line, _left(wash)), washing.FLOW_LAW, washing.warnings(), course)


def _left(wash: washing.Wash) -> str:
    left = "less than a millionth" if wash.left < 1e-6 else f"{wash.left:.4g}"
    return f"  left in the water: {left} of what was there; {q.format_volume(round(wash.water))} of fresh water used"


def _log(left: float) -> float:
    return max(_FLOOR, math.log10(left)) if left > 0 else _FLOOR


def _share(log: float) -> str:
    if log <= _FLOOR:
        return "1 in a million"
    return f"1 in {10**-log:.3g}" if log > -3 else f"1 in {round(10**-log / 1000):d} thousand"


_KNOWN = two(q.parse_span, "at", q.parse_temperature, "2 min at 20 C")

SHEETS = (
    Worksheet(
        "mix",
        (
            Field("volume", "3 l", q.parse_volume, "3 l"),
            Field("mix", "1+9", q.parse_mix, "1+9; empty for water alone", needed=False),
            chosen("bath", *_BATHS),
            Field("water at", "20 C", q.parse_temperature, "20 C", needed=False),
            Field("cold", "10 C", q.parse_temperature, "10 C", needed=False),
            Field("hot", "50 C", q.parse_temperature, "50 C", needed=False),
        ),
        _mix,
    ),
    Worksheet(
        "temperature",
        (
            Field("known", "2 min at 20 C", _KNOWN, "2 min at 20 C"),
            Field("bath now", "22 C", q.parse_temperature, "22 C"),
            Field("and known", "90 s at 24 C", _KNOWN, "90 s at 24 C", needed=False),
            Field("coefficient", "", q.parse_number, "2.1, for ten degrees", needed=False),
        ),
        _temperature,
    ),
    Worksheet(
        "capacity",
        (
            Field("size", "12x16 in", q.parse_size, "12x16 in"),
            Field("sheets", "10", q.parse_count(1, 10_000), "10, tests and spoiled ones too"),
            Field("volume", "3 l", q.parse_volume, "3 l"),
            chosen("bath", *capacity.USUAL),
            Field("lasts", "", q.parse_lasts, "20 per litre, by its label", needed=False),
            Field("8x10s before", "", q.parse_count(0, 10_000), "4", needed=False),
        ),
        _capacity,
    ),
    Worksheet(
        "wash",
        (
            Field("wash", "30 min", q.parse_span, "30 min"),
            Field("renewed every", "5 min", q.parse_span, "5 min", needed=False),
            Field("fresh", "2 l", q.parse_volume, "2 l", needed=False),
            Field("held", "100 ml", q.parse_volume, "100 ml, by prints and tray", needed=False),
            Field("washer", "", q.parse_volume, "10 l", needed=False),
            Field("flow", "", q.parse_volume, "2 l, in a minute", needed=False),
        ),
        _wash,
    ),
)
