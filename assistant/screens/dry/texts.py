"""A recipe's text: looked at, and one's own changed, with all that is wrong with it said as one types."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.timer import Timer
from textual.widgets import OptionList, TextArea
from textual.widgets.option_list import Option

from assistant.plain_files import read_text
from assistant.recipe.faults import BadRecipe, Fault
from assistant.recipe.loader import loads
from assistant.recipe.yaml_places import MOST_BYTES
from assistant.screens.dry.dialogs import Window
from assistant.screens.dry.outside import CantDo, Offered, Outside

_QUIET = 0.25
"""Seconds without a key after which the text is read: at every key a long recipe would be read for nothing."""


class RecipeText(Window):
    """The text, and under it what is wrong; ends with the recipe's name where it was saved."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+s", "save", "save"), Binding("escape", "leave", "back")]

    def __init__(self, outside: Outside, offered: Offered) -> None:
        super().__init__(offered.name + ("" if offered.own else " (came with the program: copy it to change it)"))
        self.outside = outside
        self.offered = offered
        self._saved: str | None = None
        self._kept = read_text(offered.file, MOST_BYTES, "utf-8-sig")
        self._faults: list[Fault] = []
        self._reading: Timer | None = None

    def content(self) -> ComposeResult:
        """Text above, faults below."""
        yield TextArea(self._kept, read_only=not self.offered.own, show_line_numbers=True, compact=True)
        yield OptionList(id="faults")

    def on_mount(self) -> None:
        """Read it as it stands."""
        self._check()

    @on(TextArea.Changed)
    def _typed(self) -> None:
        if self._reading is not None:
            self._reading.stop()
        self._reading = self.set_timer(_QUIET, self._check)

    def _check(self) -> None:
        text = self.query_one(TextArea).text
        try:
            self._faults = list(loads(text, self.offered.file.name).warnings)
        except BadRecipe as error:
            self._faults = list(error.faults)
        said = [Option(fault.said(self.offered.file.name)) for fault in self._faults]
        self.query_one("#faults", OptionList).set_options(said or [Option("All of it can be read.")])

    @on(OptionList.OptionSelected)
    def _there(self, event: OptionList.OptionSelected) -> None:
        if event.option_index < len(self._faults):
            fault, text = self._faults[event.option_index], self.query_one(TextArea)
            text.move_cursor((max(0, fault.line - 1), max(0, fault.column - 1)), center=True)
            text.focus()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool:
        """What came with the program is only read: no key saves it."""
        return action != "save" or self.offered.own

    def action_save(self) -> None:
        """Write it, whole or with faults: nothing that was typed is lost."""
        self._check()
        text = self.query_one(TextArea).text
        try:
            self.outside.saved(self.offered, text)
        except CantDo as error:
            self.app.notify(str(error), markup=False)
            return
        self._kept, self._saved = text, self.offered.name
        self.app.notify("Saved." if not self._faults else "Saved as it is; what is wrong stands below the text.")

    def may_leave(self) -> bool:
        """Whether all is saved; what is not is asked about once."""
        if self.query_one(TextArea).text == self._kept:
            return True
        self._kept = self.query_one(TextArea).text
        self.app.notify("Not saved yet. Ctrl+S saves; the same key once more leaves it as it was.")
        return False

    def action_leave(self) -> None:
        """Back, once all is saved or given up."""
        if self.may_leave():
            self.dismiss(self._saved)
