"""The Textual face of a session: paints a face when it has changed, turns keys and clicks into happenings.

It decides nothing. Red on black, one widget, no colour but through the three strengths of a row.
"""

from collections.abc import Callable

from textual import events
from textual.app import App, ComposeResult
from textual.timer import Timer

from assistant.conductor.conductor import Conductor
from assistant.score.cues import Cue, Rank
from assistant.screens import keyparser
from assistant.screens.drawing import Row, draw, tenths
from assistant.screens.pane import PEAKS, PLAIN, Pane
from assistant.session import happenings as h
from assistant.session.copy import Copy
from assistant.session.script import typed

RESTING = 750
"""A key that comes again within this time (ms) is a resting glove, not a second tap."""
TYPED = {"v": "void ", "m": "moved ", "n": "note ", "t": "reading ", "p": "pick "}
"""Keys that begin a line to be typed, and how the line begins."""

JUST_NOW = "moved 5s"
"""What a bare `moved` means: a hand needs about so long to reach a key."""


def waited(pressed: float) -> int:
    """How long a key has waited to be looked at (ms): a terminal that stops reading holds the screen up, not the hand."""
    now = events.Event().time  # by the clock that stamps keys, which is not the same one on every system
    return max(0, int((now - pressed) * 1000))


class SessionApp(App[None]):
    """A session on the screen, from its first tap to its last."""

    CSS = PLAIN
    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = None

    def __init__(self, conductor: Conductor, peak: int = PEAKS["paper"], waited: Callable[[float], int] = waited) -> None:
        super().__init__()
        self.conductor = conductor
        self._waited = waited
        self._pressed = 0
        self.wet_side = Pane(peak)
        self._timer: Timer | None = None
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
        if isinstance(event, (events.Key, events.MouseDown)):
            self._pressed = max(0, self.conductor.now() - self._waited(event.time))
        if isinstance(event, events.Key):
            event.stop()
            self._key(event.key, event.character)
            return
        if isinstance(event, events.MouseDown):
            event.stop()
            self._tap()
            self.call_later(self._after)
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
        self._wake()

    def _wake(self) -> None:
        """One timer, set anew after every look and every key: a hand may have brought the next moment nearer."""
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(max(0.02, self._wait() / 1000), self._look)

    def _heard(self, cue: Cue) -> None:
        if cue.sound.rank is Rank.ACT and self.conductor.trouble():
            self.bell()

    def _wait(self) -> int:
        """Until the next cue or change, or until the large time shows another second (ms)."""
        urgent = self.conductor.face().urgent
        if urgent is None:
            return self.conductor.wake_in()
        past = urgent.ms % 1000
        return min(self.conductor.wake_in(), 1001 - past if urgent.up else past or 1000)

    def _show(self) -> None:
        width, height = self.size
        if width and height:
            face = self.conductor.face()
            summary = tuple(true_times(copy) for copy in self.conductor.bench.copies) if face.finished else ()
            rows = draw(face, width, height, self._line, self._help, summary)
            if self._complaint:
                rows[-1] = Row(self._complaint[:width], "bright")
            self.wet_side.show(rows)

    def _key(self, key: str, character: str | None) -> None:
        self._complaint = ""
        if self._line is not None:
            self._type(key, character)
        elif key == "ctrl+c":
            self._tell(h.End())
        elif character in TYPED:
            self._resting()
            self._line = TYPED[character]
        elif character == "?":
            self._help = not self._help
        elif character in COMMANDS:
            if not self._resting():
                self._tell(COMMANDS[character](self.conductor))
        elif key not in ("escape", "ctrl+l") and key != "ignore":
            self._tap()
        self.call_later(self._after)

    def _after(self) -> None:
        """Shown only when every waiting key was told: showing brings the session up to now, past their moments."""
        self._show()
        if self.conductor.bench.ended:
            self.exit()
        else:
            self._wake()

    def on_app_blur(self) -> None:
        """The keys go elsewhere, and a pedal's with them."""
        self._complaint = "This window does not hear the keys: click on it."
        self._show()

    def on_app_focus(self) -> None:
        """The keys are back."""
        self._complaint = ""
        self._show()

    def _tap(self) -> None:
        if self._resting():
            return
        over = self.conductor.bench.finished
        self._tell(h.End() if over else h.Tap())

    def _tell(self, happening: h.Happening) -> None:
        self.conductor.tell(happening, self._pressed)

    def _resting(self) -> bool:
        resting, self._last = self._pressed - self._last < RESTING, self._pressed
        return resting

    def _type(self, key: str, character: str | None) -> None:
        assert self._line is not None
        self._resting()  # a key of the line that is held down must not end as a tap
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
            self._tell(typed(JUST_NOW if line.strip() == "moved" else line))
        except ValueError as error:
            self._complaint = str(error)


COMMANDS: dict[str | None, Callable[[Conductor], h.Happening]] = {
    "a": lambda conductor: h.SayAgain(),
    "l": lambda conductor: h.HowLong(),
    "h": lambda conductor: h.Go() if conductor.bench.held else h.Hold(),
    "u": lambda conductor: h.Undo(),
    "e": lambda conductor: h.End(),
}


def true_times(copy: Copy) -> str:
    """One copy's stays as they truly were, with what was wrong with them."""
    state = "" if copy.done else " (void)" if copy.void else " (not finished)"
    stays = (f"{stay.name.lower()} {tenths(stay.lasted)}{_MARKS[stay.verdict]}" for stay in copy.stays)
    return f"copy {copy.number}{state}: " + (", ".join(stays) or "not begun")


_MARKS = {"good": "", "void": "", "short": " short", "long": " long"}


def run_session(conductor: Conductor, *, level: str = "paper", gated: bool = False) -> None:
    """Show a session until it is over; `level` is how bright the screen may be, ValueError for one unknown.

    `gated` where what leaves the program is dimmed on its way to the terminal: full reds are painted then.
    """
    if level not in PEAKS:
        raise ValueError(f"No level is called {level!r}; the levels are {', '.join(PEAKS)}.")
    keyparser.install()
    app = SessionApp(conductor, 255 if gated else PEAKS[level])
    app.run(mouse=True)
    if app.return_code:
        raise SystemExit(70)  # "internal software error" of sysexits.h: a fault of the screen ends no session
