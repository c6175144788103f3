"""The Textual face of a session: paints a face when it has changed, turns keys and clicks into happenings.

It decides nothing. Red on black, one widget, no colour but through the three strengths of a row.
"""

import asyncio
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from textual import events
from textual.app import ComposeResult

from assistant.buttons.one_button import OneButton
from assistant.conductor.conductor import Conductor
from assistant.history.summary import summary
from assistant.score import words
from assistant.score.cues import Cue, Rank
from assistant.screens import keyparser, keys
from assistant.screens.bare import Bare
from assistant.screens.pane import PLAIN, Pane, peak_of
from assistant.screens.touches import Touches, waited
from assistant.screens.wet_side import Shown, draw
from assistant.session import happenings as h
from assistant.session.commands import TOLD
from assistant.session.hands import FOR_HANDS
from assistant.session.named_keys import KEYS, TOO_SOON
from assistant.session.script import typed
from assistant.terminal import brightness
from assistant.terminal.brightness import peak

LINE_QUIET = 5_000
"""ms without a key after which a line that was opened closes: about a breath and a half; common practice, no source."""
DARKER = ("setup", "work", "paper", "blackout")
"""The levels, each darker than the one before."""


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
    ears: Callable[[], None] | None = None
    """Closes the ears of a session worked by voice, or opens them."""


class SessionApp(Bare[None]):
    """A session on the screen, from its first tap to its last."""

    CSS = PLAIN
    AUTO_FOCUS = None
    ASKED = keyparser.ASK_RELEASES

    def __init__(
        self, conductor: Conductor, hand: OneButton, seen: Seen | None = None, *, waited: Callable[[float], int] = waited
    ) -> None:
        super().__init__()
        self.conductor = conductor
        self.seen = seen or Seen()
        self.level, self._told_level = self.seen.level, ""
        self.wet_side = Pane(peak_of(self.level, self.seen.gated))
        self._named = {key: name for name, key in self.seen.bound.items()}
        self._touches = Touches(hand)
        self._waited = waited
        self._pressed = 0
        self._alarm: asyncio.TimerHandle | None = None
        self._face = conductor.face()
        self._typing, self._line = "", ""
        self._opened = self._quiet_at = 0
        self._help, self._complaint = False, ""

    def compose(self) -> ComposeResult:
        """The one widget."""
        yield self.wet_side

    def on_mount(self) -> None:
        """Begin to look, and to ring the terminal's bell where no sound can command; a guarded terminal has none."""
        self.conductor.listeners.append(self._heard)
        brightness.session_begins()
        self._look()

    def on_resize(self) -> None:
        """Draw for the new size, once all know it."""
        self.call_after_refresh(self._show)

    async def on_event(self, event: events.Event) -> None:
        """Every key and every press of a mouse button is the printer's, before any widget sees it."""
        if isinstance(event, events.Key | events.MouseDown):
            event.stop()
            self._pressed = self._moment(event)
            if isinstance(event, events.Key):
                self._key(event.key, event.character)
            else:
                self._touch("mouse", releases=True)
        elif isinstance(event, keyparser.KeyReport):
            (self._touches.again if event.down else self._touches.let_go)(event.key, self._moment(event))
        elif isinstance(event, keyparser.KeyboardReports):
            self._touches.releases = event.releases
        elif isinstance(event, events.MouseUp) or (isinstance(event, events.MouseMove) and not event.button):
            self._touches.let_go("mouse", self._moment(event))  # where it moves with no button down the release was lost
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
        if self._typing and self.conductor.now() >= self._quiet_at:
            self._close_line()
        self._after()

    def _wake(self) -> None:
        """One alarm, set anew after every look and every key: a hand may have brought the next moment nearer.

        A timer of the toolkit is a task of its own, and costs as much as drawing the screen does.
        """
        if self._alarm is not None:
            self._alarm.cancel()
        wait = max(0.02, self._wait() / 1000)  # seconds: fifty looks a second are enough for the eye
        self._alarm = asyncio.get_running_loop().call_later(wait, self.call_later, self._look)

    def _heard(self, cue: Cue) -> None:
        act = cue.sound.rank is Rank.ACT
        if act and self.conductor.trouble():
            self.bell()
        if self._help and (act or cue.kind in FOR_HANDS):
            self._close_help(cue.at)

    def _wait(self) -> int:
        """Until the next cue or change, the button's own, or until the time that is shown is another second (ms)."""
        face, due = self._face, self._touches.hand.due()
        waits = [self.conductor.wake_in()]
        if self._typing:
            waits.append(max(0, self._quiet_at - self.conductor.now()))
        if due is not None:
            waits.append(max(0, due - self.conductor.now()))
        if face.urgent is not None:
            past = face.urgent.ms % 1000
            waits.append(1001 - past if face.urgent.up else (past or 1000) + 1)  # a clock in whole ms may wake early
        elif face.coming:
            waits.append((face.coming[0].within % 1000 or 1000) + 1)
        return min(waits)

    def _show(self) -> None:
        face, (width, height) = self.conductor.face(), self.wet_side.size or self.size
        self._face = face
        if width and height:
            if not self._lit_for(face.light):
                self.wet_side.show([])
                return
            times = tuple(summary(self.conductor.bench)) if face.finished else ()
            named = keys.NAMES.get(self._typing)
            line = f"{named.types}{self._line}" if named else None
            shown = Shown(line, named.form if named else "", self._help, self._complaint, times, self.seen.bound)
            self.wet_side.show(draw(face, width, height, shown))

    def _lit_for(self, safe: str) -> bool:
        """Set the level that holds now, total darkness before all; whether anything is shown at it.

        While white light is safe for all, what is shown beside paper may be read from farther away.
        """
        raised = "work" if safe == "white" and self.level == "paper" else self.level
        level = "blackout" if safe == "none" else raised
        if level != self._told_level:
            self._told_level = level
            self.wet_side.show([])
            if not brightness.set_level(level):
                self.wet_side.peak = peak(level)
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
        name = "" if key == self.seen.button else self._named.get(key, self._named.get(_letter(key, character), ""))
        in_line = bool(self._typing) and key != self.seen.button
        if in_line and self._typed(key, character):
            return
        if self._help and key == "escape" and key != self.seen.button:
            self._close_help(self._pressed)
        elif key == "ctrl+c":
            self._tell(h.End())
        elif not in_line and self._touches.still_down(key, self._pressed, bool(name)):
            self._complaint = TOO_SOON if name else ""
        elif name:
            self._do(name)
        else:
            self._touch(key, releases=self._touches.releases)

    def _touch(self, key: str, *, releases: bool) -> None:
        self._help = False  # an answer is not hidden
        self._touches.touch(key, self._pressed, releases=releases)

    def _close_help(self, at: int) -> None:
        """An Esc that comes just after is still meant for the help, and no tap."""
        self._help = False
        self._touches.resting("escape", at)

    def _do(self, name: str) -> None:
        self._help = name == "help" and not self._help
        if keys.NAMES[name].types:
            self._typing, self._line = name, ""
            self._opened, self._quiet_at = self._pressed, self._pressed + LINE_QUIET
            self.conductor.remark(words.LINE_OPENED[name])
        elif name == "level":
            self._darker()
        elif name == "ears" and self.seen.ears is not None:
            self.seen.ears()
        elif name in TOLD:
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

    def _typed(self, key: str, character: str | None) -> bool:
        """Whether a key belongs to the line that is open; what can only be meant as a tap closes it while it is empty."""
        opened_again = self._named.get(_letter(key, character)) == self._typing and not self._line
        if self._touches.resting(key, self._pressed) and opened_again:
            return True  # the key that opened it is still down
        self._quiet_at = self._pressed + LINE_QUIET
        if key == "escape":
            self._typing = ""
        elif key == "backspace":
            self._line = self._line[:-1]
        elif not self._line.strip() and (key == "space" or not _letter(key, character)):
            self._typing = ""
            return False
        elif key == "enter":
            self._say()
        else:
            self._line += _letter(key, character)
        return True

    def _close_line(self) -> None:
        """It has been quiet: a note is kept as far as it goes, anything else was not said to its end."""
        if self._typing == "note" and self._line.strip():
            self._pressed = self.conductor.now()
            self._say()
        elif self._line.strip():
            self.conductor.remark(words.LINE_CLOSED)
        self._typing = ""

    def _say(self) -> None:
        """Seconds ago count from the key that opened the line, as they would from the first word. All else is told when its
        line is ended: of a note only its place among the others counts.
        """
        line, self._typing = f"{keys.NAMES[self._typing].types}{self._line}", ""
        try:
            told = typed(line)
            typing = self._pressed - self._opened
            self._tell(replace(told, ago=told.ago + typing) if isinstance(told, h.Moved) else told)
        except ValueError as error:
            self._complaint = str(error)


def _letter(key: str, character: str | None) -> str:
    """What a key types, "" for one that types nothing; with Alt it is another key."""
    return character if character and character.isprintable() and not key.startswith("alt+") else ""


def run_session(conductor: Conductor, hand: OneButton, seen: Seen | None = None) -> None:
    """Show a session until it is over; ValueError for a level that is unknown, RuntimeError where the screen ended before it."""
    SessionApp(conductor, hand, seen).until_left()  # a fault of the screen ends no session
    if not conductor.bench.ended:
        raise RuntimeError("the screen ended before its session")
