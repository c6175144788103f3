"""The baths over a place: what stands in the trays and what is left of it, and a key for what is done with one. Dry hands.

What is done goes to a `Shelf`, which keeps it and answers in words.
"""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import ItemGrid
from textual.widgets import Button, OptionList, Static
from textual.widgets.option_list import Option

from assistant.screens.dry.dialogs import AskWindow, Window
from assistant.screens.dry.lines import cell
from assistant.screens.dry.outside import Shelf

ASKED = {
    "n": "A new bath: name, tray, volume, sheets of 8x10 a litre takes (fixer A, fixer, 3 l, 20 per litre)",
    "m": "Mixed again, just now? Enter: yes",
    "t": "Topped up: poured out, poured in (500 ml, 500 ml)",
    "x": "Retired: why (spent, too old, ...)",
}
"""Key -> what is asked for."""
WORDS = {"n": "new bath", "m": "mixed again", "t": "topped up", "x": "retired"}
EMPTY_IS_AN_ANSWER = ("m", "x")
NONE = "No bath has been written down yet: n adds one."


class BathsWindow(Window):
    """The baths in use; Escape leads back."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding(key, f"ask('{key}')", words, show=False) for key, words in WORDS.items()]
    TITLE_WORDS = "Baths in use"

    def __init__(self, shelf: Shelf) -> None:
        super().__init__()
        self.shelf = shelf
        self.lines = shelf.lines()

    def content(self) -> ComposeResult:
        """The baths, what can be done, and what came of it."""
        yield OptionList(id="baths")
        with ItemGrid(min_column_width=16):
            for key, words in WORDS.items():
                yield Button(f"{key} {words}", id=f"do-{key}", compact=True)
        yield Static("", id="said", markup=False)

    def on_mount(self) -> None:
        """Show them."""
        self._fill()
        self.query_one(OptionList).focus()

    def _fill(self) -> None:
        self.lines = self.shelf.lines()
        listed = self.query_one(OptionList)
        at = listed.highlighted or 0
        listed.set_options([Option(cell(line)) for _, line in self.lines] or [Option(NONE)])
        listed.highlighted = min(at, max(0, len(self.lines) - 1))

    @on(Button.Pressed)
    def _pressed(self, event: Button.Pressed) -> None:
        event.stop()
        self.action_ask(str(event.button.id).removeprefix("do-"))

    def action_ask(self, key: str) -> None:
        """Ask for what the key needs, then have it done."""
        if not self.lines and key != "n":
            return
        at = self.query_one(OptionList).highlighted or 0
        name = self.lines[at][0] if self.lines else ""

        def done(typed: str | None) -> None:
            if typed is not None:
                self.query_one("#said", Static).update(cell(self.shelf.do(key, name, typed)))
                self._fill()

        self.app.push_screen(AskWindow(ASKED[key], "", empty=key in EMPTY_IS_AN_ANSWER), done)
