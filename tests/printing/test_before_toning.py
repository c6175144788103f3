"""Before toning a poor fixer is said, and what prints took in this toner; once, and asked of the records at that moment."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from assistant.history.baths import Bath
from assistant.printing.before_toning import BeforeToning
from assistant.printing.records_read import wall_now
from assistant.records.baths import Baths
from assistant.records.journal import Journal
from assistant.session.advance import advance, open_bench
from tests.records.sessions import EVENTFUL, OVER, TEXT, a_bath, at, keep, score_of

LONE = TEXT.replace("reference: 1\n", "")
HANDS = [hand for hand in EVENTFUL if hand[0] < at("20:00")]
"""Until all sheets are fixed and none is toned."""
THEN = "then, last two took one minute, one minute ten. look from fifty seconds"


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "records.sqlite") as opened:
        yield opened


def an_evening(journal: Journal, days: int, **about: float) -> tuple[Bath, Bath]:
    """The eventful session of today in a fixer and a toner that were mixed so many days ago."""
    begun = wall_now() - timedelta(hours=2)
    made = begun - timedelta(days=days)
    fixer = a_bath(journal, "fixer A", made, tray="fixer", volume=2_000, lasts=20.0)
    toner = a_bath(journal, "toner", made)
    if about:
        Baths(journal).tell(fixer, "used", made + timedelta(hours=1), made, **about)
    keep(journal, HANDS, at("20:00"), started=begun, stood={"fixer": fixer, "toner": toner}, ended=False)
    return fixer, toner


def said(journal: Journal, session: int, then: str = "") -> list[tuple[int, str]]:
    """When it was said and what, looked at every five seconds as a session does."""
    bench, found = open_bench(score_of(copies=3)), []
    aside = BeforeToning(lambda: bench, journal, session, then)
    hands = list(EVENTFUL)
    for moment in range(0, OVER, 5_000):
        while hands and hands[0][0] <= moment:
            bench = advance(bench, hands[0][1], hands[0][0]).bench
            hands.pop(0)
        bench = advance(bench, None, moment).bench
        if words := aside():
            found.append((moment, words))
    return found


def test_an_old_spent_and_untested_fixer_is_said_once_when_the_last_sheet_is_in_it(journal: Journal) -> None:
    """Copy four, the last, goes into the fixer at 19:10 and to the toner nobody before 22:00."""
    an_evening(journal, 70, sheets=45.0)
    [(when, words)] = said(journal, 1)
    assert at("19:10") <= when <= at("19:15")
    assert words == (
        "before toning mind the fixer. it is past what it takes, it is seventy days old, it was not tested since it was mixed"
    )


def test_a_test_of_the_last_hour_counts(journal: Journal) -> None:
    fixer, _ = an_evening(journal, 1)
    assert said(journal, 1)[0][1] == "before toning mind the fixer. it was not tested since it was mixed"
    now = wall_now()
    Baths(journal).tell(fixer, "tested", now, now, test="fixer", good=True)
    assert said(journal, 1) == []
    assert said(journal, 1, THEN)[0][1] == THEN, "a session printed like another says what that one's prints took"


def test_what_prints_took_in_this_toner_is_said_before_the_first(journal: Journal) -> None:
    """Two prints of yesterday took 1:20 and 1:50 in it: their median less its spread of 30 s is 1:05 [math]."""
    now = wall_now()
    toner = a_bath(journal, "toner", now - timedelta(days=2))
    keep(journal, EVENTFUL, OVER, started=now - timedelta(days=1), stood={"toner": toner})
    keep(journal, HANDS, at("20:00"), started=now - timedelta(minutes=30), stood={"toner": toner}, ended=False)
    assert said(journal, 2, THEN)[0][1] == "in this toner, last two took one twenty, one fifty. look from one oh five"
