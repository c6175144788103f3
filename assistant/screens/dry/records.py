"""The place where one looks back: the sessions in a table, and what is kept of one. Changes nothing."""

from functools import partial

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.widget import Widget
from textual.widgets import DataTable, Static

from assistant.history.printed import Printed
from assistant.screens.dry import plots
from assistant.screens.dry.lines import Fitted, Lines, cell, wrapped
from assistant.screens.dry.outside import Outside, Refused
from assistant.screens.past import STAYS, Along, course, first_tones, notable, stays, toning
from assistant.trade.foreign_text import as_text

NOTHING = (
    "Nothing has been printed yet.",
    "",
    "F2 leads to the recipes; Enter prints one. Each copy's true times, toning along the edition, temperatures and notes "
    "are then kept here.",
)
HIGH = 14
"""Rows of a curve: so that its title, its axis and the next one fit a window of 30 rows."""


def _curve(one: Along) -> Fitted:
    def made(width: int) -> list[str]:
        drawn = plots.along(one.times, one.levels, width, HIGH)
        return [as_text(one.title), *drawn, *wrapped([one.said] if one.said else [], width)]

    return Fitted(made, classes="curve")


class Records(Widget):
    """Sessions above, the one that is marked below."""

    def __init__(self, outside: Outside, number: int | None = None) -> None:
        super().__init__(id="records", classes="place")
        self.outside = outside
        self._number = number
        self._trouble = ""
        self._seen: Printed | None = None
        try:
            self.sessions = outside.sessions()
        except Refused as error:
            self.sessions, self._trouble = (), str(error)

    def compose(self) -> ComposeResult:
        """A table and a scroll, or what to do where nothing is kept."""
        if not self.sessions:
            yield Lines("nothing", [self._trouble] if self._trouble else NOTHING)
            return
        with Vertical():
            table: DataTable[str | Text] = DataTable(id="sessions", cursor_type="row", show_row_labels=False)
            table.add_columns("session", "begun", "copies", "title", "")
            yield table
            yield VerticalScroll(id="session", can_focus=True)

    def on_mount(self) -> None:
        """All sessions; only the one looked at is read."""
        if self.sessions:
            table = self.query_one("#sessions", DataTable)
            for place, (number, begun, copies, title, ended) in enumerate(self.outside.listed()):
                table.add_row(str(number), begun, str(copies), cell(title), "" if ended else "not ended", key=str(place))
            if self._number is not None:
                numbers = [row[0] for row in self.outside.listed()]
                table.move_cursor(row=numbers.index(self._number) if self._number in numbers else 0)

    @on(DataTable.RowHighlighted, "#sessions")
    async def _another(self, event: DataTable.RowHighlighted) -> None:
        event.stop()
        past = self.sessions[event.cursor_row]
        if past is self._seen:
            return
        self._seen = past
        room = self.query_one("#session", VerticalScroll)
        await room.remove_children()
        await room.mount_all(_shown(past))
        room.scroll_home(animate=False)

    @on(DataTable.RowSelected, "#sessions")
    def _into(self, event: DataTable.RowSelected) -> None:
        """Enter leads into the session, to be scrolled."""
        event.stop()
        self.query_one("#session").focus()

    def first(self) -> Widget:
        """Where the keys go when the place is come to."""
        return self.query("#sessions, #nothing").first()


def _shown(past: Printed) -> list[Widget]:
    """What is kept of a session, as widgets."""
    session = past.session
    found: list[Widget] = [Static(as_text(f"{session.title}: session {session.number}"), classes="title", markup=False)]
    if past.trouble:
        found.append(Fitted(partial(wrapped, past.trouble.splitlines()), classes="fault"))
    found.append(Static(course(past), classes="second", markup=False))
    found += [_curve(along) for along in (*toning(past), *first_tones(past))]
    for heading, lines in notable(past):
        if lines:
            found.append(Fitted(partial(wrapped, [heading, *(f"  {line}" for line in lines)]), classes="listed"))
    table: DataTable[str | Text] = DataTable(classes="stays", show_cursor=False, show_row_labels=False)
    table.add_columns(*STAYS)
    for row in stays(past):
        table.add_row(*map(cell, row))
    return [*found, Static("Every copy's true times", classes="heading", markup=False), table]
