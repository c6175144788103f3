"""Silence is a feature: what a whole edition says is measured, so that it does not grow unnoticed."""

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.places import shipped
from assistant.planning.plan import make_plan
from assistant.recipe.loader import load
from assistant.score.score import Score

SAID = 4293
"""Letters that were said in a punctual edition of eight, when that was last thought over."""


def test_an_edition_says_no_more_than_five_per_cent_more():
    recipe = load(shipped("recipes") / "slipway-edition.yaml").recipe
    heard = rehearse(Score(make_plan(recipe)), Punctual()).heard
    assert sum(len(cue.words) for cue in heard) <= SAID * 1.05
