"""The dry side before a session: which recipes there are, and the way from the choosing screen to its neighbours and back."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import overload

from assistant.places import shipped
from assistant.plain_files import read_text
from assistant.printing.refusal import Refusal
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import load
from assistant.recipe.yaml_places import MOST_BYTES
from assistant.screens.choosing import Card, Chosen, Elsewhere, Offered, choose
from assistant.terminal import brightness
from assistant.terminal.guard import is_guarded

_OWN = ("steps:", "trays:")
"""A YAML file of the present folder is taken for a recipe if it speaks of these."""


def shipped_names() -> list[str]:
    """The recipes that came with the program."""
    return sorted(file.stem for file in shipped("recipes").glob("*.yaml"))


def chosen(silent: bool) -> Chosen:
    """What the printer chose on the screen; Refusal where nothing was."""
    card: Card | None = None
    while True:
        brightness.set_level("setup")
        wanted = choose(offered(), card, gated=is_guarded())
        if wanted is None:
            raise Refusal("Nothing was chosen.")
        if isinstance(wanted, Chosen):
            brightness.set_level(wanted.level)
            return wanted
        card = replace(wanted.card, said=_visit(wanted, silent))


class Recipes(Sequence[Offered]):
    """Recipes by the names they are called by; each is read when it is first looked at, so that a thousand don't wait."""

    def __init__(self, named: Sequence[tuple[str, Path]]) -> None:
        self._named = named
        self._read: dict[int, Offered] = {}

    def __len__(self) -> int:
        return len(self._named)

    @overload
    def __getitem__(self, at: int) -> Offered: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[Offered]: ...
    def __getitem__(self, at: int | slice) -> Offered | Sequence[Offered]:
        if isinstance(at, slice):
            return [self[place] for place in range(*at.indices(len(self)))]
        if at not in self._read:
            self._read[at] = _offer(*self._named[at])
        return self._read[at]


def offered() -> Recipes:
    """The recipes of the present folder, by their file names, then those that came with the program."""
    own = [file for file in sorted(Path().glob("*.yaml")) if _is_recipe(file)]
    return Recipes([*((file.name, file) for file in own), *((file.stem, file) for file in _shipped())])


def _shipped() -> list[Path]:
    return sorted(shipped("recipes").glob("*.yaml"), key=lambda file: file.stem)


def _is_recipe(file: Path) -> bool:
    try:
        text = read_text(file, MOST_BYTES)
    except (OSError, UnicodeDecodeError):
        return False
    return all(word in text for word in _OWN)


def _offer(name: str, file: Path) -> Offered:
    try:
        loaded = load(file)
    except BadRecipe as error:
        return Offered(name, None, tuple(str(error).splitlines()))
    return Offered(name, loaded.recipe, tuple(fault.said(name) for fault in loaded.warnings))


def _visit(wanted: Elsewhere, silent: bool) -> str:
    """Go there and come back; what came of it, "" for nothing."""
    if wanted.room == "reckon":
        from assistant.screens.reckoning import reckon_on_screen

        reckon_on_screen(gated=is_guarded())
    elif wanted.room == "baths":
        from assistant.printing.bath_screen import look_at_baths
        from assistant.records.journal import Journal

        with Journal.open() as journal:
            look_at_baths(journal)
    elif wanted.room == "look back":
        from assistant.printing.past_sessions import PastSessions
        from assistant.records.journal import Journal
        from assistant.screens.looking_back import look_back

        with Journal.open() as journal:
            if not (past := PastSessions(journal)):
                return "Nothing was printed so far: there is nothing to look back on."
            look_back(past, gated=is_guarded())
    elif silent:
        return "--silent was asked for: there is no sound to be checked."
    else:
        from assistant.printing.sound_check import sound_check

        sound_check()
    return ""
