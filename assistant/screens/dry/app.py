"""The app of the dry side: four places under a row of names, and the way out of it."""

from typing import ClassVar, cast, get_args

from textual import on
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.filter import LineFilter
from textual.widget import Widget
from textual.widgets import ContentSwitcher, Footer, HelpPanel, Tab, Tabs

from assistant.screens import keyparser
from assistant.screens.dry.outside import Chosen, Elsewhere, Outside, Place, State
from assistant.screens.dry.theme import REDS, OnlyReds
from assistant.terminal.brightness import LEVELS, peak

PLACES: tuple[Place, ...] = get_args(Place)
NAMES: dict[Place, str] = {"print": "Print", "reckon": "Reckon", "records": "Records", "setup": "Set up"}
Left = Chosen | Elsewhere
"""What the app ends with; None where the printer leaves."""


class DrySide(App[Left]):
    """Print, Reckon, Records, Set up."""

    ENABLE_COMMAND_PALETTE = False
    TITLE = "traycall"
    CSS_PATH = "dry.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-tiny"), (56, "-narrow"), (84, "-wide")]  # noqa: RUF012, declared so by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(f"f{i}", f"go('{place}')", NAMES[place], show=False) for i, place in enumerate(PLACES, 2)),
        Binding("f1", "keys", "keys"),
        Binding("escape", "back", "back, leave"),
        Binding("ctrl+c,ctrl+q", "quit", "leave", show=False, priority=True),
    ]

    def __init__(self, outside: Outside, state: State | None = None, most: int = LEVELS["setup"]) -> None:
        super().__init__()
        self.outside = outside
        self.state = state or State()
        self._reds = OnlyReds(most)
        self.register_theme(REDS)
        self.theme = REDS.name

    def get_line_filters(self) -> list[LineFilter]:
        """Nothing but red is painted."""
        return [self._reds]

    def _print_error_renderables(self) -> None:
        """A fault is raised by `dry_side`; nothing of it is painted."""

    def compose(self) -> ComposeResult:
        """The row of names, one place at a time, the keys of what has the focus."""
        yield Tabs(*(Tab(f"{NAMES[place]} F{i}", id=place) for i, place in enumerate(PLACES, 2)), active=self.state.place)
        yield ContentSwitcher(id="places")
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        """Something came of a visit elsewhere: say it."""
        if self.state.said:
            self.notify(self.state.said, markup=False)

    @on(Tabs.TabActivated)
    async def _activated(self, event: Tabs.TabActivated) -> None:
        await self._open(cast("Place", event.tab.id))

    async def _open(self, place: Place) -> None:
        switcher = self.query_one(ContentSwitcher)
        if not switcher.query_children(f"#{place}"):
            await switcher.add_content(self._made(place), id=place)
        switcher.current = place
        first = getattr(switcher.query_one(f"#{place}"), "first", None)
        if callable(first):
            self.call_after_refresh(lambda: cast("Widget", first()).focus())

    def _made(self, place: Place) -> Widget:
        """A place is made when it is first come to, and what only it needs is read then."""
        if place == "reckon":
            from assistant.screens.dry.reckoning import Reckoning

            return Reckoning()
        if place == "records":
            from assistant.screens.dry.records import Records

            return Records(self.outside, self.state.session)
        if place == "setup":
            from assistant.screens.dry.setup import SetUp

            return SetUp(self.outside)
        from assistant.screens.dry.printing import Printing

        return Printing(self.outside, self.state)

    def action_go(self, place: Place) -> None:
        """To a place."""
        self.query_one(Tabs).active = place

    def action_keys(self) -> None:
        """Show what the keys do, or put that away."""
        if self.screen.query(HelpPanel):
            self.action_hide_help_panel()
        else:
            self.action_show_help_panel()

    async def action_back(self) -> None:
        """To the row of names, and from there out."""
        tabs = self.query_one(Tabs)
        if self.screen.query(HelpPanel):
            self.action_hide_help_panel()
        elif tabs.has_focus:
            self.exit()
        else:
            tabs.focus()


def dry_side(outside: Outside, state: State | None = None, *, level: str = "setup", gated: bool = False) -> Left | None:
    """Let the printer prepare, before any paper is out; None where they leave. Level and gate as in `run_session`."""
    keyparser.install()
    app = DrySide(outside, state, 255 if gated else peak(level))  # a gate dims what leaves
    left = app.run()
    if app._exception is not None:
        raise app._exception
    return left
