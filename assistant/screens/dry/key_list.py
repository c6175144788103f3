"""What the keys do where one is, in our own words: a toolkit's lists name keys that nobody here needs."""

from collections.abc import Iterable

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.dom import DOMNode
from textual.screen import Screen

from assistant.screens.dry.dialogs import Window
from assistant.screens.dry.lines import Lines

EVERYWHERE = (
    ("arrows", "move"),
    ("enter", "take what is marked"),
    ("tab", "to the next field or button; with shift back"),
    ("f2 to f5", "the places, by their order"),
    ("f1", "this list"),
    ("esc", "back: to the row of names, and from there out"),
    ("ctrl+c", "leave at once"),
)
"""What holds in every place. The mouse does all of it too: click, turn the wheel, pull a bar."""


class KeyList(Window):
    """The keys of a place, then those that hold everywhere."""

    READ = True
    BINDINGS = [Binding("f1", "dismiss", show=False)]  # noqa: RUF012, declared so by Textual

    def __init__(self, over: Screen[object]) -> None:
        super().__init__("Keys")
        self._here = here(over)

    def content(self) -> ComposeResult:
        """A line for each."""
        every = [*self._here, *([("", "")] if self._here else []), *EVERYWHERE]
        wide = max(len(keys) for keys, _ in every) + 2
        yield Lines("keys", [f"{keys:<{wide}}{words}".rstrip() for keys, words in every])


def here(over: Screen[object]) -> list[tuple[str, str]]:
    """The keys that we gave to what has the focus, and to what it stands in: how each is shown, and what it does."""
    nodes: Iterable[DOMNode] = over.focused.ancestors_with_self if over.focused else ()
    kinds = (kind for node in nodes if node is not over.app for kind in type(node).__mro__)
    own = (kind for kind in kinds if kind.__module__.startswith("assistant."))
    ours: list[BindingType] = [one for kind in own for one in kind.__dict__.get("BINDINGS", ())]
    made = Binding.make_bindings(ours)
    return list({one.description: (one.key_display or one.key, one.description) for one in made if one.description}.values())
