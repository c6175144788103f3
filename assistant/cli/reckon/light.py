"""`reckon exposure`, `stops`, `corner`, `fog`, `red`: light on the paper, wanted and unwanted."""

import argparse

from assistant.cli.reckon.answer import Answer, Topic, rounding, table
from assistant.cli.reckon.reading import Collect, clock, density, dry_down, some_stops, typed
from assistant.trade import evenness, exposure, limits, safetime, stops, vision
from assistant.trade import quantities as q
from assistant.trade.lengths import format_length, parse_length
from assistant.trade.wording import signed


def _exposure_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("time", metavar="TIME", type=typed(q.parse_span), help="the time that was right, like 10s")
    for option, read, make, words in (
        ("--more", (some_stops,), exposure.by_stops, "so many stops more light"),
        ("--less", (some_stops,), lambda less: exposure.by_stops(-less), "so many stops less"),
        ("--density", (density,), exposure.by_density, "so much density more before the lamp"),
        ("--aperture", (q.parse_aperture,) * 2, exposure.by_aperture, "another aperture, as marked: f/11 f/16"),
        ("--height", (parse_length,) * 2, exposure.by_distance, "a bare lamp moved: 80cm 100cm"),
        ("--enlargement", (q.parse_number,) * 2, exposure.by_magnification, "print edge over negative edge: 2 3"),
        ("--paper", (q.parse_paper_speed,) * 2, exposure.by_paper, "another paper, by ISO paper speed: P500 P250"),
        ("--filter", (q.parse_number,) * 2, exposure.by_filter, "another filter, by its factor: 1 2"),
    ):
        named = ("FROM", "TO") if len(read) == 2 else "AMOUNT"
        parser.add_argument(option, dest="changes", action=Collect, read=read, make=make, metavar=named, help=words)
    dry_down(parser)
    clock(parser)


def _exposure(args: argparse.Namespace) -> Answer:
    changes = args.changes or []
    if not changes and not args.dry_down and args.clock == 1:
        raise limits.Impossible("nothing was changed", "say what, like --more 1/3 or --aperture f/11 f/16")
    done = exposure.changed(args.time, changes, args.dry_down, args.clock)
    rows = [f"{q.format_span(done.before)} becomes {q.format_span(done.after)} ({signed(done.stops)})"]
    rows += table([(change.what, signed(change.stops)) for change in changes])
    laws = [change.law for change in changes]
    if done.dry_down:
        rows.append(f"  dry-down {done.dry_down:g} % once, from {q.format_span(done.uncorrected)}: keep that as the base")
        laws.append(exposure.DRY_DOWN_LAW)
    warnings = [*done.warnings, *([exposure.JUDGE_DRY] if done.dry_down else [])]
    values = {
        "before_ms": done.before,
        "after_ms": done.after,
        "stops": done.stops,
        "uncorrected_ms": done.uncorrected,
        "dry_down_percent": done.dry_down,
        "clock_ms": args.clock,
        "off_stops": done.off,
        "changes": [{"what": change.what, "stops": change.stops} for change in changes],
    }
    law = "; ".join(dict.fromkeys(laws)) or "the nearest whole step of the clock"
    return Answer([*rows, *rounding(args.clock, [done.off])], law, warnings, values)


def _stops_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("first", metavar="FIRST", type=typed(q.parse_span), help="a time, like 12s")
    parser.add_argument("second", metavar="SECOND", type=typed(q.parse_span), help="another, like 18.75s")


def _stops(args: argparse.Namespace) -> Answer:
    apart = stops.between(args.first, args.second)
    row = f"{q.format_span(args.first)} to {q.format_span(args.second)} is {apart:+.4f} stop"
    values = {"first_ms": args.first, "second_ms": args.second, "stops": apart}
    return Answer([row], "n = log2(t2/t1)", [], values)


def _corner_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("size", metavar="SIZE", type=typed(q.parse_size), help="the sheet, like 8x10in")
    parser.add_argument("height", metavar="HEIGHT", type=typed(parse_length), help="the bare lamp over it, like 80cm")


def _corner(args: argparse.Namespace) -> Answer:
    corner = evenness.corner(args.size, args.height)
    row = (
        f"{q.format_size(args.size)} under a bare lamp at {format_length(args.height)}: "
        f"the corner gets {corner.share:.3f} of the middle ({signed(corner.stops)})"
    )
    values = {"height_mm": args.height, "share": corner.share, "stops": corner.stops}
    return Answer([row], evenness.LAW, [exposure.NEW_STRIP], values)


def _fog_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("clean", metavar="CLEAN", type=typed(q.parse_span), help="the longest time that left no trace")
    parser.add_argument(
        "fogged", metavar="FOGGED", nargs="?", type=typed(q.parse_span), help="the shortest that did; none: leave it out"
    )


def _fog(args: argparse.Namespace) -> Answer:
    safe = safetime.safe_time(args.clean, args.fogged)
    bound = "at least " if args.fogged is None else ""
    law = safetime.AT_LEAST_LAW if args.fogged is None else safetime.LAW
    row = f"all handling together: {bound}{q.format_span(safe, 1)}"
    values = {"clean_ms": args.clean, "fogged_ms": args.fogged, "safe_ms": safe}
    return Answer([row], law, safetime.WARNINGS, values)


def _red_words(parser: argparse.ArgumentParser) -> None:
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument("--level", metavar="RED", type=typed(q.parse_count(0, 255)), help="a screen's red, 0 to 255")
    which.add_argument("--contrast", metavar="C", type=typed(q.parse_number), help="the darkest red that reads this well")
    which.add_argument("--nm", metavar="NM", type=typed(q.parse_number), help="a lamp's wavelength, 580 to 660")


def _red(args: argparse.Namespace) -> Answer:
    if args.nm is not None:
        share = vision.night_share(args.nm)
        row = f"{args.nm:g} nm: night sight takes {share:.4f} of what day sight takes"
        fog = ["What paper can bear of it is for a fog test to say."]
        return Answer([row], vision.NIGHT_LAW, fog, {"nm": args.nm, "night_share": share})
    level = args.level if args.level is not None else vision.darkest_red(args.contrast)
    contrast = vision.contrast_on_black(level)
    row = f"#{level:02X}0000 on black: {contrast:.3f} to 1"
    return Answer([row], vision.CONTRAST_LAW, vision.WARNINGS, {"level": level, "contrast": contrast})


TOPICS = (
    Topic(
        "exposure",
        "a time after lens, lamp, paper or filter changed",
        "10s --more 1/3 --aperture f/11 f/16",
        _exposure_words,
        _exposure,
    ),
    Topic("stops", "how many stops lie between two times", "12s 18.75s", _stops_words, _stops),
    Topic("corner", "how evenly a bare lamp lights a sheet", "8x10in 80cm", _corner_words, _corner),
    Topic("fog", "safe time in a safelight, from a fog test", "4min 8min", _fog_words, _fog),
    Topic("red", "how readable a red is, how little it costs the eye", "--contrast 4.5", _red_words, _red),
)
