"""The words that every printing command has: how a session is seen and heard."""

import argparse

from assistant.printing.options import Options
from assistant.terminal.brightness import DEFAULT, LEVELS
from assistant.trade.quantities import Misread, parse_temperature

SEEN = [level for level, red in LEVELS.items() if red]
"""The levels at which anything is to be seen."""


def printing_words(parser: argparse.ArgumentParser) -> None:
    """Give a command these words."""
    add = parser.add_argument
    add("--plain", action="store_true", help="plain lines of text; such a terminal is not dark")
    add("--silent", action="store_true", help="no sound at all")
    add(
        "--guard",
        action=argparse.BooleanOptionalAction,
        default=None,
        help="keep the terminal red on black whatever happens, until `lights` is typed (default: where the terminal can)",
    )
    add("--ears", action=argparse.BooleanOptionalAction, default=None, help="worked by voice too (default: as in the settings)")
    add("--bath", action="append", default=[], metavar="TRAY=NAME", type=_tray_and_bath, help="which of your baths is in a tray")
    add("--trial", action="store_true", help="for practice: nothing goes into the records, no bath is counted")
    add(
        "--temperature",
        action="append",
        default=[],
        metavar="TRAY=DEGREES",
        type=_tray_and_degrees,
        help="a tray's temperature in C; the developing time follows it where the recipe says how",
    )
    add("--light", choices=LEVELS, default=DEFAULT, help="how bright the screen may be (default: paper)")


def options_of(args: argparse.Namespace, resume: bool = False) -> Options:
    """What was said with them."""
    return Options(
        args.plain, args.silent, args.guard, args.light, resume, dict(args.bath), dict(args.temperature), args.trial, args.ears
    )


def _tray_and_bath(text: str) -> tuple[str, str]:
    tray, between, name = text.partition("=")
    if not (tray.strip() and between and name.strip()):
        raise argparse.ArgumentTypeError(f"{text!r}: write the tray and its bath like fixer='fixer A'")
    return " ".join(tray.split()), name.strip()


def _tray_and_degrees(text: str) -> tuple[str, float]:
    tray, _, degrees = text.partition("=")
    bare = degrees.strip().replace(",", ".")
    try:
        return " ".join(tray.split()), parse_temperature(f"{bare} C" if bare.replace(".", "", 1).isdecimal() else bare)
    except Misread:
        raise argparse.ArgumentTypeError(f"{text!r}: write the tray and degrees Celsius like developer=21") from None
