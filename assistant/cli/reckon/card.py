"""`reckon strip` and `parts`: light that is given bit by bit, with a card or with the hands."""

import argparse
import textwrap
from collections.abc import Sequence

from assistant.cli.reckon.answer import Answer, Topic, rounding, table
from assistant.cli.reckon.reading import Collect, area, clock, dry_down, some_stops, typed
from assistant.trade import exposure, parts, strips
from assistant.trade import quantities as q

_WAYS = {
    "cover": "the whole sheet open, the lightest hidden first",
    "uncover": "the whole sheet hidden but the darkest, bared strip by strip",
}


def _strip_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("first", metavar="FIRST", type=typed(q.parse_span), help="what the lightest strip gets, like 8s")
    count = q.parse_count(strips.LEAST, strips.MOST)
    parser.add_argument("count", metavar="STRIPS", type=typed(count), help=f"{strips.LEAST} to {strips.MOST}")
    parser.add_argument("--around", action="store_true", help="FIRST is the middle of a finer strip (with --step)")
    strip_growth(parser, required=True)
    clock(parser)


def strip_growth(parser: argparse.ArgumentParser, required: bool) -> None:
    """The words that say by how much the strips grow, and which way the card goes."""
    growth = parser.add_mutually_exclusive_group(required=required)
    growth.add_argument("--step", metavar="STOPS", type=typed(some_stops), help="equal stops, like 1/3")
    growth.add_argument("--add", metavar="SPAN", type=typed(q.parse_span), help="equal seconds, like 2s")
    way = parser.add_mutually_exclusive_group()
    way.add_argument("--cover", dest="way", action="store_const", const="cover", help="hide the lightest strip first")
    way.add_argument("--uncover", dest="way", action="store_const", const="uncover", help="bare the darkest first")
    parser.set_defaults(way="cover")


def _strip(args: argparse.Namespace) -> Answer:
    if args.around and args.step is None:
        raise q.Misread("a finer strip around a time grows by stops", "give --step, like --step 1/6")
    if args.around:
        plan = strips.around(args.first, args.count, args.step, args.way, args.clock)
    else:
        plan = strips.plan(args.first, args.count, add=args.add, stops=args.step, way=args.way, tick=args.clock)
    rows = [f"{args.count} strips, {_WAYS[plan.way]}: {q.format_span(plan.total)} of light in all"]
    rows += _wrapped("totals, lightest first", plan.totals)
    rows += _wrapped("given in this order", plan.increments)
    rows += _wrapped(f"in one exposure, {plan.way} at", plan.moves, f"; light off at {q.format_span(plan.total)}")
    values = {
        "way": plan.way,
        "totals_ms": plan.totals,
        "increments_ms": plan.increments,
        "moves_ms": plan.moves,
        "total_ms": plan.total,
        "clock_ms": args.clock,
        "off_stops": plan.off,
    }
    return Answer([*rows, *rounding(args.clock, plan.off)], plan.law, plan.warnings, values)


def _wrapped(name: str, spans: Sequence[int], last: str = "") -> list[str]:
    text = f"{name}: {', '.join(map(q.format_span, spans))}{last}"
    return textwrap.wrap(text, 100, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False)


def _parts_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("base", metavar="BASE", type=typed(q.parse_span), help="the base before dry-down, like 25.4s")
    for kind, words in (("burn", "more light for a part"), ("dodge", "less")):
        parser.add_argument(
            f"--{kind}",
            dest="parts",
            action=Collect,
            read=(area, some_stops),
            make=lambda where, stops, kind=kind: parts.Part(kind, where, stops),
            metavar=("AREA", "STOPS"),
            help=f"{words}, like --{kind} sky 1/2; may come again",
        )
    dry_down(parser)
    clock(parser)


def _parts(args: argparse.Namespace) -> Answer:
    if not args.parts:
        raise q.Misread("there is nothing to burn or to dodge", "name a part, like --burn sky 1/2")
    plan = parts.plan(args.base, args.parts, args.dry_down, args.clock)
    rows = [f"base {q.format_span(plan.base)}, {q.format_span(plan.light)} of light in all"]
    rows += table(
        [
            (f"{one.part.kind} {one.part.area}", q.format_span(one.ms), f"{q.format_stops(one.part.stops)} stop")
            for one in plan.parts
        ]
    )
    if plan.dry_down:
        rows.append(f"  dry-down {plan.dry_down:g} % once, from {q.format_span(plan.uncorrected)}: keep that as the base")
    values = {
        "uncorrected_ms": plan.uncorrected,
        "base_ms": plan.base,
        "dry_down_percent": plan.dry_down,
        "light_ms": plan.light,
        "clock_ms": args.clock,
        "parts": [
            {"kind": one.part.kind, "area": one.part.area, "stops": one.part.stops, "ms": one.ms, "off_stops": one.off}
            for one in plan.parts
        ],
    }
    warnings = [*plan.warnings, *([exposure.JUDGE_DRY] if plan.dry_down else [])]
    return Answer([*rows, *rounding(args.clock, [one.off for one in plan.parts])], parts.LAW, warnings, values)


TOPICS = (
    Topic("strip", "a test strip: totals, what to give, when to move", "8s 5 --step 1/3", _strip_words, _strip),
    Topic("parts", "seconds for burns and dodges", "25.4s --dodge door 1/3 --burn sky 1/2", _parts_words, _parts),
)
