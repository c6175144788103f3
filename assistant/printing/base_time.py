"""An exposure time put into a recipe file; comments, spaces and all other values stay."""

from pathlib import Path

from assistant.printing.recipe_file import found
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import load
from assistant.recipe.model import Recipe
from assistant.recipe.time_rewriting import CannotRewrite, put_time_in_file, time_of
from assistant.trade import quantities as q


def put_base(named: Path, ms: int, part: str | None = None) -> tuple[str, int]:
    """What was done or why it could not be, and the exit code: the base's time (ms), or that of the light that `part` names.

    A recipe that came with the program is copied here first.
    """
    file = found(named)
    copied = ""
    try:
        if file != named:
            if Path(file.name).exists():
                return f"{file.name} is here already: write traycall base {file.name} {q.span_argument(ms)}, if it is meant.", 1
            before = load(file)
            file, copied = Path(file.name), "Copied into this folder. "
            file.write_text(before.text, encoding="utf-8")
        was = _time(load(file).recipe, part)
        put_time_in_file(file, ms, part)
    except (BadRecipe, CannotRewrite) as error:
        return f"{file}: {error}", 1
    except OSError as error:
        return f"{file}: the time can't be written: {error.strerror}", 1
    return f"{copied}{file}: the {part or 'base'} is {q.format_span(ms)} now, and was {was}.", 0


def _time(recipe: Recipe, part: str | None) -> str:
    time = time_of(recipe, part)
    return "not set" if time is None else q.format_span(time)
