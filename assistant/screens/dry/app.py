"""The app of the dry side: four places under a row of names, and the way out of it."""

from typing import ClassVar, cast, get_args

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.filter import LineFilter
from textual.reactive import Reactive
from textual.widget import Widget
from textual.widgets import ContentSwitcher, Footer, Tab, Tabs

from assistant.screens.bare import Bare
from assistant.screens.dry.outside import Chosen, DryState, Elsewhere, Outside, PlaceName
from assistant.screens.dry.theme import REDS, OnlyReds
from assistant.terminal.brightness import LEVELS

PLACES: tuple[PlaceName, ...] = get_args(PlaceName)
NAMES: dict[PlaceName, str] = {"print": "Print", "calculate": "Calculate", "records": "Records", "setup": "Set up"}
ROOM = 42
"""Columns that the names take with their keys beside them."""
Left = Chosen | Elsewhere
"""What the app ends with; None where the printer leaves."""


def named(width: int) -> list[str]:
    """What stands on the row of names in a window so wide."""
    return [NAMES[place] + (f" F{i}" if width >= ROOM else "") for i, place in enumerate(PLACES, 2)]


class Names(Tabs):
    """The row of names: arrows lead along it, and down, or a click on a name, into its place."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down,enter", "app.into", "into the place", key_display="↓"),
        Binding("escape", "app.back", "leave"),
    ]

    def on_resize(self) -> None:
        """A phone's width has no room for the keys beside the names."""
        for tab, label in zip(self.query(Tab), named(self.app.size.width), strict=True):
            tab.label = label

    async def on_tab_clicked(self, event: Tab.Clicked) -> None:
        """A click leads into the place, not onto the row."""
        event.prevent_default()
        event.stop()
        await self.run_action(f"app.go('{event.tab.id}')")


class DrySide(Bare[Left]):
    """Print, Calculate, Records, Set up, before any paper is out; `most` is the brightest red that may be painted, 8-bit."""

    TITLE = "traycall"
    CSS_PATH = "dry.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-tiny"), (56, "-narrow"), (84, "-wide")]  # noqa: RUF012, declared so by Textual
    theme = Reactive(REDS.name, init=False)
    """One theme from the beginning: one that is set is a change, for which all style sheets are read once more."""
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(f"f{i}", f"go('{place}')", NAMES[place], show=False) for i, place in enumerate(PLACES, 2)),
        Binding("f1", "keys", "keys"),
        Binding("escape", "back", "back"),
        Binding("ctrl+c,ctrl+q", "quit", "leave", show=False, priority=True),
    ]

    def __init__(self, outside: Outside, state: DryState | None = None, most: int = LEVELS["setup"]) -> None:
        super().__init__()
        self.outside = outside
        self.state = state or DryState()
        self._reds = OnlyReds(most)
        self.animation_level = "none"  # what glides is looked at, and is somewhere else at every look
        self._leads_in = True
        """Whether the keys go into the place that is opened next; by arrows they stay on the row of names."""
        self.register_theme(REDS)
        self.stylesheet.set_variables(self.get_css_variables())

    def get_line_filters(self) -> list[LineFilter]:
        """Nothing but red is painted."""
        return [self._reds]

    def compose(self) -> ComposeResult:
        """The row of names, one place at a time, the keys of what has the focus."""
        labels = named(self.size.width)  # of its width from the beginning, or the line stays where a longer name stood
        yield Names(*(Tab(label, id=place) for label, place in zip(labels, PLACES, strict=True)), active=self.state.place)
        yield ContentSwitcher(id="places")
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        """Something came of a visit elsewhere: say it."""
        if self.state.said:
            self.notify(self.state.said, markup=False)

    @on(Tabs.TabActivated)
    async def _activated(self, event: Tabs.TabActivated) -> None:
        await self._open(cast("PlaceName", event.tab.id))

    async def _open(self, place: PlaceName) -> None:
        if self._exit:
            return  # a key has left it while the place was on its way
        switcher = self.query_one(ContentSwitcher)
        if not switcher.query_children(f"#{place}"):
            await switcher.add_content(self._made(place), id=place)
        switcher.current = place
        if self._leads_in:
            self._leads_in = False
            self.call_after_refresh(self.action_into)

    def _made(self, place: PlaceName) -> Widget:
        """A place is made when it is first come to, and what only it needs is read then."""
        if place == "calculate":
            from assistant.screens.dry.calculations import Calculations

            return Calculations()
        if place == "records":
            from assistant.screens.dry.records import Records

            return Records(self.outside, self.state.session)
        if place == "setup":
            from assistant.screens.dry.setup import SetUp

            return SetUp(self.outside)
        from assistant.screens.dry.printing import Printing

        return Printing(self.outside, self.state)

    def action_go(self, place: PlaceName) -> None:
        """Into a place."""
        names = self.query_one(Names)
        self._leads_in = names.active != place
        if self._leads_in:
            names.active = place
        else:
            self.action_into()

    def action_into(self) -> None:
        """Give the keys to the place that is seen."""
        self.query_one(ContentSwitcher).query(f"#{self.query_one(ContentSwitcher).current} *").focus()

    def action_keys(self) -> None:
        """Show what the keys do."""
        from assistant.screens.dry.key_list import KeyList

        self.push_screen(KeyList(self.screen))

    async def action_quit(self) -> None:
        """Leave at once; only a window in which something would be lost asks first."""
        from assistant.screens.dry.dialogs import Window

        if not isinstance(self.screen, Window) or self.screen.may_leave():
            self.exit()

    async def action_back(self) -> None:
        """To the row of names, and from there out."""
        names = self.query_one(Names)
        if names.has_focus:
            self.exit()
        else:
            names.focus()
