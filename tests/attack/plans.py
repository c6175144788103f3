"""Plans of invented recipes in one to nine copies, played by the checker; the small ones held against CP-SAT too."""

from importlib.util import find_spec

from tests.planning import invented
from tests.planning.checker import faults
from tests.planning.plans import facts, planned

MOST_COPIES = 9
SOLVED = 4
"""CP-SAT proves so many copies within seconds."""
NEAR = 1.06
OTHERS = 10_000
"""The suite's own recipes lie below this number."""


def attack(seed: int) -> str:
    """What is wrong with one plan, "" where nothing is."""
    copies = 1 + seed % MOST_COPIES
    recipe = invented.recipe(OTHERS + seed, copies)
    edition = planned(recipe, copies)
    wrong = "; ".join(faults(recipe, *facts(edition)))
    if not wrong and copies <= SOLVED and find_spec("ortools"):
        from tests.planning import oracle

        best, sure, bound = oracle.solve(recipe, copies)
        if sure and edition.bound > best * 1000:
            wrong = f"a bound of {edition.bound} ms, and {best} s can be reached"
        elif edition.finish < bound * 1000 or edition.finish > best * 1000 * NEAR:
            wrong = f"a finish of {edition.finish} ms, the best is {best} s"
    return f"{copies} copies of invented {OTHERS + seed}: {wrong}" if wrong else ""
