"""Small windows over a place: lines to fill in, something at work that says how it goes, the sound check. Escape leaves each."""

import contextlib
import re
from collections.abc import Callable, Generator, Sequence
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Button, Footer, Input, ProgressBar, Static
from textual.worker import get_current_worker

from assistant.calculations.topic import Field
from assistant.screens.dry import found
from assistant.screens.dry.calculations import Line
from assistant.screens.dry.lines import cell
from assistant.screens.dry.outside import CantDo, Outside
from assistant.trade.foreign_text import as_text
from assistant.trade.quantities import Misread

PER_CENT = re.compile(r"(\d+) %")
"""A line by which long work says how far it is."""


class Window(ModalScreen[str | None]):
    """What every such window shares: a frame with a title, the keys, and Escape."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss", "back")]
    READ = False
    """Whether there is nothing in it but words, which the arrows then move."""

    def __init__(self, title: str) -> None:
        super().__init__()
        self._framed = title

    def content(self) -> ComposeResult:
        """What stands in it."""
        yield from ()

    def may_leave(self) -> bool:
        """Whether nothing is lost with it; said where something would be."""
        return True

    def compose(self) -> ComposeResult:
        """A frame with a title, and the keys."""
        with VerticalScroll(classes="window", can_focus=self.READ) as frame:
            frame.border_title = cell(self._framed)
            yield from self.content()
        yield Footer(show_command_palette=False, compact=True)


class Form(Window):
    """Lines to fill in and what is done with them; where that can't be, the reason stands under them and nothing is lost."""

    def __init__(self, title: str, fields: Sequence[Field], done: Callable[[dict[str, str]], str]) -> None:
        super().__init__(title)
        self._fields, self._done = fields, done

    def content(self) -> ComposeResult:
        """A line for each field."""
        yield from (Line(field, field.start) for field in self._fields)
        yield Button("Enter: take it", id="take", compact=True)
        yield Static(id="said", markup=False)

    @on(Input.Submitted)
    @on(Button.Pressed)
    def _taken(self) -> None:
        try:
            self.dismiss(self._done({line.field.name: line.text for line in self.query(Line)}))
        except (Misread, CantDo) as error:
            self.query_one("#said", Static).update(cell(f"Not done: {error}"))


class AtWork(Window):
    """Something that sounds or works for long: its lines as they come, how far it is where it says so; Escape stops it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "stop", "stop, back")]
    READ = True

    def __init__(
        self, title: str, outside: Outside, lines: Callable[[int], Generator[str, None, None]], *, far: bool = False
    ) -> None:
        super().__init__(title)
        self._far = far
        self._outside, self._lines = outside, lines
        self._going, self._said = False, ""

    def content(self) -> ComposeResult:
        """How far it is, and what it says."""
        yield ProgressBar(total=100, show_eta=False)
        yield Static("Escape stops it.", id="said", markup=False)

    def on_mount(self) -> None:
        """Begin when it is known how wide it is."""
        self.query_one(ProgressBar).display = self._far
        self.call_after_refresh(self.action_again)

    def action_again(self) -> None:
        """Begin, unless it is at work."""
        if not self._going:
            self._going, self._said = True, ""
            self._work(self.query_one("#said").size.width)

    @work(thread=True)
    def _work(self, columns: int) -> None:
        worker = get_current_worker()
        try:
            with contextlib.closing(self._lines(columns)) as lines:
                for line in lines:
                    if worker.is_cancelled:
                        return
                    found.show(self, self._came, line)
        except CantDo as error:
            if not worker.is_cancelled:
                found.show(self, self._came, str(error))
        finally:
            self._going = False

    def _came(self, line: str) -> None:
        far, bar = PER_CENT.fullmatch(line), self.query_one(ProgressBar)
        bar.display = far is not None
        if far:
            bar.update(progress=int(far[1]))
        else:
            self._said += f"{as_text(line)}\n"
            self.query_one("#said", Static).update(self._said)

    def action_stop(self) -> None:
        """Stop it, or leave what is done."""
        if self._going:
            self.app.notify("Stopped.")
        self.dismiss(None)

    def on_unmount(self) -> None:
        """Nothing goes on that nobody waits for."""
        if self._going:
            self._outside.stop()


class SoundCheck(AtWork):
    """A voice, then the pip; the printer says whether both were heard."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y,enter", "dismiss", "I hear both", show=False),
        Binding("n", "unheard", "no", show=False),
        Binding("r", "again", "once more", show=False),
    ]

    def __init__(self, outside: Outside) -> None:
        super().__init__("Sound check: do you hear the voice and the pip?", outside, lambda _: outside.heard("check"))

    def content(self) -> ComposeResult:
        """What can be answered."""
        with Horizontal(classes="answers"):
            yield Button("y yes", action="screen.dismiss", compact=True)
            yield Button("n no", action="screen.unheard", compact=True)
            yield Button("r once more", action="screen.again", compact=True)
        yield from super().content()

    def action_unheard(self) -> None:
        """Say what to look at."""
        self._came("Is the output the right one, switched on and turned up? Set up has output, player and volume.")
