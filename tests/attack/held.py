"""What must hold of a session whatever happens in it, found from what was heard and from stays, not from the machine's rules.

Each function gives what is wrong in words, "" where nothing is.
"""

from collections.abc import Iterator
from itertools import groupby, pairwise

from assistant.recipe.model import Recipe
from assistant.score.cues import Cue
from assistant.session.bench import Bench
from assistant.session.copy import Stay
from assistant.session.place import InBath, InBox, InLight

MOST_WORDS = 30
"""Words of one cue, at the most: what takes longer to say than to do helps nobody."""


def out(bench: Bench, heard: list[Cue], gone: dict[int, int]) -> set[int]:
    """The copies whose paper is out: asked for aloud, or not in its box; until it is done or void.

    `gone`: when a number was given up by an undo, ms; its sheet was told to be put back, or is asked for as another's.
    """
    asks = [cue for cue in heard if cue.kind == "ask" and cue.step == "expose" and cue.copy is not None]
    asked = {cue.copy for cue in asks if gone.get(cue.copy or 0, -1) < cue.at <= bench.now}
    living = {copy.number for copy in bench.living()}
    return {n for n in living if n in asked or not isinstance(bench.copy(n).place, InBox)}


def white_light(bench: Bench, heard: list[Cue], light: str, gone: dict[int, int]) -> str:
    """White light is never shown while a sheet is out that no fixer has made safe."""
    if light != "white":
        return ""
    fix = next((i for i, step in enumerate(bench.plan.recipe.steps) if step.kind == "fix"), None)
    for number in out(bench, heard, gone):
        copy = bench.copy(number)
        fixing = isinstance(copy.place, InBath) and copy.place.step == fix
        if not fixing and not any(stay.kind == "fix" for stay in copy.stays):
            return f"white light with copy {number} out: {copy.place}"
    return ""


def trays(bench: Bench) -> str:
    """No tray has more sheets in it than it holds."""
    inside: dict[str, int] = {}
    for copy in bench.living():
        if isinstance(copy.place, InBath):
            tray = bench.step_of(copy).tray
            inside[tray] = inside.get(tray, 0) + 1
    over = {tray: count for tray, count in inside.items() if count > bench.plan.recipe.trays[tray].holds}
    return f"too many sheets: {over}" if over else ""


def stays(copy_stays: tuple[Stay, ...]) -> str:
    """A sheet is in one place at a time, and goes forward."""
    for one, two in pairwise(copy_stays):
        if not one.from_ms <= one.to_ms <= two.from_ms:
            return f"stays out of order: {one} {two}"
    return ""


def begun_unasked(before: Bench, after: Bench, heard: list[Cue]) -> str:
    """No light begins for a sheet whose paper was not asked for aloud."""
    for copy in after.copies:
        was = before.copies[copy.number - 1].place if copy.number <= len(before.copies) else None
        if isinstance(copy.place, InLight) and copy.place != was:
            asks = [cue for cue in heard if cue.kind == "ask" and cue.at <= copy.place.since and cue.copy == copy.number]
            if not asks:
                return f"a light for copy {copy.number} that was not asked for"
    return ""


def over_trays(recipe: Recipe, ended: list[Stay]) -> Iterator[str]:
    """The trays of a whole session, from its stays: a sheet that leaves makes room for one that comes at that moment."""
    ends = sorted(ended, key=lambda stay: stay.tray or "")
    for tray, group in groupby((stay for stay in ends if stay.tray), key=lambda stay: stay.tray):
        moments = []
        for stay in group:
            moments += [(stay.from_ms, 1), (stay.to_ms, -1)]
        count = 0
        for _, change in sorted(moments):
            count += change
            if count > recipe.trays[tray].holds:
                yield f"{count} sheets in {tray}, which holds {recipe.trays[tray].holds}"
                break


def words(heard: list[Cue]) -> str:
    """What is heard can be said: words without signs, and not too many."""
    for cue in heard:
        if cue.words and (not cue.words.isprintable() or len(cue.words.split()) > MOST_WORDS * 4):
            return f"not to be said: {cue.words!r}"
    return ""
