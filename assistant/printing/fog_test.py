"""What a fog test is, keeps and says: how long paper may lie by this screen, at a level of light.

The strips lie open to the screen for 1, 2, 4 and 8 minutes beside one that stays covered, and go through the baths of the
print. ANSI IT2.26 and ISO 8374 work out the safe time from them.
"""

from collections.abc import Callable
from datetime import datetime
from typing import NamedTuple

from assistant.printing.plain_face import numbered
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import say_lines
from assistant.recipe.model import Expose, Recipe, Strip
from assistant.recipe.strip_card import FOG_TEST
from assistant.records import fogtests
from assistant.records.journal import Journal
from assistant.records.printed import printed
from assistant.score import words
from assistant.session.bench import Bench
from assistant.trade import quantities as q
from assistant.trade import safetime, strips

STRIP = Strip(first=60_000, step=1, strips=4, way="cover", light="screen")
"""Open for 1, 2, 4 and 8 minutes (ANSI IT2.26, ISO 8374)."""
TOTALS = strips.plan(STRIP.first, STRIP.strips, stops=STRIP.step).totals
"""How long each strip lies open, ms, the shortest first."""
HOW = (
    "Before it: flash half the sheet to a light grey under the lamp, and lay it where your paper lies nearest to the screen.",
    "Keep one strip covered all the time; the card covers one more at every tone. Only screen and safelight may be on.",
    "After it: flash the other half to the same grey, then develop. Look at the flashed halves: they fog sooner.",
)


def is_fog_test(recipe: Recipe) -> bool:
    """Whether the light of a recipe is the screen's own."""
    return any(isinstance(step, Expose) and step.strip is not None and step.strip.light == "screen" for step in recipe.steps)


def title(level: str) -> str:
    """What a test at a level is called, by which it is found again in the records."""
    return f"{FOG_TEST} at level {level}"


class SecondFlash:
    """Says once, when the last strip has had its time, that the other half is to be flashed: eight minutes are long."""

    def __init__(self, bench: Callable[[], Bench]) -> None:
        self._bench, self._said = bench, False

    def __call__(self) -> str:
        """What is to be said, "" for nothing."""
        shown = any(stay.kind == "expose" for copy in self._bench().copies if copy.live for stay in copy.stays)
        if self._said or not shown:
            return ""
        self._said = True
        return words.FLASH_AGAIN


def paper_of(recipe: Recipe) -> str:
    """The paper's name, by which a test is known again; Refusal where the recipe gives none."""
    if recipe.paper is None or not recipe.paper.name:
        raise Refusal(f"{recipe.title} names no paper: add paper: {{name: ...}}, so that its test is found again.")
    return recipe.paper.name


def judged(recipe: Recipe, level: str, clean: int) -> str:
    """Keep how many strips stayed as clean as the covered one, and what it means, in words.

    Refusal where no paper is named, or where the records hold no such test whose strip was finished.
    """
    paper = paper_of(recipe)
    if not _finished(paper, level):
        raise Refusal(
            f"No fog test of {paper} at level {level} was finished and recorded, so there is nothing to judge. "
            f"Make one with `traycall fog RECIPE --light {level}`; --judged is for when its strip is dry."
        )
    fogged = TOTALS[clean] if clean < len(TOTALS) else None
    longest = TOTALS[clean - 1] if clean else 0
    safe = safetime.safe_time(longest, fogged) if clean else 0
    now = datetime.now().astimezone()
    fogtests.keep(fogtests.FogTest(paper, level, longest, fogged, safe, now, fogtests.this_screen()))
    if not clean:
        return (
            f"Fogged within {q.format_span(TOTALS[0])}: this screen at level {level} is not safe for {paper}. "
            "Cover it, or go darker and test again. Kept."
        )
    least = "" if fogged else "at least "
    return (
        f"{paper} by this screen at level {level}: {least}{q.format_limit(safe)} for all handling together. Kept.\n"
        f"{safetime.WARNINGS[2]}"
    )


def _finished(paper: str, level: str) -> bool:
    """Whether the records hold a test of a paper at a level whose strip went through all its baths."""
    with Journal.open() as journal:
        tests = [printed(journal, one) for one in journal.sessions() if one.title == title(level)]
    return any(
        test.course.counted.get("done") and test.recipe and test.recipe.paper and test.recipe.paper.name == paper
        for test in tests
    )


def ask(bench: Bench, level: str, terminal: bool, trial: bool) -> None:
    """After the test: keep the judgement, or say how to keep it later; nothing is kept of a trial, or without a strip."""
    if trial:
        say_lines(["A trial keeps no safe time: make the test without --trial."])
        return
    if not any(copy.done for copy in bench.copies):
        say_lines(["No strip was finished, so there is nothing to judge: make the test again."])
        return
    picked = bench.picked
    later = "When it is dry: traycall fog RECIPE --light LEVEL --judged N, N strips being as clean as the covered one."
    if picked is None and terminal:
        picked = numbered("How many strips are as clean as the covered one?", 0, len(TOTALS))
    if picked is not None and 0 <= picked <= len(TOTALS):
        say_lines(judged(bench.plan.recipe, level, picked).split("\n"))
    else:
        say_lines([later])


class Standing(NamedTuple):
    """What is known of a paper by this screen: a line to read, and what is said where the screen is to be covered."""

    line: str
    spoken: str = ""


def standing(recipe: Recipe, level: str) -> Standing:
    """What the newest test of this recipe's paper by this screen showed, for the start of a session."""
    name = recipe.paper.name if recipe.paper else None
    test = fogtests.latest(name, level) if name else None
    if test is None:
        what = name or "this recipe's paper"
        line = f"This screen at level {level} was never tested with {what}: make a `traycall fog` test, or cover it."
        return Standing(line, words.SCREEN_UNTESTED)
    if not test.safe:
        line = f"Fog test of {test.day}: {name} fogs by this screen at level {level} within {q.format_span(TOTALS[0])}. Cover it."
        return Standing(line, words.SCREEN_FOGS)
    least = "" if test.fogged else "at least "
    return Standing(f"Fog test of {test.day}: {name} may lie by this screen for {least}{q.format_limit(test.safe)} in all.")
