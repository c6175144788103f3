"""The place where a session is prepared: recipes in a table, the card of one, and what can be done with it."""

from typing import TYPE_CHECKING, ClassVar, Literal

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, ItemGrid, VerticalScroll
from textual.validation import Integer
from textual.widget import Widget
from textual.widgets import Button, DataTable, Input, Label, Select

from assistant.screens.dry import found
from assistant.screens.dry.lines import Choice, Lines, Listed, cell
from assistant.screens.dry.outside import COPIES, Chosen, DryState, Elsewhere, Offered, Outside
from assistant.terminal.brightness import LEVELS

if TYPE_CHECKING:
    from assistant.screens.dry.card import Read

NO_OWN = "These came with the program. c copies one for you to change, n begins a new one."
READING = "One moment: it is being read."
SAFE_FOR = {"setup": "no paper", "work": "paper boxed", "paper": "paper out", "blackout": "nothing shown"}
"""Level -> where the paper is meanwhile."""

CAN_BE_DONE = {
    "text": ("v", "look at it"),
    "copy": ("c", "copy it"),
    "new": ("n", "new recipe"),
    "editor": ("e", "your editor"),
    "rehearse": ("t", "rehearse it"),
    "plan": ("p", "plan it"),
    "sound_file": ("w", "sound file"),
    "check": ("s", "sound check"),
    "baths": ("h", "baths"),
}
"""Action -> its key, and what it says on its button."""
COPIES_GROUP = Binding.Group("copies", compact=True)
"""Two keys under one word, so that a phone's width has room for all of the last row."""


class Recipes(Listed):
    """The recipes; Enter prints the one that is marked."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select_cursor", "print", key_display="enter")]


class Printing(Widget):
    """Recipes to the left, the card to the right; one above the other in a narrow window."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("plus", "more(1)", "one copy more", key_display="+", group=COPIES_GROUP),
        Binding("minus", "more(-1)", "one copy less", key_display="-", group=COPIES_GROUP),
        Binding("b", "brighter", "brightness beside the trays", show=False),
        *(Binding(key, action, words, show=False) for action, (key, words) in CAN_BE_DONE.items()),
    ]

    def __init__(self, outside: Outside, state: DryState) -> None:
        super().__init__(id="print", classes="place")
        self.outside = outside
        self.state = state
        self.offered: dict[str, Offered] = {}
        self.read: dict[str, Read] = {}
        self._carded = ""
        """The recipe whose card is shown: a key may come before it is known that another one is marked."""

    def compose(self) -> ComposeResult:
        """A table, what can be set, and the card."""
        yield Recipes("recipe", "copies", "title", id="recipes")
        with VerticalScroll(id="card", can_focus=True):
            with Horizontal(id="sets"):
                yield Label("copies")
                valid = Integer(*COPIES, failure_description=f"write {COPIES[0]} to {COPIES[1]}")
                yield Input(id="copies", type="integer", max_length=2, validators=[valid], compact=True)
                yield Label("brightness")
                levels = [(f"{level} ({SAFE_FOR[level]})", level) for level in LEVELS]
                yield Choice(levels, value=self.state.level, allow_blank=False, compact=True, id="level")
            yield Button("Print it", id="go", compact=True, disabled=True)
            with ItemGrid(min_column_width=16, id="actions"):
                for action, (key, words) in CAN_BE_DONE.items():
                    yield Button(f"{key} {words}", id=action, compact=True)
            yield Lines("needs")

    def on_mount(self) -> None:
        """The recipes, and the baths over them where these are wanted."""
        self.fill()
        if self.state.baths:
            self.action_baths()

    def fill(self, at: str = "") -> None:
        """List the recipes anew, and look at one."""
        wanted = at or self.looked_at or self.state.recipe
        self.offered = {one.name: one for one in self.outside.recipes()}
        table = self.query_one(Recipes)
        table.clear()
        self.read.clear()
        self._carded = ""
        for name in self.offered:
            table.add_row(cell(name), "", "", key=name)
        if wanted in self.offered:
            table.move_cursor(row=table.get_row_index(wanted))
        self.call_after_refresh(self._read_all)  # the names are seen first: what reads a recipe takes a moment to come

    @work(thread=True, exclusive=True)
    def _read_all(self) -> None:
        """What stands in each: nothing heavy is imported before the app is seen."""
        from assistant.plain_files import read_text
        from assistant.recipe.yaml_places import MOST_BYTES
        from assistant.screens.dry import card

        for one in list(self.offered.values()):
            try:
                text = read_text(one.file, MOST_BYTES, "utf-8-sig")
            except (OSError, UnicodeDecodeError) as error:
                read = card.Read(None, (f"{one.file} can't be read: {error}",))
            else:
                read = card.read(text, one.file.name)
            found.show(self, self._known, one.name, read)

    def _known(self, name: str, read: "Read") -> None:
        if name not in self.offered:
            return
        self.read[name] = read
        table = self.query_one(Recipes)
        recipe = read.recipe
        table.update_cell(name, "title", cell(recipe.title if recipe else "has faults"), update_width=True)
        table.update_cell(name, "copies", str(recipe.sheets) if recipe else "", update_width=True)
        if name == self.looked_at:
            self._show_card()

    @property
    def looked_at(self) -> str:
        """The recipe that is marked; "" where there is none."""
        table = self.query_one(Recipes)
        return str(table.coordinate_to_cell_key(table.cursor_coordinate).row_key.value) if table.row_count else ""

    @property
    def copies(self) -> int:
        """How many copies are written for the recipe that is marked; 0 where that is no number of copies."""
        if self._carded != self.looked_at:
            self._show_card()
        written = self.query_one("#copies", Input)
        return int(written.value) if written.value and written.is_valid else 0

    @on(DataTable.RowHighlighted)
    def _another(self, event: DataTable.RowHighlighted) -> None:
        event.stop()
        if self._carded != self.looked_at:
            self._show_card()

    def _show_card(self) -> None:
        read = self.read.get(self.looked_at)
        if read is None:
            self.query_one(Lines).show([READING])
            self.query_one("#go").disabled = True
            return
        self._carded = self.looked_at
        wanted = self.state.copies if self.looked_at == self.state.recipe else 0
        self.query_one("#copies", Input).value = str(wanted or (read.recipe.sheets if read.recipe else 1))
        self._needs()

    @on(Input.Changed, "#copies")
    def _needs(self) -> None:
        read = self.read.get(self.looked_at)
        if read is None:
            return
        wrong = False, [f"Copies: write {COPIES[0]} to {COPIES[1]}."]
        possible, lines = read.needs(self.copies) if self.copies else wrong
        if not any(one.own for one in self.offered.values()):
            lines += ["", NO_OWN]
        self.query_one(Lines).show(lines)
        go = self.query_one("#go", Button)
        go.label = f"Print {self.copies} of {self.looked_at}"
        go.disabled = not possible

    @on(DataTable.RowSelected)
    @on(Button.Pressed, "#go")
    @on(Input.Submitted, "#copies")
    def _print(self, event: DataTable.RowSelected | Button.Pressed | Input.Submitted) -> None:
        event.stop()
        if self._possible():
            self.app.exit(Chosen(self.looked_at, self.copies, self._level))

    def _possible(self) -> bool:
        """Whether it can be printed in so many copies; said where it can't."""
        possible = self.copies > 0 and not self.query_one("#go").disabled
        if not possible:
            self.app.notify("It can't be printed like this: its card says why." if self.looked_at in self.read else READING)
        return possible

    @on(Button.Pressed, "#actions Button")
    async def _do(self, event: Button.Pressed) -> None:
        event.stop()
        await self.run_action(str(event.button.id))

    @property
    def _level(self) -> str:
        return str(self.query_one("#level", Select).value)

    def action_more(self, copies: int) -> None:
        """A copy more, or less."""
        written = self.query_one("#copies", Input)
        written.value = str(min(max(self.copies + copies, COPIES[0]), COPIES[1]))

    def action_brighter(self) -> None:
        """The next level."""
        levels = list(LEVELS)
        self.query_one("#level", Select).value = levels[(levels.index(self._level) + 1) % len(levels)]

    def action_text(self) -> None:
        """Look at a recipe's text; one's own can be changed there."""
        from assistant.screens.dry.texts import RecipeText

        one = self.offered[self.looked_at]
        try:
            self.app.push_screen(RecipeText(self.outside, one), self._made)
        except (OSError, UnicodeDecodeError) as error:
            self.app.notify(f"{one.file} can't be read: {error}", markup=False)

    def action_copy(self) -> None:
        """Copy a recipe under a new name."""
        from assistant.calculations.topic import Field
        from assistant.screens.dry.dialogs import Form

        one = self.offered[self.looked_at]
        name = Field("name", str, f"my-{one.name}", "what it is called", f"my-{one.name}")
        copied = Form(f"A copy of {one.name}", [name], lambda said: self.outside.copied(one, said["name"].strip()).name)
        self.app.push_screen(copied, self._made)

    def action_new(self) -> None:
        """A new recipe from five questions."""
        from assistant.recipe.first_recipe import QUESTIONS, written
        from assistant.screens.dry.dialogs import Form

        new = Form("A new recipe", QUESTIONS, lambda said: self.outside.new(said["title"], written(said)).name)
        self.app.push_screen(new, self._made)

    def _made(self, name: str | None) -> None:
        if name:
            self.fill(name)

    def action_editor(self) -> None:
        """Open one's own recipe in one's own editor."""
        if self.offered[self.looked_at].own:
            self._gone("editor")
        else:
            self.app.notify("This one came with the program. Copy it first: c.")

    def action_rehearse(self) -> None:
        """See and hear the whole session at a chosen pace."""
        if self._possible():
            self._gone("rehearse")

    def _gone(self, what: Literal["editor", "rehearse"]) -> None:
        self.app.exit(Elsewhere(what, DryState("print", self.looked_at, self.copies, self._level)))

    def action_sound_file(self) -> None:
        """Write the whole session as a sound file into the present folder."""
        file = f"{self.offered[self.looked_at].file.stem}.wav"
        self._at_work(f"{file} is being written", "rehearse", "--sound", file)

    def action_plan(self) -> None:
        """Plan several copies in the baths at once."""
        self._at_work(f"{self.looked_at}, several copies at once", "plan")

    def _at_work(self, title: str, command: str, *more: str) -> None:
        from assistant.screens.dry.dialogs import AtWork

        recipe = str(self.offered[self.looked_at].file)
        call = [command, recipe, "--copies", str(self.copies or 1), "--progress", *more]
        self.app.push_screen(AtWork(title, self.outside, lambda columns: self.outside.told(call, columns), far=True))

    def action_baths(self) -> None:
        """See the baths, and say what was done with them."""
        from assistant.screens.dry.baths import BathsWindow

        self.app.push_screen(BathsWindow(self.outside))

    def action_check(self) -> None:
        """Hear the voice and the pip."""
        from assistant.screens.dry.dialogs import SoundCheck

        self.app.push_screen(SoundCheck(self.outside))
