"""`reckon temperature`, `first-tone`, `wash`: how long in a bath."""

import argparse
from collections.abc import Sequence
from typing import Any

from assistant.cli.reckon.answer import Answer, Topic
from assistant.cli.reckon.reading import typed
from assistant.trade import emergence, temperature, washing
from assistant.trade import quantities as q


def _temperature_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("time", metavar="TIME", type=typed(q.parse_span), help="a time that is known, like 2min")
    parser.add_argument("at", metavar="AT", type=typed(q.parse_temperature), help="and its temperature, like 20C")
    parser.add_argument("now", metavar="NOW", type=typed(q.parse_temperature), help="the bath now, like 22C")
    law = parser.add_mutually_exclusive_group(required=True)
    law.add_argument("--coefficient", metavar="Q", type=typed(q.parse_number), help="for ten degrees, like 2.1")
    law.add_argument("--known", nargs=2, metavar=("TIME", "AT"), help="a second time that is known: 90s 24C")


def _temperature(args: argparse.Namespace) -> Answer:
    points = None
    if args.known is None:
        ms, q10 = temperature.time_at(args.time, args.at, args.now, args.coefficient), args.coefficient
        law = temperature.COEFFICIENT_LAW
    else:
        ms, celsius = q.parse_span(args.known[0]), q.parse_temperature(args.known[1])
        points = ((args.at, args.time), (celsius, ms))
        ms, q10 = temperature.time_between(points, args.now), temperature.coefficient(*points)
        law = temperature.POINTS_LAW
    row = (
        f"{q.format_span(args.time)} at {q.format_temperature(args.at)} becomes "
        f"{q.format_span(ms, 1)} at {q.format_temperature(args.now)} (coefficient {q10:.4g} for ten degrees)"
    )
    values = {"known_ms": args.time, "known_celsius": args.at, "celsius": args.now, "ms": ms, "coefficient": q10}
    return Answer([row], law, temperature.warnings(args.now, points), values)


def _first_tone_words(parser: argparse.ArgumentParser) -> None:
    help_first = "from first touch to the first tone, like 9s"
    parser.add_argument("emergence", metavar="FIRST-TONE", type=typed(q.parse_span), help=help_first)
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument("--factor", metavar="F", type=typed(q.parse_number), help="your factor: gives the development")
    which.add_argument("--developed", metavar="SPAN", type=typed(q.parse_span), help="a right development: gives the factor")
    parser.add_argument("--print-one", metavar="SPAN", type=typed(q.parse_span), help="the first print's first tone")


def _first_tone(args: argparse.Namespace) -> Answer:
    factor = args.factor if args.factor is not None else emergence.factor(args.developed, args.emergence)
    ms = emergence.development(args.emergence, factor)
    rows = [f"first tone {q.format_span(args.emergence)}, factor {factor:.4g}: develop {q.format_span(ms, 1)}"]
    values: dict[str, Any] = {"emergence_ms": args.emergence, "factor": factor, "development_ms": ms}
    warnings: Sequence[str] = ()
    if args.print_one is not None:
        drift = emergence.drift(args.print_one, args.emergence)
        rows.append(
            f"the first tone came {abs(drift.percent):.0f} % {'later' if drift.percent > 0 else 'earlier'} than on print one"
        )
        values |= {"drift_percent": drift.percent, "tired": drift.tired}
        warnings = (emergence.GOING,) if drift.tired else ()
    return Answer(rows, emergence.LAW, warnings, values)


def _wash_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("span", metavar="SPAN", type=typed(q.parse_span), help="how long, like 30min")
    volume = typed(q.parse_volume)
    parser.add_argument("--fill", metavar="VOLUME", type=volume, help="fresh water at every change, like 2l")
    parser.add_argument("--held", metavar="VOLUME", type=volume, help="held back by prints and tray, like 100ml")
    every = "the water renewed so often, default 5min"
    parser.add_argument("--every", metavar="SPAN", type=typed(q.parse_span), help=every)
    parser.add_argument("--washer", metavar="VOLUME", type=volume, help="a washer that water runs through, like 10l")
    parser.add_argument("--flow", metavar="VOLUME", type=volume, help="what runs through in a minute, like 2l")


def _wash(args: argparse.Namespace) -> Answer:
    changing, running = (args.fill, args.held), (args.washer, args.flow)
    if None not in running and changing == (None, None) and args.every is None:
        return _by_flow(args)
    if running == (None, None) and (changing == (None, None) or None not in changing):
        return _by_changes(args)
    raise q.Misread("a wash is by changes or by running water", "give --fill and --held, or --washer and --flow")


def _by_flow(args: argparse.Namespace) -> Answer:
    wash = washing.through_flow(args.washer, args.flow, args.span)
    row = f"{q.format_span(args.span)} at {q.format_volume(args.flow)} a minute through {q.format_volume(args.washer)}"
    values = {"wash_ms": args.span, "left": wash.left, "water_ml": wash.water}
    return Answer([row, _left(wash)], washing.FLOW_LAW, washing.warnings(), values)


def _by_changes(args: argparse.Namespace) -> Answer:
    every = args.every or washing.RENEW
    changes = washing.changes_in(args.span, every)
    rows = [f"{q.format_span(args.span)}, renewed every {q.format_span(every)}: fresh water {changes} times"]
    values: dict[str, Any] = {"wash_ms": args.span, "every_ms": every, "changes": changes}
    law = washing.CHANGES_LAW
    if args.fill is not None:
        wash = washing.fill_and_dump(args.held, args.fill, changes)
        rows.append(_left(wash))
        values |= {"left": wash.left, "water_ml": wash.water}
        law = washing.FILL_LAW
    return Answer(rows, law, washing.warnings(every), values)


def _left(wash: washing.Wash) -> str:
    left = "less than a millionth" if wash.left < 1e-6 else f"{wash.left:.4g}"
    return f"  left in the water: {left} of what was there; {q.format_volume(round(wash.water))} of fresh water used"


TOPICS = (
    Topic(
        "temperature",
        "developing time in a warmer or cooler bath",
        "2min 20C 22C --known 90s 24C",
        _temperature_words,
        _temperature,
    ),
    Topic("first-tone", "developing time by the first tone", "9s --factor 15", _first_tone_words, _first_tone),
    Topic("wash", "changes of water, and what is left in it", "30min --fill 2l --held 100ml", _wash_words, _wash),
)
