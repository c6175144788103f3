"""`reckon mix`, `strength`, `water`, `tray`, `capacity`: what is in the trays, how much and for how long.

Chemistry is named here, so cautions come with the answers; they never say that anything may be poured away.
"""

import argparse
from typing import Any

from assistant.cli.reckon.answer import Answer, Topic
from assistant.cli.reckon.reading import strength, typed
from assistant.trade import capacity, cautions, dilution, filling
from assistant.trade import quantities as q
from assistant.trade.lengths import format_length, parse_length
from assistant.trade.wording import ml, plain


def _mix_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("volume", metavar="VOLUME", type=typed(q.parse_volume), help="of working bath, like 2l")
    parser.add_argument("mix", metavar="MIX", type=typed(q.parse_mix), help="concentrate plus water, like 1+9")
    parser.add_argument("--last", action="store_true", help="VOLUME is what is left of the concentrate")
    parser.add_argument("--bath", metavar="NAME", default="", help="what it is, like fixer, for its cautions")


def _mix(args: argparse.Namespace) -> Answer:
    pour = dilution.stretched(args.volume, args.mix) if args.last else dilution.poured(args.volume, args.mix)
    row = f"{ml(pour.volume)} at {q.format_mix(args.mix)}: {ml(pour.concentrate)} concentrate + {ml(pour.water)} water"
    values = {"concentrate_ml": pour.concentrate, "water_ml": pour.water, "volume_ml": pour.volume}
    minds = [*pour.warnings, cautions.WATER_FIRST, *cautions.for_bath(args.bath)]
    return Answer([row], dilution.PARTS_LAW, minds, values)


def _strength_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("stock", metavar="STOCK", type=typed(strength), help="the stock's strength, like 28%%")
    parser.add_argument("--pour", metavar="VOLUME", type=typed(q.parse_volume), help="stock that is poured")
    parser.add_argument("--water", metavar="VOLUME", type=typed(q.parse_volume), help="water that it goes into")
    parser.add_argument("--wanted", metavar="STRENGTH", type=typed(strength), help="the strength to mix, like 2%%")
    parser.add_argument("--make", metavar="VOLUME", type=typed(q.parse_volume), help="how much of it, like 1l")
    parser.add_argument("--bath", metavar="NAME", default="", help="what it is, like stop, for its cautions")


def _strength(args: argparse.Namespace) -> Answer:
    poured, wanted = (args.pour, args.water), (args.wanted, args.make)
    if None not in poured and wanted == (None, None):
        pour = dilution.Pour(*poured)
        percent = dilution.strength(args.stock, *pour)
    elif None not in wanted and poured == (None, None):
        percent = args.wanted
        pour = dilution.weakened(args.stock, percent, args.make)
    else:
        raise q.Misread("say what is poured or what is wanted", "give --pour and --water, or --wanted and --make")
    row = f"{ml(pour.concentrate)} of {args.stock:g} % + {ml(pour.water)} water: {ml(pour.volume)} of {percent:.4g} %"
    values = {"stock_ml": pour.concentrate, "water_ml": pour.water, "percent": percent}
    minds = [*pour.warnings, cautions.WATER_FIRST, *cautions.for_bath(args.bath)]
    return Answer([row], dilution.STRENGTH_LAW, minds, values)


def _water_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("volume", metavar="VOLUME", type=typed(q.parse_volume), help="of water, like 1l")
    parser.add_argument("wanted", metavar="WANTED", type=typed(q.parse_temperature), help="its temperature, like 20C")
    for name in ("cold", "hot"):
        parser.add_argument(
            f"--{name}", metavar="TEMPERATURE", type=typed(q.parse_temperature), required=True, help=f"of the {name} tap"
        )


def _water(args: argparse.Namespace) -> Answer:
    water = filling.hot_and_cold(args.volume, args.wanted, cold=args.cold, hot=args.hot)
    row = (
        f"{q.format_volume(args.volume)} at {q.format_temperature(args.wanted)}: "
        f"{ml(water.cold)} at {q.format_temperature(args.cold)}, then {ml(water.hot)} at {q.format_temperature(args.hot)}"
    )
    values = {"cold_ml": water.cold, "hot_ml": water.hot}
    return Answer([row], filling.WATER_LAW, filling.water_warnings(args.hot), values)


def _tray_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("size", metavar="SIZE", type=typed(q.parse_size), help="the sheet or the tray's floor, like 25x30cm")
    parser.add_argument("depth", metavar="DEPTH", type=typed(parse_length), help="of the bath, like 2cm")
    parser.add_argument("--border", metavar="LENGTH", type=typed(parse_length), default=0.0, help="floor round the sheet")


def _tray(args: argparse.Namespace) -> Answer:
    volume = filling.tray(args.size, args.depth, args.border)
    border = f" with {format_length(args.border)} round it" if args.border else ""
    row = f"{q.format_size(args.size)}{border}, {format_length(args.depth)} deep: {volume / 1000:.2f} l"
    return Answer(
        [row], filling.TRAY_LAW, ["Measure the tray's own floor: trays slope and are ribbed."], {"volume_ml": volume}
    )


def _capacity_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("size", metavar="SIZE", type=typed(q.parse_size), help="of the sheets, like 11x14in")
    parser.add_argument("sheets", metavar="SHEETS", type=typed(q.parse_count(1, 10_000)), help="tests and spoiled ones too")
    parser.add_argument("volume", metavar="VOLUME", type=typed(q.parse_volume), help="of working bath, like 2l")
    takes = parser.add_mutually_exclusive_group(required=True)
    takes.add_argument("--lasts", metavar="LASTS", type=typed(q.parse_lasts), help='like "20 per litre", by its label')
    takes.add_argument("--bath", metavar="NAME", choices=list(capacity.USUAL), help=", ".join(capacity.USUAL))
    parser.add_argument("--used", metavar="N", type=typed(q.parse_count(0, 10_000)), default=0, help="8x10s before this")


def _capacity(args: argparse.Namespace) -> Answer:
    low, high = (args.lasts, args.lasts) if args.bath is None else capacity.USUAL[args.bath]
    use = capacity.edition(args.size, args.sheets, args.volume, low, args.used)
    size = q.format_size(args.size)
    rows = [
        f"one {size} counts {plain(args.size.equivalents, 4)} sheets of 8x10 in",
        f"{q.format_volume(args.volume)} at {plain(low)} per litre takes {plain(use.takes)}: "
        f"{capacity.sheets(args.size, args.volume, low):.2f} of {size}",
        f"{args.sheets} of {size} use {plain(use.used)}, {plain(use.left)} left: {use.more} more of {size}",
    ]
    values: dict[str, Any] = {
        "equivalents_each": args.size.equivalents,
        "takes": use.takes,
        "used_before": use.used_before,
        "used": use.used,
        "left": use.left,
        "more_sheets": use.more,
        "spent_at_sheet": use.spent_at,
    }
    minds = [capacity.EVERYTHING_COUNTS]
    if "fixer" in (args.bath or ""):
        values["silver_g_per_litre"] = silver = capacity.silver(args.used + use.used, args.volume)
        rows.append(f"about {silver:.2f} g of silver in a litre afterwards")
    if use.spent_at is not None:
        minds.insert(0, f"Spent before sheet {use.spent_at}: mix more, or renew it by then.")
    if args.bath is not None:
        usual = f"{low:g}" if low == high else f"{low:g} to {high:g}, the lower one taken"
        minds.append(f"Usual for {args.bath}: {usual}. The product's label goes before it. {capacity.KEEPS[args.bath]}")
    return Answer(rows, capacity.LAW, [*minds, *cautions.for_bath(args.bath or "")], values)


TOPICS = (
    Topic("mix", "concentrate and water for a working bath", "2l 1+9 --bath developer", _mix_words, _mix),
    Topic(
        "strength", "a stock made weaker, in per cent", "28% --wanted 2% --make 1l --bath stop", _strength_words, _strength
    ),
    Topic("water", "hot and cold water to a temperature", "1l 20C --cold 10C --hot 50C", _water_words, _water),
    Topic("tray", "how much a tray takes", "25x30cm 2cm", _tray_words, _tray),
    Topic("capacity", "whether a bath lasts the edition", '11x14in 8 2l --bath "acid fixer"', _capacity_words, _capacity),
)
