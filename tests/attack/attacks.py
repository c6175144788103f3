"""All attacks by name: what is tried, what must hold, how often in the large run and in the suite's small one."""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from tests.attack import calls, files, happenings, kills, plans, recipes, taps, terminals


class Attack(NamedTuple):
    """One attack: a case by its seed gives what is wrong, "" where nothing is."""

    run: Callable[[int], str]
    what: str
    holds: str
    count: int
    small: int
    at_once: bool = True
    """Whether several cases may be tried at the same time."""


ATTACKS = {
    "recipes": Attack(
        recipes.attack,
        "shipped recipes with values, keys, steps and letters changed",
        "good, or refused with lines and words; a good one is planned and printed to its end by a punctual, a late and a very "
        "late printer; no white light with a sheet out, no tray over what it holds",
        100_000,
        100,
    ),
    "happenings": Attack(
        happenings.attack,
        f"sessions of {happenings.EACH} random taps, words, readings and sleeps at random moments",
        "no white light with a sheet out, no light that was not asked for aloud, no tray over what it holds, every tap answered "
        "with the copy it moved, nothing due in the past, replay exact",
        300_000 // happenings.EACH,
        35,
    ),
    "taps": Attack(
        taps.attack,
        f"sessions of one button, {taps.EACH} taps early, late, twice, at a change, and held",
        "no light whose words had not begun since that sheet's last one; every tap answered with what it did and for which copy",
        500_000 // taps.EACH,
        6,
    ),
    "kills": Attack(
        kills.attack,
        "the program killed at a random moment, and gone on with",
        "all that was acknowledged is kept, elapsed time is true",
        500,
        4,
    ),
    "files": Attack(
        files.attack,
        "records with bytes or their end gone, and with every value of a row of every kind wrong",
        "a sentence, no trace of a fault, no raw controls, exit 0 to 2",
        12_000,
        16,
    ),
    "calls": Attack(
        calls.attack,
        "odd words to every command",
        "an answer or a refusal, no trace of a fault, no raw controls, exit 0 to 2",
        10_000,
        32,
    ),
    "plans": Attack(
        plans.attack,
        "invented recipes in one to nine copies, planned",
        "played without a fault by a checker of its own; up to four copies as good as CP-SAT's best, or within 6 %",
        3_000,
        8,
    ),
    "terminals": Attack(
        terminals.attack,
        "random keys, bytes, pastes, sizes and signals on five kinds of terminal in two sizes",
        "no cell lit, no trace of a fault, no exit 70",
        480,
        5,
    ),
}


def tried(name: str, seeds: Iterable[int]) -> list[tuple[int, str]]:
    """What was found in these cases, by their seeds."""
    found = []
    for seed in seeds:
        try:
            wrong = ATTACKS[name].run(seed)
        except Exception as error:  # of the program's own: that is a find too
            wrong = f"{type(error).__name__}: {error}"
        if wrong:
            found.append((seed, wrong[:600]))
    return found
