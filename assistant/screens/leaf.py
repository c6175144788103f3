"""A screen of the dry side: one pane, worked by keys alone and drawn anew after each of them. Knows no topic."""

import textwrap
from typing import ClassVar, TypeVar

from textual import events
from textual.app import App, ComposeResult

from assistant.screens import keyparser
from assistant.screens.drawing import Row
from assistant.screens.pane import PLAIN, Pane, peak_of

Found = TypeVar("Found")


class Leaf(App[Found]):
    """What every such screen shares; each says what its keys do and how it is drawn."""

    CSS = PLAIN
    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = None
    ON_KEYS: ClassVar[tuple[str, ...]] = ()
    """What the keys do, a line each; F1 shows it, and any key puts it away."""

    def __init__(self, peak: int) -> None:
        super().__init__()
        self.helped = False
        self.pane = Pane(peak)

    def pressed(self, key: str, character: str | None) -> None:
        """A key was pressed."""
        raise NotImplementedError

    def rows(self, width: int, height: int) -> list[Row]:
        """All rows of the window."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """The one widget."""
        yield self.pane

    def on_resize(self) -> None:
        """Draw for the new size, once all know it."""
        self.call_after_refresh(self._show)

    async def on_event(self, event: events.Event) -> None:
        """Every key is the screen's own, before any widget sees it."""
        if isinstance(event, events.Key):
            event.stop()
            if self.helped or event.key == "f1":
                self.helped = not self.helped
            else:
                self.pressed(event.key, event.character)
            self._show()
        elif not isinstance(event, events.MouseEvent):
            await super().on_event(event)

    def _show(self) -> None:
        width, height = self.size
        if width and height:
            self.pane.show(self._help(width, height) if self.helped else self.rows(width, height))

    def _help(self, width: int, height: int) -> list[Row]:
        rows = [Row(line) for text in self.ON_KEYS for line in textwrap.wrap(text, width, subsequent_indent="    ")]
        rows += [Row("")] * (height - 1 - len(rows))
        return [*rows[: height - 1], Row("any key: back"[:width], "dim")]


def page_of(rows: list[Row], page: int, room: int, key: str) -> list[Row]:
    """As many rows as there is room for; where that is not all, a page of them, and which key shows the next."""
    if len(rows) <= room or room < 2:
        return rows[: max(0, room)]
    pages = [rows[i : i + room - 1] for i in range(0, len(rows), room - 1)]
    which = page % len(pages)
    return [*pages[which], Row(f"(page {which + 1} of {len(pages)}: {key})", "dim")]


def dry_peak(level: str, gated: bool) -> int:
    """The brightest red of a dry screen that is about to be shown, and the keyboard read rightly from here on."""
    keyparser.install()
    return peak_of(level, gated)
