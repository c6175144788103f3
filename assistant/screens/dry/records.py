"""The place where one looks back: the sessions in a table, and what is kept of one. Changes nothing."""

from functools import partial
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widget import Widget
from textual.widgets import DataTable, Input, Label, Static

from assistant.history.past import STAYS, Along, course, first_tones, notable, stays, toning
from assistant.history.printed import Printed, Session
from assistant.history.search import found
from assistant.screens.drawing import packed, wrapped
from assistant.screens.dry import plots
from assistant.screens.dry.lines import Fitted, Lines, Listed, cell
from assistant.screens.dry.outside import CantDo, Outside
from assistant.trade.foreign_text import as_text

NOTHING = (
    "Nothing has been printed yet.",
    "",
    "F2 leads to the recipes; Enter prints one. Each copy's true times, toning along the edition, temperatures and notes "
    "are then kept here.",
)
KNOWN = "words or a date: 2031 slipway"
"""What can be found: title, negative, paper, notes, baths, the day as it is listed."""
HIGH = 14
"""Rows of a curve: so that its title, its axis and the next one fit a window of 30 rows."""


def _curve(one: Along) -> Fitted:
    def made(width: int) -> list[str]:
        drawn = plots.along(one.times, one.levels, width, HIGH, one.called)
        return [as_text(one.title), *packed(one.listed, width, ", "), *drawn, *wrapped([one.said] if one.said else [], width)]

    return Fitted(made, classes="curve")


class Records(Widget):
    """Sessions above, or those in which the words are found that one types; the one that is marked below."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "find", "find", key_display="/"),
        Binding("escape", "all", "show all", key_display="esc"),
    ]

    def __init__(self, outside: Outside, number: int | None = None) -> None:
        super().__init__(id="records", classes="place")
        self.outside = outside
        self._number = number
        self._trouble = ""
        self._seen, self._words = 0, ""
        try:
            self.sessions = outside.sessions()
        except CantDo as error:
            self.sessions, self._trouble = (), str(error)

    def compose(self) -> ComposeResult:
        """A table and a scroll, or what to do where nothing is kept."""
        if not self.sessions:
            yield Lines("nothing", [self._trouble] if self._trouble else NOTHING)
            return
        with Vertical():
            yield Listed("session", "begun", "sheets", "title", "", id="sessions")
            yield VerticalScroll(id="session", can_focus=True)
            with Horizontal(id="finding"):
                yield Label("find")
                yield Input(placeholder=KNOWN, compact=True, id="find", max_length=80)

    def on_mount(self) -> None:
        """All sessions; only the one looked at is read."""
        if self.sessions:
            self._list("")
            table = self.query_one(Listed)
            if str(self._number) in table.rows:
                table.move_cursor(row=table.get_row_index(str(self._number)))
            elif self._number is not None:
                self.app.notify(f"Session {self._number} is a trial: it is left out here.")

    def _list(self, words: str) -> None:
        table = self.query_one(Listed)
        table.clear()
        for one in self.sessions:
            if not words or self._has(one, words):
                ended = "" if one.ended is not None else "not ended"
                begun, number = f"{one.started:%Y-%m-%d %H:%M}", str(one.number)
                table.add_row(number, begun, str(one.copies), cell(one.title), ended, key=number)

    def _has(self, session: Session, words: str) -> bool:
        """Whether these words are in it; one that can't be read is left out of nothing."""
        try:
            return found(self.outside.printed(session), words)
        except CantDo:
            return True

    @on(Input.Changed, "#find")
    async def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self._words = event.value
        self.refresh_bindings()
        self._list(event.value)
        if not self.query_one(Listed).row_count:
            self._seen = 0
            await self._show(Lines("none", ["No session has all of these words: esc shows all."]))

    @on(Input.Submitted, "#find")
    def _found(self, event: Input.Submitted) -> None:
        event.stop()
        self.query_one("#sessions").focus()

    def action_find(self) -> None:
        """Type words to find a session by."""
        self.query("#find").first().focus()

    def action_all(self) -> None:
        """All sessions again."""
        self.query_one("#find", Input).value = ""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool:
        """Escape leads back where all are shown."""
        return action != "all" or bool(self._words)

    @on(DataTable.RowHighlighted, "#sessions")
    async def _another(self, event: DataTable.RowHighlighted) -> None:
        event.stop()
        if event.row_key not in self.query_one(Listed).rows:  # typed on since: it is listed no longer
            return
        one = next(one for one in self.sessions if str(one.number) == event.row_key.value)
        if one.number != self._seen:
            self._seen = one.number
            try:
                shown = _shown(self.outside.printed(one))
            except CantDo as error:
                shown = [Lines("unread", [str(error)])]
            await self._show(*shown)

    async def _show(self, *shown: Widget) -> None:
        room = self.query_one("#session", VerticalScroll)
        await room.remove_children()
        await room.mount_all(shown)
        room.scroll_home(animate=False)

    @on(DataTable.RowSelected, "#sessions")
    def _into(self, event: DataTable.RowSelected) -> None:
        """Enter leads into the session, to be scrolled."""
        event.stop()
        self.query_one("#session").focus()


def _shown(past: Printed) -> list[Widget]:
    """What is kept of a session, as widgets."""
    session = past.session
    shown: list[Widget] = [Static(as_text(f"{session.title}: session {session.number}"), classes="title", markup=False)]
    if past.trouble:
        shown.append(Fitted(partial(wrapped, past.trouble.splitlines()), classes="fault"))
    shown.append(Static(course(past), classes="second", markup=False))
    shown += [_curve(along) for along in (*toning(past), *first_tones(past))]
    for heading, lines in notable(past):
        if lines:
            shown.append(Fitted(partial(wrapped, [heading, *(f"  {line}" for line in lines)]), classes="listed"))
    table: DataTable[str | Text] = DataTable(classes="stays", show_cursor=False, show_row_labels=False)
    table.add_columns(past.called, *STAYS)
    for row in stays(past):
        table.add_row(*map(cell, row))
    return [*shown, Static(f"Every {past.called}'s true times", classes="heading", markup=False), table]
