"""Small windows over a place: a question, the questions of a first recipe, the sound check. Escape leaves each."""

import contextlib
from collections.abc import Iterator
from typing import ClassVar, Literal

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Button, Footer, Input, RichLog, Static
from textual.worker import get_current_worker

from assistant.recipe.first_recipe import QUESTIONS, written
from assistant.screens.dry import found
from assistant.screens.dry.calculations import Line
from assistant.screens.dry.outside import CantDo, Outside
from assistant.trade.quantities import Misread


class Window(ModalScreen[str | None]):
    """What every such window shares: a title, and Escape."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "back")]
    TITLE_WORDS = ""
    READ = False
    """Whether there is nothing in it but words, which the arrows then move."""

    def content(self) -> ComposeResult:
        """What stands in it."""
        yield from ()

    def compose(self) -> ComposeResult:
        """A frame with a title, and the keys."""
        with VerticalScroll(classes="window", can_focus=self.READ) as frame:
            frame.border_title = self.TITLE_WORDS
            yield from self.content()
        yield Footer(show_command_palette=False, compact=True)

    def action_leave(self) -> None:
        """Leave it as it is."""
        self.dismiss(None)


class AskWindow(Window):
    """One question with an answer in words; `empty` where nothing is an answer too."""

    def __init__(self, question: str, answer: str, *, empty: bool = False) -> None:
        super().__init__()
        self.TITLE_WORDS = question
        self._answer = answer
        self._empty = empty

    def content(self) -> ComposeResult:
        """The line to write on."""
        yield Input(self._answer, compact=True, max_length=80)
        yield Button("Enter: take it", id="take", compact=True)

    @on(Input.Submitted)
    @on(Button.Pressed)
    def _taken(self) -> None:
        answer = self.query_one(Input).value.strip()
        self.dismiss(answer if answer or self._empty else None)


class NewRecipe(Window):
    """Five questions, and a recipe is written."""

    TITLE_WORDS = "A new recipe"

    def __init__(self, outside: Outside) -> None:
        super().__init__()
        self.outside = outside

    def content(self) -> ComposeResult:
        """A line for each question."""
        for question in QUESTIONS:
            yield Line(question, question.start)
        yield Button("Write it", id="write", compact=True)
        yield Static("", id="trouble", markup=False)

    @on(Input.Submitted)
    @on(Button.Pressed)
    def _write(self) -> None:
        answers = {line.field.name: line.text for line in self.query(Line)}
        try:
            self.dismiss(self.outside.new(answers["title"], written(answers)).name)
        except (Misread, CantDo) as error:
            self.query_one("#trouble", Static).update(f"Not written: {error}")


class Hearing(Window):
    """Something is sounded, each line shown when it is heard; Escape stops it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "stop, back")]

    def __init__(self, outside: Outside, title: str, what: Literal["tones", "voice", "check"]) -> None:
        super().__init__()
        self.outside = outside
        self.TITLE_WORDS = title
        self._what = what
        self._going = False

    def content(self) -> ComposeResult:
        """The lines as they come."""
        yield RichLog(wrap=True, markup=False, highlight=False, min_width=0)

    def on_mount(self) -> None:
        """Begin."""
        self.sound()

    def sound(self) -> None:
        """Sound it once more."""
        if not self._going:
            self._going = True
            self._sound()

    @work(thread=True)
    def _sound(self) -> None:
        worker = get_current_worker()
        lines = self.outside.heard(self._what)
        try:
            for line in lines:
                if worker.is_cancelled:
                    return
                found.show(self, self._line, line)
        except CantDo as error:
            if not worker.is_cancelled:
                found.show(self, self._line, str(error))
        finally:
            self._going = False
            with contextlib.suppress(Exception):
                if isinstance(lines, Iterator) and hasattr(lines, "close"):
                    lines.close()

    def _line(self, line: str) -> None:
        self.query_one(RichLog).write(line)

    def action_leave(self) -> None:
        """Be silent, and back."""
        self.workers.cancel_node(self)
        self.dismiss(None)


class SoundCheck(Hearing):
    """A voice, then the pip; the printer says whether both were heard."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y,enter", "heard", "I hear both", show=False),
        Binding("n", "unheard", "no", show=False),
        Binding("r", "sound", "once more", show=False),
    ]

    def __init__(self, outside: Outside) -> None:
        super().__init__(outside, "Sound check: do you hear the voice and the pip?", "check")

    def content(self) -> ComposeResult:
        """What can be answered."""
        with Horizontal(classes="answers"):
            yield Button("y yes", id="yes", compact=True)
            yield Button("n no", id="no", compact=True)
            yield Button("r once more", id="more", compact=True)
        yield from super().content()

    @on(Button.Pressed)
    def _answered(self, event: Button.Pressed) -> None:
        {"yes": self.action_heard, "no": self.action_unheard, "more": self.action_sound}[str(event.button.id)]()

    def action_heard(self) -> None:
        """All is well."""
        self.action_leave()

    def action_unheard(self) -> None:
        """Say what to look at."""
        self._line("Is the output the right one, switched on and turned up? Set up has output, player and volume.")

    def action_sound(self) -> None:
        """Hear it once more."""
        self.sound()
