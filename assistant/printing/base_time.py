"""An exposure time put into a recipe file; comments, spaces and all other values stay."""

from pathlib import Path

from assistant.devices.settings import recipes_folder
from assistant.places import shipped
from assistant.plain_files import write_whole
from assistant.printing.recipe_file import found, open_recipe
from assistant.printing.refusal import Refusal
from assistant.recipe.faults import BadRecipe
from assistant.recipe.model import Recipe
from assistant.recipe.time_rewriting import CannotRewrite, put_time, put_time_in_file, time_of
from assistant.trade import quantities as q


def put_base(named: Path, ms: int, part: str | None = None) -> tuple[str, int]:
    """What was done or why it could not be, and the exit code: the base's time (ms), or that of the light that `part` names.

    A recipe that came with the program and is called by its name is copied to the printer's own, where the same name finds it.
    """
    file, copied = found(named), ""
    try:
        before = open_recipe(named)
        was = _time(before.recipe, part)
        if file != named and file.parent == shipped("recipes"):
            file = recipes_folder() / file.name
            file.parent.mkdir(parents=True, exist_ok=True)
            write_whole(file, put_time(before.text, ms, part).encode("utf-8"))
            copied = f" It is your own now: {named} means this one from now on."
        else:
            put_time_in_file(file, ms, part)
    except Refusal as error:
        return str(error), 1
    except (BadRecipe, CannotRewrite) as error:
        return f"{file}: {error}", 1
    except OSError as error:
        return f"{file}: the time can't be written: {error.strerror}", 1
    return f"{file}: the {part or 'base'} is {q.format_span(ms)} now, and was {was}.{copied}", 0


def _time(recipe: Recipe, part: str | None) -> str:
    time = time_of(recipe, part)
    return "not set" if time is None else q.format_span(time)
