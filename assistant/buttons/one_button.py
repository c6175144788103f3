"""From gestures of one button to happenings of a session. Knows no terminal: whoever reads the keys calls it with times.

A press is a tap, at its own moment; on a plan on hold it goes on. Held, it takes back its tap and holds the plan; held on a
plan on hold, it asks whether the sheet in hand is void. Stuck, it is said aloud once; a button in use never speaks.
"""

from collections.abc import Callable

from assistant.buttons import button as machine
from assistant.buttons.button import QUIET, Button, Gesture
from assistant.conductor.conductor import Conductor
from assistant.score import words
from assistant.session.happenings import End, Happening, HoldPlan, Tap, Undo


def one_button(conductor: Conductor, quiet: int = QUIET) -> "OneButton":
    """The button of a session; when nothing is left to do, its tap ends it."""

    def tell(happening: Happening, at: int) -> bool:
        over = isinstance(happening, Tap) and conductor.bench.finished
        return not conductor.tell(End() if over else happening, at).refused

    return OneButton(tell, conductor.remark, quiet)


class OneButton:
    """One button, for the whole session. All moments in ms since the session began, each of the event itself.

    `tell` gives a happening at its moment and answers whether it was taken;
    `say` speaks. `quiet` is the pedal's own (`Pedal.quiet`).
    """

    def __init__(
        self,
        tell: Callable[[Happening, int], bool],
        say: Callable[[str], None],
        quiet: int = QUIET,
    ) -> None:
        self._tell, self._say = tell, say
        self._button = Button(quiet=quiet)
        self._tapped = False

    def down(self, at: int, *, releases: bool) -> None:
        """A key or a mouse button went down; `releases` if its way up will be reported."""
        self._heed(machine.down(self._button, at, releases=releases), at)

    def again(self, at: int) -> None:
        """It is reported to be still down."""
        self._heed(machine.again(self._button, at), at)

    def up(self, at: int) -> None:
        """It went up."""
        self._heed(machine.up(self._button, at), at)

    def beat(self, at: int) -> None:
        """Time has passed."""
        self._heed(machine.beat(self._button, at), at)

    def due(self) -> int | None:
        """When `beat` will have something to do; None for not before the next touch."""
        return machine.due(self._button)

    def lost(self) -> None:
        """The keys go to another window."""
        self._button = machine.forget(self._button)

    def _heed(self, told: machine.Pushed, at: int) -> None:
        self._button, gestures = told
        for gesture in gestures:
            self._mean(gesture, at)

    def _mean(self, gesture: Gesture, at: int) -> None:
        if gesture.kind == "press":
            self._tapped = self._tell(Tap(), gesture.at)
        elif gesture.kind == "held":
            if self._tapped:  # a tap that was refused did nothing, and the one before it stands
                self._tell(Undo(), at)
            self._tapped = False
            self._tell(HoldPlan(), at)
        else:
            self._say(words.BUTTON_STUCK if gesture.kind == "stuck" else words.BUTTON_FREE)
