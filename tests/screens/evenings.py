"""Evenings of an invented boatyard, kept as a printer's own records, for the screens that look back on them."""

from datetime import timedelta

from assistant.conductor.rehearsal import rehearse
from assistant.places import shipped
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
    """Evenings, the edition last, in the journal of `TRAYCALL_HOME`."""
    with Journal.open() as journal:
        for evening, (name, copies) in enumerate(evenings):
            loaded = load(shipped("recipes") / f"{name}.yaml")
            played = rehearse(Score(make_plan(loaded.recipe, copies)), Tiring(late=4_000))
            hands = sorted((*played.hands, *NOTED), key=lambda hand: hand[0])
            started = MORNING + timedelta(days=2 * evening, hours=9)
            keep(journal, hands, played.bench.now, text=loaded.text, copies=copies, started=started)
