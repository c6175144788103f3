"""The card of a session: a recipe that was read, and what is known of the file it came from."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from assistant.recipe.loader import Loaded
    from assistant.score.score import Score


@dataclass(frozen=True)
class Card:
    """A recipe that is to be printed, the file it was read from, that file's text, and how many copies (None: the recipe's)."""

    loaded: "Loaded"
    file: Path
    text: str
    copies: int | None = None
    named: Path | None = None
    """What the printer called the file, where that is not its path."""
    notes: tuple[str, ...] = ()
    """What is to be read before it begins, besides what is needed."""
    spoken: str = ""
    """What is to be said when it begins."""
    before_toning: str = ""
    """What is to be said before toning, where today's toner tells nothing yet."""
    watched: bool = True
    """Whether the file is looked at for edits while it is printed."""
    level: str = ""
    """The level of light that was chosen with it, "" where the call's own holds."""

    @property
    def name(self) -> str:
        """The file's name, without its folders."""
        return self.file.name


def card_of(*named: Path, copies: int | None = None, level: str = "") -> Card:
    """A recipe file's card, or one card of several with the same baths; Refusal says all that is wrong with them."""
    from assistant.printing.recipe_file import found, open_recipe

    files = [found(one) for one in named]
    loaded = [open_recipe(file) for file in files]
    if len(loaded) == 1:
        return Card(loaded[0], files[0], loaded[0].text, copies, level=level)
    if copies is not None:
        from assistant.printing.refusal import Refusal

        raise Refusal("Several recipes are printed in their own numbers of copies: leave --copies out.")
    return _joined({file.name: one.text for file, one in zip(files, loaded, strict=True)}, len(files), level)


def score_for(named: "Sequence[Path]", copies: int | None) -> "Score":
    """The score of a recipe, or of several with the same baths, as a session would print them."""
    from assistant.printing.recipe_file import score_of

    return score_of(card_of(*named, copies=copies).loaded, copies)


def _joined(texts: dict[str, str], count: int, level: str) -> Card:
    from assistant.printing.refusal import Refusal
    from assistant.recipe.faults import BadRecipe
    from assistant.recipe.joined import CannotJoin, joined
    from assistant.recipe.loader import loads

    name = " + ".join(texts)
    try:
        if len(texts) < count:
            raise CannotJoin(f"{name}: each recipe is given once; its copies say how many there are of it")
        text = joined(list(texts.items()))
    except (CannotJoin, BadRecipe) as error:
        raise Refusal(str(error)) from None
    return Card(loads(text, name), Path(name), text, watched=False, level=level)
