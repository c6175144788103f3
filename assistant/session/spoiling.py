"""A sheet that no longer counts: what becomes of it, and which sheet is printed in its place."""

from assistant.score import words
from assistant.session.answers import Done
from assistant.session.bench import Bench
from assistant.session.changes import change
from assistant.session.copy import Copy
from assistant.session.frozen import replace
from assistant.session.place import AskedFor

VOID_ASKED = 8_000
"""Whether a sheet is void is to be answered within this time (ms): long enough to hear the question and tap. Common practice,
no source."""


def voided(bench: Bench, copy: Copy, at: int) -> Done:
    """A sheet is spoiled; while sheets are still exposed, another is printed for it. For film there is no other sheet."""
    after = replace(change(bench, copy, "spoiled", at), void_asked=None)
    exposes = any(step.kind == "expose" for step in bench.plan.recipe.steps)
    used = not copy.boxed or (isinstance(copy.place, AskedFor) and bench.rules > 1)
    back = words.counts_again(copy.number)
    if not exposes or not used or copy.step > bench.plan.station_after(0):
        return Done(after, words.voided(copy.number), copy.number, back=back)
    stand_in = Copy(len(bench.copies) + 1, print=copy.print, base=copy.base)
    said = words.replaces(stand_in.number, copy.number)
    return Done(replace(after, copies=(*after.copies, stand_in)), said, copy.number, back=back)
