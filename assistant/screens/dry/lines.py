"""Text that is made for its width: lines with their wrapped rest set in, and curves; tables and lists to choose from."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import DataTable, Select, Static
from textual.widgets._select import SelectCurrent, SelectOverlay

from assistant.screens.drawing import wrapped
from assistant.trade.foreign_text import as_text

Made = Callable[[int], Sequence[str]]
"""What stands in so many columns."""


class Fitted(Static):
    """Made anew for every width."""

    def __init__(self, made: Made | None = None, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(markup=False, id=id, classes=classes)
        self._made = made

    def make(self, made: Made | None) -> None:
        """Show this from now on; nothing at all for None."""
        self._made = made
        self.display = made is not None
        self._draw()

    def on_resize(self, event: events.Resize) -> None:
        """Another width."""
        self._draw()

    def _draw(self) -> None:
        if self._made is not None and self.size.width:
            self.update("\n".join(self._made(self.size.width)))


class Lines(Fitted):
    """Lines to read; what does not fit goes on below, set in under its line."""

    def __init__(self, id: str, lines: Sequence[str] = ()) -> None:
        super().__init__(lambda width: wrapped(lines, width), id=id)

    def show(self, lines: Sequence[str]) -> None:
        """Show these."""
        self.make(lambda width: wrapped(lines, width))


class Listed(DataTable[str | Text]):
    """A table whose rows are chosen: Home and End lead to the first row and the last one, not along it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("home", "scroll_top", show=False),
        Binding("end", "scroll_bottom", show=False),
    ]

    def __init__(self, *columns: str, id: str) -> None:
        super().__init__(id=id, cursor_type="row", show_row_labels=False)
        for column in columns:
            self.add_column(column, key=column)


class Choices(SelectOverlay):
    """What a choice is made from, left by a key in our own word; Textual (8.2.8) has no public name for it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss", "back")]


class Choice(Select[str]):
    """One of several."""

    def compose(self) -> ComposeResult:
        """What is chosen, and what else could be."""
        yield SelectCurrent(self.prompt)
        yield Choices().data_bind(compact=Select.compact)


def cell(words: str) -> Text:
    """Somebody's words in a table, where a plain string would be read as markup."""
    return Text(as_text(words))
