"""The baths over a place: what stands in the trays and what is left of it, and a key for what is done with one. Dry hands."""

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import ItemGrid
from textual.widgets import Button, OptionList, Static
from textual.widgets.option_list import Option

from assistant.calculations.topic import Field
from assistant.screens.dry.dialogs import Form, Window
from assistant.screens.dry.lines import cell
from assistant.screens.dry.outside import CantDo, Outside
from assistant.trade import quantities as q

DONE: dict[str, tuple[str, tuple[Field, ...]]] = {
    "n": (
        "new bath",
        (
            Field("name", str, "fixer A", "what it is called"),
            Field("tray", str, "fixer", "where it stands"),
            Field("volume", q.parse_volume, "3 l", "of working bath"),
            Field("lasts", q.parse_lasts, "20 per litre", "in sheets of 8x10 in, by its label"),
        ),
    ),
    "m": ("mixed again", ()),
    "t": (
        "topped up",
        (
            Field("poured out", q.parse_volume, "500 ml", "of what stood there", needed=True),
            Field("poured in", q.parse_volume, "500 ml", "fresh", needed=True),
        ),
    ),
    "x": ("retired", (Field("why", str, "spent", "spent, too old, ..."),)),
}
"""Key -> what is done with a bath, and what has to be written for it."""
NONE = "No bath has been written down yet: n adds one."


class BathsWindow(Window):
    """The baths in use; Escape leads back."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding(key, f"ask('{key}')", words, show=False) for key, (words, _) in DONE.items()]

    def __init__(self, outside: Outside) -> None:
        super().__init__("Baths in use")
        self.outside = outside
        self.lines: Sequence[tuple[str, str]] = ()

    def content(self) -> ComposeResult:
        """The baths, what can be done, and what came of it."""
        yield OptionList(id="baths")
        with ItemGrid(min_column_width=16):
            for key, (words, _) in DONE.items():
                yield Button(f"{key} {words}", action=f"screen.ask('{key}')", compact=True)
        yield Static(id="said", markup=False)

    def on_mount(self) -> None:
        """Show them."""
        self._fill()

    def _fill(self) -> None:
        try:
            self.lines, instead = self.outside.baths(), NONE
        except CantDo as error:
            self.lines, instead = (), str(error)
        listed = self.query_one(OptionList)
        at = listed.highlighted or 0
        listed.set_options([Option(cell(line)) for _, line in self.lines] or [Option(cell(instead))])
        listed.highlighted = min(at, max(0, len(self.lines) - 1))

    def action_ask(self, key: str) -> None:
        """Ask for what the key needs, then have it done."""
        if not self.lines and key != "n":
            return
        (words, fields), at = DONE[key], self.query_one(OptionList).highlighted or 0
        name = "" if key == "n" else self.lines[at][0]

        def done(answers: dict[str, str]) -> str:
            return self.outside.done_with_bath(key, name, list(answers.values()))

        def said(answer: str | None) -> None:
            if answer is not None:
                self.query_one("#said", Static).update(cell(answer))
                self._fill()

        self.app.push_screen(Form(f"{name} {words}".strip(), fields, done), said)
