"""Bottles of stock: the concentrate that is taken out when a bath is mixed or topped up, and what is left."""

from assistant.history.baths import Bath
from assistant.history.chemistry import with_card
from assistant.printing.records_read import last_recipes
from assistant.printing.refusal import Refusal
from assistant.records.baths import Baths, Drawn
from assistant.records.journal import Journal
from assistant.trade import quantities as q
from assistant.trade.dilution import poured
from assistant.trade.foreign_text import as_text


def drawn_for(journal: Journal, bath: Bath, tray: str, bottle: str, ml: int | None = None) -> tuple[Drawn | None, list[str]]:
    """The concentrate that a bath takes out of a bottle, and a line about it: `ml` of working bath, or all of it.

    Without a bottle's name it is the one from which a bath of this name was mixed last, if that is still in use. Refusal or
    NoBath where the named one is no bottle, or how much it takes is not known.
    """
    store = Baths(journal)
    if bath.form == "bottle":
        return None, []
    before = [one for one in store.in_use() if any(event.details.get("bath") == bath.name for event in one.told("drawn"))]
    if not bottle and not before:
        return None, []
    source = store.named(bottle) if bottle else before[-1]
    if source.form != "bottle":
        raise Refusal(as_text(f"{source.name} is no bottle: traycall baths add {source.name!r} --bottle --volume 1l"))
    known = with_card(bath, last_recipes(journal).get(tray), tray)
    volume = known.volume if ml is None else ml
    if known.mix is None or not volume:
        if not bottle:
            return None, []
        raise Refusal(
            as_text(f"{bath.name}: how much concentrate it takes is not known; ")
            + "add it with --mix 1+4 --volume 2l, or write both into the recipe's tray."
        )
    taken = poured(volume, known.mix).concentrate
    return Drawn(source, taken), [_taken(source, taken)]


def _taken(bottle: Bath, ml: float) -> str:
    said = f"{q.format_volume(round(ml))} of {bottle.name}"
    if bottle.volume is None:
        return as_text(f"{said}.")
    left = bottle.volume - bottle.drawn - ml
    if round(left) < 0:
        return as_text(f"{said}, more than was left in it by this count.")
    return as_text(f"{said}; {q.format_volume(round(left)) if round(left) else 'nothing'} left in it.")


def in_bottle(bottle: Bath) -> str:
    """What is left in a bottle, for a list; "" where nothing is known."""
    if bottle.volume is None:
        return f": {q.format_volume(round(bottle.drawn))} used" if bottle.drawn else ""
    left = max(0, round(bottle.volume - bottle.drawn))
    return f": {q.format_volume(left)} left" if left else ": empty by this count"
