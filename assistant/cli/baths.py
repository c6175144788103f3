"""`traycall baths`: bottles and working baths by name, what went through them, and what was done with them."""

import argparse
import sys
from collections.abc import Callable
from datetime import datetime

from assistant.cli.fields import typed
from assistant.history.baths import Bath, Form, topped_up
from assistant.history.chemistry import MOST_ROTATIONS, days, through
from assistant.printing.records_read import in_use, last_recipes, wall_now
from assistant.printing.refusal import Refusal
from assistant.records.baths import Baths, NoBath, tray_of
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from assistant.trade import quantities as q
from assistant.trade.foreign_text import as_text
from assistant.trade.residual_tests import GOVERNS, TESTS


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    what = parser.add_subparsers(dest="what", metavar="WHAT", title="what to do (default: list those in use)")
    every = what.add_parser("list", help="those in use; --all: those that were retired too")
    every.add_argument("--all", action="store_true", help="those that were retired too")
    add = _bath(what.add_parser("add", help="a bath or bottle by a name of your own"))
    add.add_argument("--bottle", action="store_true", help="a bottle of stock, opened now, in place of a working bath")
    add.add_argument("--what", dest="kind", default="", metavar="WORDS", help="what it is, like 'rapid fixer'")
    add.add_argument("--mix", type=typed(q.parse_mix), help="like 1+4")
    add.add_argument("--volume", type=typed(q.parse_volume), help="like 3l")
    add.add_argument("--lasts", type=typed(q.parse_lasts), metavar="N", help="sheets of 8x10 in, like '20 per litre'")
    add.add_argument("--keeps", type=typed(q.parse_count(1, 3650)), metavar="DAYS", help="so many days; the label's word")
    add.add_argument("--tray", default="", help="the tray in which it stands from now on")
    _bath(what.add_parser("mixed", help="a bath was mixed anew: the same name and tray, counted from nothing"))
    top = _bath(what.add_parser("top", help="top up: some of the old poured out, fresh poured in"))
    top.add_argument("--out", required=True, type=typed(q.parse_volume), help="what was poured out, like 500ml")
    top.add_argument("--in", dest="fed", required=True, type=typed(q.parse_volume), help="fresh solution poured in, like 500ml")
    put = _bath(what.add_parser("put", help="a bath stands in another tray from now on"))
    put.add_argument("tray", metavar="TRAY", help="the tray's name in the recipes")
    used = _bath(what.add_parser("used", help="sheets that went through outside of a session"))
    used.add_argument("sheets", type=typed(q.parse_count(1, 1000)), metavar="N", help="how many")
    used.add_argument("--size", type=typed(q.parse_size), default=q.parse_size("8x10 in"), help="default: 8x10in")
    rotate = what.add_parser("rotate", help="two fixing baths: the second takes the place of the first, which is poured away")
    rotate.add_argument("first", metavar="FIRST")
    rotate.add_argument("second", metavar="SECOND")
    rotate.add_argument("--on", metavar="WHEN", help=_ON)
    test = _bath(what.add_parser("test", help="tests of fixer, silver and washing: what they show, and what came of one"), "?")
    test.add_argument("test", nargs="?", choices=list(TESTS), help="which test")
    test.add_argument("showed", nargs="?", choices=["good", "bad"], help="what it showed")
    retire = _bath(what.add_parser("retire", help="a bath or bottle is poured away"))
    retire.add_argument("--why", default="", metavar="WORDS", help="spent, too old, spilled, ...")


_ON = "2031-03-30, or '2031-03-30 18:30' (default: now)"


def _bath(parser: argparse.ArgumentParser, many: str | None = None) -> argparse.ArgumentParser:
    parser.add_argument("name", metavar="NAME", nargs=many, help="the bath's name")
    parser.add_argument("--on", metavar="WHEN", help=_ON)
    return parser


def run(args: argparse.Namespace) -> int:
    """Do what was asked for; 1 where it can't be done, said in a sentence."""
    try:
        with Journal.open() as journal:
            _WHAT[args.what](args, journal)
            return 0
    except (Refusal, JournalFault, NoBath) as error:
        print(error, file=sys.stderr)
        return 1


def moment(text: str | None) -> datetime:
    """When it was: now, or as said; Refusal for what is no date or still to come."""
    now = wall_now()
    if text is None:
        return now
    try:
        at = datetime.fromisoformat(text).astimezone()
    except (ValueError, OverflowError, OSError):
        raise Refusal(f'"{text}" is no date: write it like 2031-03-30, or like "2031-03-30 18:30".') from None
    if at > now:
        raise Refusal(f"{text} is still to come: say when it was, like 2031-03-30.")
    return at


def _list(args: argparse.Namespace, journal: Journal) -> None:
    store, now = Baths(journal), wall_now()
    recipes = last_recipes(journal)
    baths = store.all() if getattr(args, "all", False) else store.in_use()
    for bath in baths:
        tray = tray_of(bath)
        state = in_use(journal, {tray or bath.name: bath}, recipes.get(tray or bath.name), now)[tray or bath.name]
        of = f", of {state.takes:.1f} that it takes" if state.takes else ""
        end = bath.retired
        gone = f"; retired {end.at:%Y-%m-%d}: {end.details.get('why') or 'no reason said'}" if end else ""
        made = f"{'opened' if bath.form == 'bottle' else 'mixed'} {bath.made:%Y-%m-%d %H:%M}, {days(now - bath.made)} ago"
        where = f" in {tray}" if tray and tray != bath.name else ""
        count = "" if bath.form == "bottle" else f": {through(state)}{of}"
        print(as_text(f"{bath.name:<12}{where} {_described(bath)}{made}{count}{gone}"))
    if not baths:
        print("No bath was written down so far: traycall baths add NAME --tray TRAY")


def _described(bath: Bath) -> str:
    what = bath.what if bath.what != bath.name else ""
    mix = q.format_mix(bath.mix) if bath.mix else ""
    volume = q.format_volume(bath.volume) if bath.volume else ""
    words = " ".join(filter(None, [what, mix, volume]))
    return f"{words}, " if words else ""


def _add(args: argparse.Namespace, journal: Journal) -> None:
    name = " ".join(args.name.split())
    if not name:
        raise Refusal("Say its name: traycall baths add 'fixer A' --tray fixer")
    form: Form = "bottle" if args.bottle else "bath"
    if args.bottle and args.tray:
        raise Refusal("A bottle stands in no tray: mix a bath from it.")
    at = moment(args.on)
    bath = Bath(0, name, form, args.kind or name, args.mix, args.volume, args.lasts, args.keeps, at)
    Baths(journal).add(bath, wall_now(), " ".join(args.tray.split()))
    print(as_text(f"{name}: {'opened' if args.bottle else 'mixed'} {at:%Y-%m-%d %H:%M}."))
    _known_tray(journal, args.tray)


def _mixed(args: argparse.Namespace, journal: Journal) -> None:
    store, at = Baths(journal), moment(args.on)
    try:
        old = store.named(args.name)
    except NoBath:
        name = " ".join(args.name.split())
        if not name:
            raise Refusal("Say which bath: traycall baths mixed fixer") from None
        store.add(Bath(0, name, "bath", name, None, None, None, None, at), wall_now(), name)
        _known_tray(journal, name)
    else:
        name = old.name
        store.mixed_anew(old, at, wall_now())
    print(as_text(f"{name}: mixed {at:%Y-%m-%d %H:%M}; sheets are counted from there."))


def _known_tray(journal: Journal, tray: str) -> None:
    known = last_recipes(journal)
    if tray and known and tray not in known:
        print(as_text(f"No session so far has a tray {tray}; they have {', '.join(sorted(known))}."))


def _top(args: argparse.Namespace, journal: Journal) -> None:
    store, at = Baths(journal), moment(args.on)
    bath = store.named(args.name)
    tray = tray_of(bath) or bath.name
    state = in_use(journal, {tray: bath}, last_recipes(journal).get(tray), at)[tray]
    if state.volume is None:
        raise Refusal(f"{bath.name} has no volume to reckon with: mix it anew with --volume, or write it into the recipe's tray.")
    if args.out > state.volume:
        there = q.format_volume(round(state.volume))
        raise Refusal(f"Only {there} are in {bath.name}: {q.format_volume(args.out)} can't be poured out.")
    store.tell(bath, "topped up", at, wall_now(), bled=args.out, fed=args.fed)
    volume, wear = topped_up(state.volume, state.wear, args.out, args.fed)
    worn = f"worn like {wear:.1f} sheets of 8x10 (before: {state.wear:.1f})"
    print(as_text(f"{bath.name}: {q.format_volume(round(volume))}, {worn}."))


def _put(args: argparse.Namespace, journal: Journal) -> None:
    store, at = Baths(journal), moment(args.on)
    bath, tray = store.named(args.name), " ".join(args.tray.split())
    if bath.form == "bottle" or not tray:
        raise Refusal("A bath is put into a tray: traycall baths put 'fixer A' fixer")
    store.tell(bath, "stood", at, wall_now(), tray=tray)
    print(as_text(f"{bath.name} stands in {tray} from now on."))
    _known_tray(journal, tray)


def _used(args: argparse.Namespace, journal: Journal) -> None:
    store = Baths(journal)
    bath, sheets = store.named(args.name), args.sheets * args.size.equivalents
    store.tell(bath, "used", moment(args.on), wall_now(), sheets=sheets)
    print(as_text(f"{bath.name}: {args.sheets} of {q.format_size(args.size)}, {sheets:.1f} sheets of 8x10, are counted."))


def _rotate(args: argparse.Namespace, journal: Journal) -> None:
    store = Baths(journal)
    first, second = store.named(args.first), store.named(args.second)
    if first.number == second.number:
        raise Refusal("Two different baths are wanted: first the spent one, then the one that takes its place.")
    rotation = store.rotate(first, second, moment(args.on), wall_now())
    place = tray_of(store.named(second.name))
    print(as_text(f"{second.name} stands in {place}, {first.name} is retired: rotation {rotation}. Now mix a fresh second bath."))
    if rotation >= MOST_ROTATIONS:
        print("After the third rotation both are made new.")


def _test(args: argparse.Namespace, journal: Journal) -> None:
    if args.name is None:
        for test in TESTS.values():
            print(f"{test.kind}: {test.when}.\n  {test.how}.")
            print(f"  good: {test.good}. bad: {test.bad}: {test.then}.\n  care: {test.care}.")
        print(f"{GOVERNS}\nKeep what it showed: traycall baths test NAME {'|'.join(TESTS)} good|bad")
        return
    store = Baths(journal)
    bath = store.named(args.name)
    if args.test is None or args.showed is None:
        raise Refusal(f"Say which test and what it showed: traycall baths test {bath.name!r} {'|'.join(TESTS)} good|bad")
    store.tell(bath, "tested", moment(args.on), wall_now(), test=args.test, good=args.showed == "good")
    then = "" if args.showed == "good" else f" {TESTS[args.test].then}."
    print(as_text(f"{bath.name}: {args.test} test {args.showed} is kept.{then}"))


def _retire(args: argparse.Namespace, journal: Journal) -> None:
    store = Baths(journal)
    bath = store.named(args.name)
    store.tell(bath, "retired", moment(args.on), wall_now(), why=args.why)
    print(as_text(f"{bath.name} is retired."))
    print("Spent fixer and toner are regulated in many places: keep them apart and ask the local authority.")


_WHAT: dict[str | None, Callable[[argparse.Namespace, Journal], None]] = {
    None: _list, "list": _list, "add": _add, "mixed": _mixed, "top": _top, "put": _put, "used": _used,
    "rotate": _rotate, "test": _test, "retire": _retire,
}  # fmt: skip
