"""The Textual face of a session: paints a face when it has changed, turns keys and clicks into happenings.

It decides nothing. Red on black, one widget, no colour but through the three strengths of a row.
"""

from collections.abc import Callable

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.app import App, ComposeResult
from textual.strip import Strip
from textual.widget import Widget

from assistant.conductor.conductor import Conductor
from assistant.score.cues import Cue, Rank
from assistant.screens.drawing import Row, draw
from assistant.session import happenings as h
from assistant.session.script import typed

RESTING = 750
"""A key that comes again within this time (ms) is a resting glove, not a second tap."""
SHADES = {"bright": "#FF0000", "text": "#C80000", "dim": "#8C0000"}
STYLES = {name: Style(color=shade, bgcolor="#000000") for name, shade in SHADES.items()}
TYPED = {"v": "void ", "m": "moved ", "n": "note ", "t": "reading ", "p": "pick "}
"""Keys that begin a line to be typed, and how the line begins."""


class WetSide(Widget):
    """The rows of the running session."""

    DEFAULT_CSS = "WetSide { width: 100%; height: 100%; background: #000000; color: #C80000; }"
    rows: tuple[Row, ...] = ()
    paints = 0

    def show(self, rows: list[Row]) -> None:
        """Show these rows; nothing is painted when they are the same."""
        if tuple(rows) != self.rows:
            self.rows = tuple(rows)
            self.paints += 1
            self.refresh()

    def render_line(self, y: int) -> Strip:
        """One row of the window."""
        row = self.rows[y] if y < len(self.rows) else Row("")
        return Strip([Segment(row.text.ljust(self.size.width), STYLES[row.strength])], self.size.width)


class SessionApp(App[None]):
    """A session on the screen, from its first tap to its last."""

    CSS = "Screen { background: #000000; color: #C80000; } * { link-color: #C80000; }"
    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = None

    def __init__(self, conductor: Conductor) -> None:
        super().__init__()
        self.conductor = conductor
        self.wet_side = WetSide()
        self._line: str | None = None
        self._help = False
        self._last = -RESTING
        self._complaint = ""

    def compose(self) -> ComposeResult:
        """The one widget."""
        yield self.wet_side

    def on_mount(self) -> None:
        """Begin to look, and to ring the terminal's bell where no sound can command."""
        self.conductor.listeners.append(self._heard)
        self._look()

    def on_resize(self) -> None:
        """Draw for the new size."""
        self._show()

    async def on_event(self, event: events.Event) -> None:
        """Every key and every press of a mouse button is the printer's, before any widget sees it."""
        if isinstance(event, events.Key):
            event.stop()
            self._key(event.key, event.character)
            return
        if isinstance(event, events.MouseDown):
            event.stop()
            self._tap()
            return
        if isinstance(event, events.MouseEvent):
            return
        await super().on_event(event)

    def _look(self) -> None:
        """Bring the session up to now, show it, and look again when something will have changed."""
        self.conductor.beat()
        self._show()
        if self.conductor.bench.ended:
            self.exit()
            return
        self.set_timer(max(0.02, self._wait() / 1000), self._look)

    def _heard(self, cue: Cue) -> None:
        if cue.sound.rank is Rank.ACT and self.conductor.trouble():
            self.bell()

    def _wait(self) -> int:
        """At the next cue or change, and at every full second while a time is shown."""
        return min(self.conductor.wake_in(), 1000 - self.conductor.now() % 1000 + 5)

    def _show(self) -> None:
        width, height = self.size
        if width and height:
            rows = draw(self.conductor.face(), width, height, self._line, self._help)
            if self._complaint:
                rows[-1] = Row(self._complaint[:width], "bright")
            self.wet_side.show(rows)

    def _key(self, key: str, character: str | None) -> None:
        self._complaint = ""
        if self._line is not None:
            self._type(key, character)
        elif key == "ctrl+c":
            self.conductor.tell(h.End())
        elif character in TYPED:
            self._line = TYPED[character]
        elif character == "?":
            self._help = not self._help
        elif character in COMMANDS:
            if not self._resting():
                self.conductor.tell(COMMANDS[character](self.conductor))
        elif key not in ("escape", "ctrl+l") and key != "ignore":
            self._tap()
        self._show()
        if self.conductor.bench.ended:
            self.exit()

    def _tap(self) -> None:
        if self._resting():
            return
        over = self.conductor.bench.finished
        self.conductor.tell(h.End() if over else h.Tap())
        self._show()

    def _resting(self) -> bool:
        now = self.conductor.now()
        resting, self._last = now - self._last < RESTING, now
        return resting

    def _type(self, key: str, character: str | None) -> None:
        assert self._line is not None
        if key == "escape":
            self._line = None
        elif key == "backspace":
            self._line = self._line[:-1]
        elif key == "enter":
            line, self._line = self._line, None
            self._say(line)
        elif character and character.isprintable():
            self._line += character

    def _say(self, line: str) -> None:
        try:
            self.conductor.tell(typed(line))
        except ValueError as error:
            self._complaint = str(error)


COMMANDS: dict[str | None, Callable[[Conductor], h.Happening]] = {
    "a": lambda conductor: h.SayAgain(),
    "l": lambda conductor: h.HowLong(),
    "h": lambda conductor: h.Go() if conductor.bench.held else h.Hold(),
    "u": lambda conductor: h.Undo(),
    "e": lambda conductor: h.End(),
}


def run_session(conductor: Conductor, *, level: str = "paper") -> None:
    """Show a session until it is over; `level` is how bright the screen may be."""
    SessionApp(conductor).run(mouse=True)
