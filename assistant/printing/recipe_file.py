"""From a recipe file to a score: what `run` and `rehearse` share. Says once why a recipe can't be printed."""

from difflib import get_close_matches
from pathlib import Path

from assistant.devices.settings import recipes_folder
from assistant.planning.plan import CannotPlan, make_plan
from assistant.printing.refusal import Refusal
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import Loaded, load, loads
from assistant.score.score import Score
from assistant.trade.foreign_text import as_text
from assistant.trade.quantities import Misread


def open_recipe(file: Path) -> Loaded:
    """A recipe by its file, or by the name of one that came with the program; Refusal says all that is wrong."""
    there = found(file)
    if not _is_there(there) and file.parent == Path():
        raise Refusal(_no_such(file.name))
    try:
        return load(there)
    except BadRecipe as error:
        raise Refusal(str(error)) from None


def _no_such(name: str) -> str:
    """Why a name leads to no recipe, and the nearest one that there is."""
    from assistant.places import shipped

    known = [there.stem for folder in (recipes_folder(), shipped("recipes")) for there in folder.glob("*.yaml")]
    near = get_close_matches(name.removesuffix(".yaml"), known, 1)
    meant = f" Did you mean {near[0]}?" if near else ""
    return f"{as_text(name)}: there is no recipe of that name.{meant} `traycall recipes` lists them."


def open_score(file: Path, copies: int | None) -> Score:
    """The score of a recipe in so many copies (None: the recipe's own number); Refusal says why there is none."""
    return score_of(open_recipe(file), copies)


def score_of(loaded: Loaded, copies: int | None) -> Score:
    """The score of a recipe that is read; Refusal where it can't be printed in so many copies."""
    try:
        score = Score(make_plan(loaded.recipe, copies))
        assert score.runs is not None
    except (CannotPlan, Misread) as error:
        raise Refusal(str(error)) from None
    return score


def frozen_score(text: str, name: str, copies: int) -> Score:
    """The score of a recipe's text as a session keeps it; Refusal where this version can't read or print it."""
    try:
        return score_of(loads(text, name), copies)
    except BadRecipe as error:
        raise Refusal(str(error)) from None


def found(file: Path) -> Path:
    """The file that is meant: itself, or the one of that name among the printer's own, or that came with the program."""
    if _is_there(file) or file.parent != Path():
        return file
    from assistant.places import shipped

    name = file.name if file.suffix else f"{file.name}.yaml"
    return next((there for folder in (recipes_folder(), shipped("recipes")) if _is_there(there := folder / name)), file)


def _is_there(file: Path) -> bool:
    """A name longer than any file's is that of no file."""
    try:
        return file.exists()
    except OSError:
        return False
