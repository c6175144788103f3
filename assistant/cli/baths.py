"""`traycall baths`: bottles and working baths by name, what went through them, and what was done with them."""

import argparse
from collections.abc import Callable
from datetime import datetime
from typing import cast

from assistant.cli.fields import action, day, typed
from assistant.cli.printing_words import SEEN
from assistant.history.baths import Bath, Form
from assistant.printing import bath_work as work
from assistant.printing.options import on_terminal
from assistant.printing.records_read import wall_now
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import complain, say
from assistant.records.baths import Baths, NoBath
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from assistant.trade import quantities as q
from assistant.trade.residual_tests import GOVERNS, TESTS


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    what = parser.add_subparsers(dest="what", metavar="WHAT", title="what to do (default: list those in use)")
    every = action(what, "list", "the baths and bottles in use")
    every.add_argument("--all", action="store_true", help="those that were retired too")
    look = action(what, "look", "the baths on the screen: add, mix fresh, top up and retire by a key")
    look.add_argument("--light", choices=SEEN, default="setup", help="how bright the screen may be (default: setup)")
    add = _bath(action(what, "add", "a bath or bottle by a name of your own"))
    add.add_argument("--bottle", dest="is_bottle", action="store_true", help="a bottle of stock, opened now")
    add.add_argument("--what", dest="kind", default="", metavar="WORDS", help="what it is, like 'rapid fixer'")
    add.add_argument("--mix", type=typed(q.parse_mix), help="like 1+4")
    add.add_argument("--volume", type=typed(q.parse_volume), help="like 3l")
    add.add_argument("--lasts", type=typed(q.parse_lasts), metavar="N", help="sheets of 8x10 in, like '20 per litre'")
    add.add_argument("--keeps", type=typed(q.parse_count(1, 3650)), metavar="DAYS", help="days that it keeps, by its label")
    add.add_argument("--tray", default="", help="the tray in which it stands from now on")
    anew = _bath(action(what, "mixed", "a bath was mixed fresh: same name and tray, its sheets counted from zero"))
    top = _bath(action(what, "top", "top up: some of the old poured out, fresh poured in"))
    top.add_argument("--out", required=True, type=typed(q.parse_volume), help="what was poured out, like 500ml")
    top.add_argument("--in", dest="fed", required=True, type=typed(q.parse_volume), help="fresh solution poured in, like 500ml")
    for made in (add, anew, top):
        made.add_argument("--from", dest="bottle", default="", metavar="BOTTLE", help="the bottle its concentrate came out of")
    put = _bath(action(what, "put", "a bath goes into another tray"))
    put.add_argument("tray", metavar="TRAY", help="the tray's name in the recipes")
    used = _bath(action(what, "used", "sheets that went through it outside a session"))
    used.add_argument("sheets", type=typed(q.parse_count(1, 1000)), metavar="N", help="how many")
    used.add_argument("--size", type=typed(q.parse_size), default=q.parse_size("8x10 in"), help="default: 8x10in")
    rotate = action(what, "rotate", "two fixing baths: the second takes the place of the first, which is poured away")
    rotate.add_argument("first", metavar="FIRST", help="the first bath's name: it is poured away")
    rotate.add_argument("second", metavar="SECOND", help="the second bath's name: it takes the place of the first")
    rotate.add_argument("--on", metavar="WHEN", help=_ON)
    test = _bath(action(what, "test", "tests of fixer, silver and washing: what they show, and what came of one"), "?")
    test.add_argument("test", nargs="?", choices=list(TESTS), help="which test")
    test.add_argument("showed", nargs="?", choices=["good", "bad"], help="what it showed")
    retire = _bath(action(what, "retire", "a bath or bottle is poured away"))
    retire.add_argument("--why", default="", metavar="WORDS", help="spent, too old, spilled, ...")


_ON = "YYYY-MM-DD, or 'YYYY-MM-DD 18:30' (default: now)"


def _bath(parser: argparse.ArgumentParser, many: str | None = None) -> argparse.ArgumentParser:
    parser.add_argument("name", metavar="NAME", nargs=many, help="the bath's name")
    parser.add_argument("--on", metavar="WHEN", help=_ON)
    return parser


def run(args: argparse.Namespace) -> int:
    """Do what was asked for; 1 where it can't be done, said in a sentence."""
    try:
        with Journal.open(reading=args.what in (None, "list")) as journal:
            say("\n".join(_WHAT[args.what](args, journal)))
            return 0
    except (Refusal, JournalFault, NoBath) as error:
        complain(error)
        return 1


def moment(text: str | None) -> datetime:
    """When it was: now, or as said; Refusal for what is no date or still to come."""
    now = wall_now()
    if text is None:
        return now
    at = day(text)
    if at > now:
        raise Refusal(f"{text} is still to come: say when it was, like {now:%Y-%m-%d}.")
    return at


def _list(args: argparse.Namespace, journal: Journal) -> list[str]:
    found = [line for _, line in work.listed(journal, getattr(args, "all", False))]
    return found or ["No bath was written down so far: traycall baths add NAME --tray TRAY"]


def _add(args: argparse.Namespace, journal: Journal) -> list[str]:
    name, form = " ".join(args.name.split()), "bottle" if args.is_bottle else "bath"
    made = moment(args.on)
    bath = Bath(0, name, cast("Form", form), args.kind or name, args.mix, args.volume, args.lasts, args.keeps, made)
    return work.add(journal, bath, " ".join(args.tray.split()), args.bottle)


def _tests(args: argparse.Namespace, journal: Journal) -> list[str]:
    if args.name is None:
        return [
            *(line for test in TESTS.values() for line in (
                f"{test.kind}: {test.when}.", f"  {test.how}.", f"  good: {test.good}. bad: {test.bad}: {test.then}.",
                f"  care: {test.care}.",
            )),
            GOVERNS,
            f"Keep what it showed: traycall baths test NAME {'|'.join(TESTS)} good|bad",
        ]  # fmt: skip
    if args.test is None or args.showed is None:
        Baths(journal).named(args.name)
        raise Refusal(f"Say which test and what it showed: traycall baths test {args.name!r} {'|'.join(TESTS)} good|bad")
    return work.tested(journal, args.name, args.test, args.showed == "good", moment(args.on))


def _look(args: argparse.Namespace, journal: Journal) -> list[str]:
    if not on_terminal():
        raise Refusal("The baths on the screen need a terminal. As plain text: traycall baths")
    from assistant.printing.dry_side import place
    from assistant.screens.dry.outside import DryState

    place(DryState(baths=True), args.light)
    return []


_WHAT: dict[str | None, Callable[[argparse.Namespace, Journal], list[str]]] = {
    None: _list,
    "list": _list,
    "look": _look,
    "add": _add,
    "mixed": lambda args, journal: work.mixed(journal, args.name, moment(args.on), args.bottle),
    "top": lambda args, journal: work.top_up(journal, args.name, args.out, args.fed, moment(args.on), args.bottle),
    "put": lambda args, journal: work.put(journal, args.name, " ".join(args.tray.split()), moment(args.on)),
    "used": lambda args, journal: work.used(journal, args.name, args.sheets, args.size, moment(args.on)),
    "rotate": lambda args, journal: work.rotate(journal, args.first, args.second, moment(args.on)),
    "test": _tests,
    "retire": lambda args, journal: work.retire(journal, args.name, args.why, moment(args.on)),
}
