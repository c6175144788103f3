"""What is done with baths outside of a session: each piece of work keeps what was said, and answers in a line or two.

Refusal or NoBath says why something can't be done.
"""

from collections.abc import Iterator
from datetime import datetime
from difflib import get_close_matches

from assistant.history.baths import Bath, topped_up
from assistant.history.chemistry import MOST_ROTATIONS, days, is_spent, through
from assistant.printing.bottles import drawn_for, in_bottle
from assistant.printing.records_read import in_use, last_recipes, wall_now
from assistant.printing.refusal import Refusal
from assistant.records.baths import Baths, NoBath, tray_of
from assistant.records.journal import Journal
from assistant.trade import quantities as q
from assistant.trade.foreign_text import as_text
from assistant.trade.quantities import Size
from assistant.trade.residual_tests import TESTS, TestKind

NEAR = 0.8
"""How alike two names are (0 to 1) where one is a slip for the other: a letter more or less in five, not "stop" for "stock"."""
WASTE = "Spent fixer and toner are regulated in many places: keep them apart and ask the local authority."


def listed(journal: Journal, retired: bool = False) -> Iterator[tuple[str, str]]:
    """Name and state of every bath in use, a line each; of the retired ones too."""
    store, now, recipes = Baths(journal), wall_now(), last_recipes(journal)
    for bath in store.all() if retired else store.in_use():
        tray = tray_of(bath)
        standing = in_use(journal, {tray or bath.name: bath}, recipes.get(tray or bath.name), now)
        state, end = standing[tray or bath.name], bath.retired
        of = f", of {state.takes:.1f} that it takes{': spent' * is_spent(state)}" if state.takes else ""
        gone = f"; retired {end.at:%Y-%m-%d}: {end.details.get('why') or 'no reason said'}" if end else ""
        made = f"{'opened' if bath.form == 'bottle' else 'mixed'} {bath.made:%Y-%m-%d %H:%M}, {days(now - bath.made)} ago"
        where = f" in {tray}" if tray and tray != bath.name else ""
        count = in_bottle(bath) if bath.form == "bottle" else f": {through(state)}{of}"
        yield bath.name, as_text(f"{bath.name:<12}{where} {_described(bath)}{made}{count}{_old(bath, now)}{_showed(bath)}{gone}")


def _old(bath: Bath, now: datetime) -> str:
    return f"; older than the {bath.keeps} days that it keeps" if bath.keeps and (now - bath.made).days > bath.keeps else ""


def _showed(bath: Bath) -> str:
    """What the last test of each kind showed."""
    last = {event.details.get("test") or "a": event for event in bath.told("tested")}
    said = (f"; {kind} test {'good' if one.details.get('good') else 'bad'}, {one.at:%Y-%m-%d}" for kind, one in last.items())
    return "".join(said)


def _described(bath: Bath) -> str:
    what = bath.what if bath.what != bath.name else ""
    mix = q.format_mix(bath.mix) if bath.mix else ""
    volume = q.format_volume(bath.volume) if bath.volume else ""
    words = " ".join(filter(None, [what, mix, volume]))
    return f"{words}, " if words else ""


def add(journal: Journal, bath: Bath, tray: str = "", bottle: str = "") -> list[str]:
    """A bath or bottle by a name of the printer's own; the tray in which it stands, the bottle it was mixed from."""
    if not bath.name:
        raise Refusal("Say its name: traycall baths add 'fixer A' --tray fixer")
    if bath.form == "bottle" and (tray or bottle):
        raise Refusal("A bottle stands in no tray: mix a bath from it.")
    drawn, said = drawn_for(journal, bath, tray, bottle)
    Baths(journal).add(bath, wall_now(), tray, drawn)
    made = "opened" if bath.form == "bottle" else "mixed"
    return [as_text(f"{bath.name}: {made} {bath.made:%Y-%m-%d %H:%M}."), *said, *known_tray(journal, tray)]


def mixed(journal: Journal, name: str, at: datetime, bottle: str = "") -> list[str]:
    """A bath was mixed anew: counted from nothing. One that nobody knew is added, in the tray of its name."""
    store, name, more = Baths(journal), " ".join(name.split()), []
    try:
        old = store.named(name)
    except NoBath:
        if not name:
            raise Refusal("Say which bath: traycall baths mixed fixer") from None
        _must_be_meant(journal, store, name)
        bath = Bath(0, name, "bath", name, None, None, None, None, at)
        drawn, said = drawn_for(journal, bath, name, bottle)
        store.add(bath, wall_now(), name, drawn)
        more = known_tray(journal, name)
        return [*more, as_text(f"{name}, a new bath: mixed {at:%Y-%m-%d %H:%M}; sheets are counted from there."), *said]
    else:
        name = old.name
        drawn, said = drawn_for(journal, old, tray_of(old) or name, bottle)
        store.mixed_anew(old, at, wall_now(), drawn)
        if old.form == "bottle":
            return [as_text(f"{name}: opened {at:%Y-%m-%d %H:%M}.")]
    return [*more, as_text(f"{name}: mixed {at:%Y-%m-%d %H:%M}; sheets are counted from there."), *said]


def _must_be_meant(journal: Journal, store: Baths, name: str) -> None:
    """A name that nobody knew and that comes near one that is known is a slip, and asked about; not "fixer B" for "fixer A"."""
    trays, baths = last_recipes(journal), [bath.name for bath in store.in_use()]
    known = {other.casefold(): other for other in (*baths, *trays)}
    near = get_close_matches(name.casefold(), known, n=1, cutoff=NEAR)
    if name not in trays and near and _without_letters(near[0]) != _without_letters(name.casefold()):
        meant = known[near[0]]
        raise Refusal(f"No bath is called {name}; did you mean {meant}? A new one: traycall baths add {name!r} --tray TRAY")


def _without_letters(name: str) -> list[str]:
    """A name without what tells two baths of one kind apart: a letter, a number."""
    return [word for word in name.split() if len(word) > 1 and not word.isdigit()]


def known_tray(journal: Journal, tray: str) -> list[str]:
    """What is to be said of a tray that no session had."""
    known = last_recipes(journal)
    if not tray or not known or tray in known:
        return []
    return [as_text(f"No session so far has a tray {tray}; they have {', '.join(sorted(known))}.")]


def top_up(journal: Journal, name: str, out: int, fed: int, at: datetime, bottle: str = "") -> list[str]:
    """Bleed and feed, in ml of working bath; the fresh part comes from a bottle."""
    store = Baths(journal)
    bath = store.named(name)
    tray = tray_of(bath) or bath.name
    state = in_use(journal, {tray: bath}, last_recipes(journal).get(tray), at)[tray]
    if state.volume is None:
        raise Refusal(f"{bath.name} has no volume to calculate with: add it with --volume, or write it into the recipe's tray.")
    if out > state.volume:
        there = q.format_volume(round(state.volume))
        raise Refusal(f"Only {there} are in {bath.name}: {q.format_volume(out)} can't be poured out.")
    drawn, said = drawn_for(journal, bath, tray, bottle, fed)
    store.topped_up(bath, out, fed, at, wall_now(), drawn)
    volume, wear = topped_up(state.volume, state.wear, out, fed)
    worn = f"worn like {wear:.1f} sheets of 8x10 (before: {state.wear:.1f})"
    return [as_text(f"{bath.name}: {q.format_volume(round(volume))}, {worn}."), *said]


def put(journal: Journal, name: str, tray: str, at: datetime) -> list[str]:
    """A bath stands in another tray from now on."""
    store = Baths(journal)
    bath = store.named(name)
    if bath.form == "bottle" or not tray:
        raise Refusal("A bath is put into a tray: traycall baths put 'fixer A' fixer")
    store.put(bath, tray, at, wall_now())
    return [as_text(f"{bath.name} stands in {tray} from now on."), *known_tray(journal, tray)]


def used(journal: Journal, name: str, sheets: int, size: Size, at: datetime) -> list[str]:
    """Sheets that went through outside of a session."""
    store = Baths(journal)
    bath, area = store.named(name), sheets * size.equivalents
    store.tell(bath, "used", at, wall_now(), sheets=area)
    return [as_text(f"{bath.name}: {sheets} of {q.format_size(size)}, {area:.1f} sheets of 8x10, are counted.")]


def rotate(journal: Journal, first: str, second: str, at: datetime) -> list[str]:
    """Two fixing baths: the second takes the place of the first."""
    store = Baths(journal)
    spent, fresh = store.named(first), store.named(second)
    if spent.number == fresh.number:
        raise Refusal("Two different baths are wanted: first the spent one, then the one that takes its place.")
    rotation = store.rotate(spent, fresh, at, wall_now())
    place = tray_of(store.named(fresh.name))
    said = [f"{fresh.name} stands in {place}, {spent.name} is retired: rotation {rotation}. Now mix a fresh second bath."]
    return [as_text(said[0]), *(["After the third rotation mix both fresh."] if rotation >= MOST_ROTATIONS else []), WASTE]


def tested(journal: Journal, name: str, test: TestKind, good: bool, at: datetime) -> list[str]:
    """What a test showed."""
    store = Baths(journal)
    bath = store.named(name)
    store.tell(bath, "tested", at, wall_now(), test=test, good=good)
    then = "" if good else f" {TESTS[test].then}."
    return [as_text(f"{bath.name}: {test} test {'good' if good else 'bad'} is kept.{then}")]


def retire(journal: Journal, name: str, why: str, at: datetime) -> list[str]:
    """A bath or bottle is poured away."""
    store = Baths(journal)
    bath = store.named(name)
    store.tell(bath, "retired", at, wall_now(), why=why)
    return [as_text(f"{bath.name} is retired."), WASTE]
