"""What is said once before toning, when every sheet is in its last fixing bath or beyond: of a poor fixer, and when to look.

The records are asked at that moment, so that a test or a fresh bath of the last hour counts.
"""

from collections.abc import Callable

from assistant.history.chemistry import mind_before_toning
from assistant.printing.records_read import standing_in, wall_now
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from assistant.score import words
from assistant.session.bench import Bench
from assistant.trade import toning_drift
from assistant.trade.foreign_text import as_text


class BeforeToning:
    """Says it once in a session; `then` says what an earlier session's prints took, where this one is printed like it."""

    def __init__(self, bench: Callable[[], Bench], journal: Journal, session: int, then: str = "") -> None:
        self._bench, self._journal, self._session, self._then = bench, journal, session, then
        self._said = False

    def __call__(self) -> str:
        """What is to be said, "" for nothing."""
        bench = self._bench()
        if self._said or not all_fixed(bench):
            return ""
        self._said = True
        recipe = bench.plan.recipe
        try:
            with Journal.open(self._journal.path) as journal:  # the session's own is busy writing, in another thread
                baths = standing_in(journal, self._session, recipe)
        except JournalFault:  # the sheets are more than a remark about them
            return ""
        toners = dict.fromkeys(step.tray for step in recipe.steps if step.kind == "tone")
        hints = [toning_drift.hint(baths[tray].pulled) for tray in toners if tray in baths]
        known = [f"in this toner, {words.look_from(hint.before, hint.look_from, False)}" for hint in hints if hint]
        mind = mind_before_toning(recipe, baths, wall_now())
        return as_text(". ".join(filter(None, [mind, *(known or [self._then])])))


def all_fixed(bench: Bench) -> bool:
    """Whether no sheet that counts has its last fixing bath before it, and none has been in a toner."""
    steps = bench.plan.recipe.steps
    tone = next((i for i, step in enumerate(steps) if step.kind == "tone"), None)
    fixes = [i for i, step in enumerate(steps[:tone]) if step.kind == "fix"]
    living = list(bench.living())
    if tone is None or not fixes or any(copy.step >= tone for copy in living):
        return False
    return bool(living) and all(copy.step >= fixes[-1] and copy.bath is not None for copy in living)
