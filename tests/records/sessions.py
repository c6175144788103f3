"""Sessions of an invented boatyard, kept in a journal as a printer would have made them."""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta, timezone
from textwrap import dedent
from typing import Any

from assistant.devices.clock import JumpingClock, TimeByHand
from assistant.history.baths import Bath, Placement
from assistant.history.chemistry import rank_of
from assistant.history.printed import Session
from assistant.planning.plan import make_plan
from assistant.recipe.loader import loads
from assistant.records.baths import Baths
from assistant.records.journal import Journal
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from assistant.session.script import Played

MORNING = datetime(2031, 3, 29, 9, 30, tzinfo=timezone(timedelta(hours=1)))
TEXT = dedent(
    """\
    format: 1
    title: Slipway panel    # four negatives on one sheet
    notes: Emulsion side to the paper, bow to the left.
    copies: 3
    reference: 1
    paper: {name: glossy fibre base, size: 12x16 in, grade: filter 2, batch: A3}
    trays:
      developer: {bath: print developer, mix: 1+9, volume: 3 l, temperature: 20 C, lasts: 20 per litre}
      stop:      {bath: citric stop, volume: 3 l}
      fixer:     {bath: rapid fixer, mix: 1+4, volume: 2 l, holds: 3, lasts: 20 per litre}
      water:     {bath: holding water, volume: 6 l, holds: 12}
      toner:     {bath: selenium toner, mix: 1+9, volume: 3 l}
      washer:    {bath: wash water, volume: 20 l, holds: 12}
    steps:
      - expose:
          time: 9.6 s
          aperture: f/11
          dry_down: 8 %
          parts:
            - {burn: sky, stops: 1/2}
            - {dodge: door, stops: 1/3}
      - develop: {for: 2 min, drain: 15 s}
      - stop: {for: 30 s, at_most: 90 s}
      - fix: {for: 2 min, at_most: 5 min}
      - hold: {tray: water}
      - tone:
          by_eye: {from: 45 s, to: 2 min}
      - wash: {name: Final wash, tray: washer, for: 40 min, together: true}
    """
)


def score_of(text: str = TEXT, copies: int = 3) -> Score:
    return Score(make_plan(loads(text).recipe, copies))


def keep(
    journal: Journal,
    hands: Iterable[Played],
    until: int,
    *,
    text: str = TEXT,
    copies: int = 3,
    started: datetime = MORNING,
    ended: bool = True,
    stood: Mapping[str, Bath] | None = None,
) -> Session:
    """Write a session as it happened, its clock jumping from one hand to the next."""
    clock = JumpingClock(TimeByHand(started))
    recipe = loads(text).recipe
    placed = [Placement(tray, 0, bath.number, rank_of(recipe, tray)) for tray, bath in (stood or {}).items()]
    title = recipe.title
    kept = journal.begin(clock, recipe=text, title=title, file="slipway.yaml", copies=copies, baths=placed)
    bench = open_bench(score_of(text, copies))
    for at, happening in hands:
        clock.jump(at)
        bench = advance(bench, happening, at).bench
        kept.append(at, happening, bench)
    clock.jump(until)
    kept.alive(until, advance(bench, None, until).bench)
    if ended:
        kept.finish(until)
    else:
        kept.leave()
    return journal.session(kept.session.number)


def at(text: str) -> int:
    """`m:ss` as ms."""
    minutes, seconds = text.split(":")
    return int(minutes) * 60_000 + int(seconds) * 1000


EVENTFUL: tuple[Played, ...] = (
    # Copy 1: eight seconds late out of the developer, seven out of the fixer.
    (at("0:40"), h.Tap()),
    (at("1:00"), h.Tap()),
    (at("1:20"), h.Tap()),
    (at("3:28"), h.Tap()),
    (at("6:05"), h.Tap()),
    # Copy 2: torn in the developer; copy 4 is printed for it.
    (at("6:30"), h.Tap()),
    (at("6:50"), h.Tap()),
    (at("7:10"), h.Tap()),
    (at("8:00"), h.Void(2)),
    # Copy 3: the computer sleeps while it is in the fixer, for which it is told afterwards.
    (at("8:30"), h.Tap()),
    (at("8:50"), h.Tap()),
    (at("9:10"), h.Tap()),
    (at("9:30"), h.Note("the corner by the winch tore: lift it by the long edge, and slower than the others")),
    (at("9:40"), h.Reading("developer", 19.5)),
    (at("15:00"), h.Woke(at("12:00"))),
    (at("15:20"), h.Moved(3, 20_000)),
    # Copy 4: punctual, and the untoned one.
    (at("16:00"), h.Tap()),
    (at("16:20"), h.Tap()),
    (at("16:40"), h.Tap()),
    # Copies 1 and 3 through the toner, then all are washed.
    (at("22:00"), h.Tap()),
    (at("23:20"), h.Tap()),
    (at("24:00"), h.Tap()),
    (at("25:50"), h.Tap()),
    (at("26:30"), h.Tap()),
)
"""A session in which much goes wrong, three copies planned; over at 66:30."""
OVER = at("66:30")


def a_bath(journal: Journal, name: str, made: datetime, tray: str = "", **told: Any) -> Bath:
    """A bath by name, as a printer would add it; it stands in the tray of its name unless said otherwise."""
    about = {"mix": None, "volume": None, "lasts": None, "keeps": None, **told}
    return Baths(journal).add(Bath(0, name, "bath", name, made=made, **about), made, tray or name)
