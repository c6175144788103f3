"""What is typed on the screen of the baths, read as the commands read it."""

from collections.abc import Sequence

from assistant.history.baths import Bath
from assistant.printing import bath_work as work
from assistant.printing.records_read import wall_now
from assistant.printing.refusal import Refusal
from assistant.records.baths import NoBath
from assistant.records.journal import Journal
from assistant.screens.dry.outside import CantDo
from assistant.trade import quantities as q


def done(journal: Journal, key: str, name: str, typed: Sequence[str]) -> list[str]:
    """Do what a key stands for, with what was written for it; CantDo where that is refused."""
    now, words = wall_now(), [" ".join(part.split()) for part in typed]
    try:
        if key == "m":
            return work.mixed(journal, name, now)
        if key == "x":
            return work.retire(journal, name, words[0], now)
        if key == "t":
            return work.top_up(journal, name, q.parse_volume(words[0]), q.parse_volume(words[1]), now)
        called, tray, volume, lasts = words
        millilitres = q.parse_volume(volume) if volume else None
        bath = Bath(0, called, "bath", called, None, millilitres, q.parse_lasts(lasts) if lasts else None, None, now)
        return work.add(journal, bath, tray or called)
    except (Refusal, NoBath, q.Misread) as error:
        raise CantDo(str(error)) from None
