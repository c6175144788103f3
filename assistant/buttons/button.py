"""The one-button machine: what a finger, a glove or a foot does with one key becomes four gestures. Pure; time is given.

`press` is told at once and stamped with the moment of the touch. `held` after 1.2 s: it takes back what its press did.
`stuck` after 8 s: nothing more is heard until the button is free. Taps that follow too soon upon one another are one.
There is no double tap: it could not be told from a key that repeats.

Two kinds of button. One reports its release (a mouse button, a keyboard with the progressive keyboard protocol). The
other only repeats while it is held: a gap of 250 to 1000 ms, then an event every 30 to 92 ms.
"""

from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

HELD = 1_200
"""ms from the touch to `held`: longer than a slow press, shorter than a count-in. Common practice, no source."""
STUCK = 8_000
"""ms from the touch to `stuck`: nobody holds a button for so long on purpose. Common practice, no source."""
QUIET = 750
"""ms without a touch before another one counts: a wet hand taps twice within it. Common practice, no source."""
BOUNCE = 80
"""ms after a reported release in which contacts may bounce: worn ones do for some tens. From memory."""
REPEATING = 130
"""ms: touches that follow closer than this are a key that repeats (every 30 to 92 ms), not a finger."""
REPEATS = 3
"""So many in a row are needed to be sure of it."""

GestureKind = Literal["press", "held", "stuck", "free"]
"""A touch that counts; one that goes on, and goes on too long; the end of that."""


class Gesture(NamedTuple):
    """What was meant, and the moment (ms) it is stamped with: of the touch for all but `free`."""

    kind: GestureKind
    at: int


@dataclass(frozen=True)
class Button:
    """A button as it is known at its last event. All moments in ms on one clock; None where there was none.

    `quiet` is longer than `QUIET` where the key's first repeat comes later than that (see `pedal.Pedal`).
    """

    quiet: int = QUIET
    since: int | None = None
    """When the touch began that the finger is still in, as far as is known."""
    releases: bool = False
    """Whether that touch will report its release."""
    last: int | None = None
    """The last event of any kind."""
    locked: int | None = None
    """Until when a touch does not count."""
    pressed: int = 0
    """The touch that counted last."""
    repeats: int = 0
    """How many events in a row came as close as a key repeats."""
    told: Literal["", "held", "stuck"] = ""
    """What was told of that touch since."""


Pushed = tuple[Button, tuple[Gesture, ...]]
"""The button after an event, and what was meant by it."""


def down(button: Button, at: int, *, releases: bool) -> Pushed:
    """A touch. Where releases are not reported, a key's repeat is a touch like any other."""
    at = _not_before(button, at)
    button, heard = beat(button, at)
    if button.since is not None and (button.releases or at - (button.last or 0) <= button.quiet):
        button, more = _goes_on(button, at)
        return button, heard + more
    counts = button.locked is None or at >= button.locked
    button = replace(button, since=at, releases=releases, last=at, locked=at + (QUIET if releases else button.quiet), repeats=0)
    if not counts:
        return button, heard
    return replace(button, pressed=at, told=""), (*heard, Gesture("press", at))


def again(button: Button, at: int) -> Pushed:
    """A repeat that is reported as one: the button is still down."""
    at = _not_before(button, at)
    button, heard = beat(button, at)
    return replace(button, last=at), heard


def up(button: Button, at: int) -> Pushed:
    """A reported release; nothing if no touch that reports it is under way."""
    at = _not_before(button, at)
    button, heard = beat(button, at)
    if button.since is None or not button.releases:
        return button, heard
    if button.told == "stuck":
        heard = (*heard, Gesture("free", at))
    locked = max(button.locked or 0, at + BOUNCE)
    return replace(button, since=None, last=at, locked=locked, told="held" if button.told else ""), heard


def forget(button: Button) -> Button:
    """The window lost the keys: whatever is down, its release will never be heard."""
    return replace(button, since=None, told="held" if button.told else "")


def due(button: Button) -> int | None:
    """When `beat` has something to say if nothing is touched before; None for never."""
    if button.since is None:
        return None
    if button.releases:
        return _ripe(button)
    return (button.last or 0) + button.quiet + 1 if button.told == "stuck" else None


def beat(button: Button, at: int) -> Pushed:
    """Time has passed. May be called early, late, or not at all before the next event."""
    heard: tuple[Gesture, ...] = ()
    while (moment := due(button)) is not None and moment <= at:
        if button.releases:
            button, gesture = _riper(button)
        else:
            button, gesture = replace(button, since=None, told="held"), Gesture("free", moment)
        heard = (*heard, gesture)
    return button, heard


def _not_before(button: Button, at: int) -> int:
    """Events of two devices may come in the wrong order; time does not go back for it."""
    return at if button.last is None else max(at, button.last)


def _goes_on(button: Button, at: int) -> Pushed:
    """The touch under way goes on: a repeat, a bounce, hammering, or another key beside one that is held."""
    if button.releases:
        return replace(button, last=at), ()
    repeats = button.repeats + 1 if at - (button.last or 0) <= REPEATING else 0
    button = replace(button, last=at, locked=at + button.quiet, repeats=repeats)
    heard: tuple[Gesture, ...] = ()
    while repeats >= REPEATS and (moment := _ripe(button)) is not None and moment <= at:
        button, gesture = _riper(button)
        heard = (*heard, gesture)
    return button, heard


def _ripe(button: Button) -> int | None:
    """When the touch under way, still down, becomes the next worse thing."""
    assert button.since is not None
    return {"": button.since + HELD, "held": button.since + STUCK, "stuck": None}[button.told]


def _riper(button: Button) -> tuple[Button, Gesture]:
    kind: Literal["held", "stuck"] = "stuck" if button.told else "held"
    return replace(button, told=kind), Gesture(kind, button.pressed)
