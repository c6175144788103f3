"""A rehearsal on the screen: the wet side as it is, its hands played by rules, at a pace that is chosen; nothing is kept."""

from typing import Protocol

from textual import events
from textual.app import ComposeResult
from textual.widgets import Static

from assistant.conductor.conductor import Conductor
from assistant.screens import keyparser
from assistant.screens.app import Seen, SessionApp
from assistant.screens.dry.theme import TEXT, hexed
from assistant.screens.touches import Presses


class Pacer(Protocol):
    """Who moves the time of a rehearsal."""

    @property
    def pace(self) -> float:
        """How many times real speed."""
        ...

    @property
    def paused(self) -> bool:
        """Whether time stands still."""
        ...

    @property
    def sounding(self) -> bool:
        """Whether it is heard."""
        ...

    def faster(self) -> None:
        """The next pace."""
        ...

    def slower(self) -> None:
        """The pace before."""
        ...

    def pause(self) -> None:
        """Stop, or go on."""
        ...

    def step(self) -> None:
        """To the next thing that is heard, done or ends, and stop there."""
        ...

    def sound(self) -> None:
        """Sound on, at real speed, or off."""
        ...


class Rehearsing(SessionApp):
    """The session's own screen; keys move its time and never the session."""

    CSS = SessionApp.CSS + f" #pace {{ dock: bottom; height: 1; background: black; color: {hexed(TEXT)}; }}"

    def __init__(self, conductor: Conductor, hand: Presses, seen: Seen, player: Pacer) -> None:
        super().__init__(conductor, hand, seen)
        self.player = player

    def compose(self) -> ComposeResult:
        """The session's screen, and a line for what the keys do here."""
        yield from super().compose()
        yield Static(id="pace", markup=False)

    async def on_event(self, event: events.Event) -> None:
        """Keys are the player's; a press of the mouse stops the time or lets it go on."""
        if isinstance(event, events.Key):
            event.stop()
            self._pressed_here(event.key)
        elif isinstance(event, events.MouseDown):
            event.stop()
            self._pressed_here("space")
        elif not isinstance(event, (events.MouseEvent, events.AppBlur, events.AppFocus)):
            await super().on_event(event)

    def _pressed_here(self, key: str) -> None:
        done = {
            "space": self.player.pause,
            "right": self.player.step,
            "n": self.player.step,
            "plus": self.player.faster,
            "minus": self.player.slower,
            "up": self.player.faster,
            "down": self.player.slower,
            "s": self.player.sound,
        }.get(key)
        if done is not None:
            done()
            self.call_later(self._look)
        elif key in ("escape", "q", "ctrl+c"):
            self.exit()

    def _show(self) -> None:
        super()._show()
        how = "stopped" if self.player.paused else f"{self.player.pace:g}x"
        sound = "on" if self.player.sounding else "off"
        for line in self.query("#pace").results(Static):
            line.update(f"rehearsal {how}  esc leave  space stop/go  + - pace  n next  s sound {sound}")

    def _lit_for(self, safe: str) -> bool:
        """Shown in total darkness too: no film is out."""
        return super()._lit_for("safelight" if safe == "none" else safe)


def rehearse_seen(conductor: Conductor, hand: Presses, seen: Seen, player: Pacer) -> None:
    """Show a rehearsal until the printer leaves it."""
    app = Rehearsing(conductor, hand, seen, player)
    keyparser.install()
    app.run(mouse=True)
    if app._exception is not None:
        raise app._exception
