"""The place for settings: everything the settings file has, checked as it is typed and written when a line is left."""

from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import ItemGrid, VerticalScroll
from textual.suggester import SuggestFromList
from textual.widget import Widget
from textual.widgets import Button, Input, Select, Static

from assistant.calculations.topic import Field
from assistant.screens.dry import found
from assistant.screens.dry.calculations import Line
from assistant.screens.dry.dialogs import AtWork, SoundCheck
from assistant.screens.dry.outside import CantDo, DryState, Elsewhere, Outside

CAN_BE_DONE = {
    "voice": "hear the voice",
    "tones": "learn the tones",
    "check": "sound check",
    "align": "measure the delay",
    "pedal": "learn the pedal",
}
"""Action -> what it says on its button."""


class One(Line):
    """One setting: a line that says what is wrong as it is typed, and is kept when it is left."""

    def __init__(self, outside: Outside, field: Field, value: str) -> None:
        super().__init__(field, value)
        self.outside = outside
        self._kept = value

    @on(Input.Submitted)
    @on(Input.Blurred)
    @on(Select.Changed)
    def _left(self, event: Input.Submitted | Input.Blurred | Select.Changed) -> None:
        event.stop()
        event.prevent_default()  # or the line would say what it is, and not that it is kept
        text = str(event.value)
        if text == self._kept or self.wrong(text):
            return
        try:
            self.outside.put(self.field.name, text)
        except CantDo as error:
            self.said(str(error))
            return
        self._kept = text
        self.said("kept")

    def wrong(self, text: str) -> str:
        """What the settings say of it."""
        return self.outside.wrong(self.field.name, text)


class SetUp(Widget):
    """What can be tried, and all settings under it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "app.focus_next", show=False),
        Binding("up", "app.focus_previous", show=False),
    ]

    def __init__(self, outside: Outside) -> None:
        super().__init__(id="setup", classes="place")
        self.outside = outside

    def compose(self) -> ComposeResult:
        """Buttons, then a line for each setting."""
        with ItemGrid(min_column_width=22, id="tried"):
            for action, words in CAN_BE_DONE.items():
                yield Button(words, id=action, compact=True)
        with VerticalScroll(can_focus=False):
            try:
                settings = self.outside.settings()
            except CantDo as error:
                yield Static(str(error), markup=False)
                return
            for field, value in settings:
                yield One(self.outside, field, value)

    def on_mount(self) -> None:
        """Which voices there are takes a moment to find out."""
        self._voices()

    @work(thread=True)
    def _voices(self) -> None:
        names = self.outside.voices()
        found.show(self, self._suggest, names)

    def _suggest(self, names: list[str]) -> None:
        for one in self.query(One):
            if one.field.name == "voice":
                one.query_one(Input).suggester = SuggestFromList(names, case_sensitive=False)

    @on(Button.Pressed)
    def _try(self, event: Button.Pressed) -> None:
        event.stop()
        what = event.button.id
        if what == "voice":
            self.app.push_screen(AtWork("The voice", self.outside, lambda _: self.outside.heard("voice")))
        elif what == "tones":
            self.app.push_screen(AtWork("Every tone with its meaning", self.outside, lambda _: self.outside.heard("tones")))
        elif what == "check":
            self.app.push_screen(SoundCheck(self.outside))
        else:
            self.app.exit(Elsewhere("align" if what == "align" else "pedal", DryState("setup")))
