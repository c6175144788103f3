"""Evenings of an invented boatyard, kept as a printer's own records, for the screens that look back on them."""

from datetime import timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from assistant.conductor.rehearsal import rehearse
from assistant.places import home, shipped
from assistant.planning.plan import make_plan
from assistant.recipe.loader import load
from assistant.records.journal import Journal
from assistant.score.score import Score
from assistant.session import happenings as h
from assistant.session.script import Played
from tests.records.sessions import MORNING, keep
from tests.screens.tiring import Tiring

EVENINGS = (("boat-shed-door", 4), ("by-the-first-tone", 6), ("slipway-edition", 8))
NOTED: tuple[Played, ...] = (
    (1_500_000, h.Note("copy 3: the sheet floated up, held under by hand")),
    (2_100_000, h.Reading("developer", 19.5)),
)


def keep_evenings(evenings: tuple[tuple[str, int], ...] = EVENINGS) -> None:
    """Evenings, the edition last, as the records of `TRAYCALL_HOME`, where there are none yet."""
    file = home() / "records.sqlite"
    assert not file.exists()
    file.write_bytes(_kept(evenings))


@cache
def _kept(evenings: tuple[tuple[str, int], ...]) -> bytes:
    """The file, made once for all tests of a run."""
    with TemporaryDirectory() as folder, Journal.open(Path(folder) / "records.sqlite") as journal:
        for evening, (name, copies) in enumerate(evenings):
            loaded = load(shipped("recipes") / f"{name}.yaml")
            played = rehearse(Score(make_plan(loaded.recipe, copies)), Tiring(late=4_000))
            hands = sorted((*played.hands, *NOTED), key=lambda hand: hand[0])
            started = MORNING + timedelta(days=2 * evening, hours=9)
            keep(journal, hands, played.bench.now, text=loaded.text, copies=copies, started=started)
        journal.back_up(whole := Path(folder) / "whole.sqlite")
        return whole.read_bytes()
