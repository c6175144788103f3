"""An exposure time put into a recipe file; comments, spaces and all other values stay."""

from pathlib import Path

from assistant.printing.recipe_file import found
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import load
from assistant.recipe.model import Expose, Recipe
from assistant.recipe.time_rewriting import CannotRewrite, put_time_in_file
from assistant.trade import quantities as q


def put_base(named: Path, ms: int) -> tuple[str, int]:
    """What was done or why it could not be, and the exit code. A recipe that came with the program is copied here first."""
    file = found(named)
    copied = ""
    try:
        if file != named:
            if Path(file.name).exists():
                return f"{file.name} lies here already: write traycall base {file.name} {_span(ms)}, if it is meant.", 1
            before = load(file)
            Path(file.name).write_text(before.text, encoding="utf-8")
            file, copied = Path(file.name), "Copied into this folder. "
        was = _time(load(file).recipe)
        put_time_in_file(file, ms)
    except (BadRecipe, CannotRewrite) as error:
        return f"{file}: {error}", 1
    except OSError as error:
        return f"{file}: the time can't be written: {error.strerror}", 1
    return f"{copied}{file}: the base is {q.format_span(ms)} now, and was {was}.", 0


def _span(ms: int) -> str:
    return q.format_span(ms).replace(" ", "")


def _time(recipe: Recipe) -> str:
    times = (step.time for step in recipe.steps if isinstance(step, Expose) and step.time is not None)
    return next(map(q.format_span, times), "not set")
