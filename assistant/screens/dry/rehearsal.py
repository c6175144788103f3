"""A rehearsal on the screen: the wet side as it is, its hands played by rules, at a pace that is chosen; nothing is kept."""

from collections.abc import Callable, Mapping

from textual import events
from textual.app import ComposeResult
from textual.widgets import Static

from assistant.buttons.one_button import OneButton
from assistant.conductor.conductor import Conductor
from assistant.screens.app import Seen, SessionApp
from assistant.screens.dry.theme import TEXT, hexed


class Rehearsing(SessionApp):
    """The session's own screen; keys move its time and never the session. `keys` is what each does, `how` says how it goes."""

    CSS = SessionApp.CSS + f" #pace {{ dock: bottom; background: black; color: {hexed(TEXT)}; }}"

    def __init__(
        self, conductor: Conductor, hand: OneButton, seen: Seen, keys: Mapping[str, Callable[[], None]], how: Callable[[], str]
    ) -> None:
        super().__init__(conductor, hand, seen)
        self._keys, self._how = keys, how

    def compose(self) -> ComposeResult:
        """The session's screen, and what the keys do here below it."""
        yield from super().compose()
        yield Static(self._how(), id="pace", markup=False)

    async def on_event(self, event: events.Event) -> None:
        """Keys are the player's; a press of the mouse stops the time or lets it go on."""
        if isinstance(event, (events.Key, events.MouseDown)):
            event.stop()
            self._pressed_here(event.key if isinstance(event, events.Key) else "space")
        elif not isinstance(event, (events.MouseEvent, events.AppBlur, events.AppFocus)):
            await super().on_event(event)

    def _pressed_here(self, key: str) -> None:
        if key in self._keys:
            self._keys[key]()
            self.call_later(self._look)
        elif key in ("escape", "q", "ctrl+c"):
            self.exit()

    def _show(self) -> None:
        super()._show()
        for line in self.query("#pace").results(Static):
            line.update(self._how())

    def _lit_for(self, safe: str) -> bool:
        """Shown in total darkness too: no film is out."""
        return super()._lit_for("safelight" if safe == "none" else safe)
