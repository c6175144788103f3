"""The Textual face of a session: paints a face when it has changed, turns keys and clicks into happenings.

It decides nothing. Red on black, one widget, no colour but through the three strengths of a row.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from textual import events
from textual.app import App, ComposeResult
from textual.timer import Timer

from assistant.conductor.conductor import Conductor
from assistant.history.course import course_of
from assistant.history.summary import true_times
from assistant.score import words
from assistant.score.cues import Cue, Rank
from assistant.screens import keyparser, keys
from assistant.screens.drawing import Row, draw
from assistant.screens.pane import PLAIN, Pane, peak_of
from assistant.screens.touches import Hand, Touches, waited
from assistant.session import happenings as h
from assistant.session.commands import KEYS, TOLD
from assistant.session.script import typed
from assistant.terminal import brightness
from assistant.terminal.brightness import peak

DARKER = ("setup", "work", "paper", "blackout")


@dataclass(frozen=True)
class Seen:
    """How a session is to be seen and touched: the level to begin with, and the named keys.

    `gated` where what leaves the program is dimmed on its way to the terminal: full reds are painted then. `button` is the
    key of a pedal: never anything but a tap.
    """

    level: str = "paper"
    gated: bool = False
    bound: Mapping[str, str] = field(default_factory=lambda: KEYS)
    button: str = ""


class SessionApp(App[None]):
    """A session on the screen, from its first tap to its last."""

    CSS = PLAIN
    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = None

    def __init__(
        self, conductor: Conductor, hand: Hand, seen: Seen | None = None, *, waited: Callable[[float], int] = waited
    ) -> None:
        super().__init__()
        self.conductor = conductor
        self.seen = seen or Seen()
        self.level = self._told_level = self.seen.level
        self.wet_side = Pane(peak_of(self.level, self.seen.gated))
        self._named = {key: name for name, key in self.seen.bound.items()}
        self._touches = Touches(hand)
        self._waited = waited
        self._pressed = 0
        self._timer: Timer | None = None
        self._line: str | None = None
        self._help = False
        self._complaint = ""

    def compose(self) -> ComposeResult:
        """The one widget."""
        yield self.wet_side

    def on_mount(self) -> None:
        """Begin to look, and to ring the terminal's bell where no sound can command; a guarded terminal has none."""
        self.conductor.listeners.append(self._heard)
        self._look()

    def on_resize(self) -> None:
        """Draw for the new size, once all know it."""
        self.call_after_refresh(self._show)

    def _print_error_renderables(self) -> None:
        """A fault is raised by `run_session`; nothing of it is painted."""

    def on_ready(self) -> None:
        """Ask the terminal to report how long keys are down."""
        if self._driver is not None and not self.is_headless:
            self._driver.write(keyparser.ASK_RELEASES)

    async def on_event(self, event: events.Event) -> None:
        """Every key and every press of a mouse button is the printer's, before any widget sees it."""
        if isinstance(event, events.Key):
            event.stop()
            self._pressed = self._moment(event)
            self._key(event.key, event.character)
        elif isinstance(event, events.MouseDown):
            event.stop()
            self._pressed = self._moment(event)
            self._touches.touch("mouse", self._pressed, releases=True)
        elif isinstance(event, (keyparser.KeyUp, events.MouseUp)):
            self._touches.let_go("mouse" if isinstance(event, events.MouseUp) else event.key, self._moment(event))
        elif isinstance(event, keyparser.KeyRepeat):
            self._touches.again(event.key, self._moment(event))
        elif isinstance(event, keyparser.KeyboardReports):
            self._touches.releases = event.releases
        elif isinstance(event, events.MouseEvent):
            return
        else:
            await super().on_event(event)
            return
        self.call_later(self._after)

    def _moment(self, event: events.Event) -> int:
        return max(0, self.conductor.now() - self._waited(event.time))

    def _look(self) -> None:
        """Bring the session up to now, show it, and look again when something will have changed."""
        self.conductor.beat()
        self._touches.hand.beat(self.conductor.now())
        self._after()

    def _wake(self) -> None:
        """One timer, set anew after every look and every key: a hand may have brought the next moment nearer."""
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(max(0.02, self._wait() / 1000), self._look)

    def _heard(self, cue: Cue) -> None:
        if cue.sound.rank is Rank.ACT and self.conductor.trouble():
            self.bell()

    def _wait(self) -> int:
        """Until the next cue or change, the button's own, or until the large time shows another second (ms)."""
        urgent, due = self.conductor.face().urgent, self._touches.hand.due()
        waits = [self.conductor.wake_in()]
        if due is not None:
            waits.append(max(0, due - self.conductor.now()))
        if urgent is not None:
            past = urgent.ms % 1000
            waits.append(1001 - past if urgent.up else past or 1000)
        return min(waits)

    def _show(self) -> None:
        width, height = self.size
        if width and height:
            face = self.conductor.face()
            if not self._lit_for(face.light):
                self.wet_side.show([])
                return
            summary = tuple(map(true_times, course_of(self.conductor.bench).sheets)) if face.finished else ()
            rows = draw(face, width, height, self._line, self._help, summary, self.seen.bound)
            if self._complaint:
                rows[-1] = Row(self._complaint[:width], "bright")
            self.wet_side.show(rows)

    def _lit_for(self, safe: str) -> bool:
        """Set the level that holds now, total darkness before all; whether anything is shown at it."""
        level = "blackout" if safe == "none" else self.level
        if level != self._told_level:
            self._told_level = level
            self.wet_side.show([])
            if not brightness.set_level(level):
                self.wet_side.lit(peak(level))
        return level != "blackout"

    def _darker(self) -> None:
        """The next darker level; from the darkest back to the brightest, or to `paper` while paper could see it."""
        following = DARKER[(DARKER.index(self.level) + 1) % len(DARKER)]
        exposed = following == DARKER[0] and self.conductor.face().light != "white"
        self.level = "paper" if exposed else following
        if self.level == "blackout":
            self.conductor.remark(words.SCREEN_OFF)

    def _key(self, key: str, character: str | None) -> None:
        self._complaint = ""
        name = "" if key == self.seen.button else self._named.get(character or key, self._named.get(key, ""))
        if self._line is not None and key != self.seen.button:
            self._touches.resting(key, self._pressed)
            self._type(key, character)
        elif key == "ctrl+c":
            self._tell(h.End())
        elif key in ("escape", "ctrl+l", "ignore") or self._touches.still_down(key, self._pressed, bool(name)):
            return
        elif name:
            self._do(name)
        else:
            self._touches.touch(key, self._pressed, releases=self._touches.releases)

    def _do(self, name: str) -> None:
        self._help = self._help and name == "help"  # an answer is not hidden
        if keys.NAMES[name].types:
            self._line = keys.NAMES[name].types
        elif name == "help":
            self._help = not self._help
        elif name == "level":
            self._darker()
        else:
            self._tell(TOLD[name](self.conductor.bench))

    def _after(self) -> None:
        """Shown only when every waiting key was told: showing brings the session up to now, past their moments."""
        self._show()
        if self.conductor.bench.ended:
            self.exit()
        else:
            self._wake()

    def on_app_blur(self) -> None:
        """The keys go elsewhere, and a pedal's with them."""
        self._touches.lost()
        self._complaint = "This window does not hear the keys: click on it."
        self.conductor.remark(words.KEYS_LOST)
        self._show()

    def on_app_focus(self) -> None:
        """The keys are back."""
        if self._complaint:
            self.conductor.remark(words.KEYS_BACK)
        self._complaint = ""
        self._show()

    def _tell(self, happening: h.Happening) -> None:
        self.conductor.tell(happening, self._pressed)

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
            self._tell(TOLD["moved"](self.conductor.bench) if line.strip() == "moved" else typed(line))
        except ValueError as error:
            self._complaint = str(error)


def run_session(conductor: Conductor, hand: Hand, seen: Seen | None = None) -> None:
    """Show a session until it is over; ValueError for a level that is unknown."""
    app = SessionApp(conductor, hand, seen)
    keyparser.install()
    app.run(mouse=True)
    if app._exception is not None:
        raise app._exception  # a fault of the screen ends no session
