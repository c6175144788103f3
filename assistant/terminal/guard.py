"""How a command gets a dark terminal: the process that calls `guard` becomes the supervisor of the program it names."""

import os
import signal
from collections.abc import Callable, Mapping
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.terminal import brightness
from assistant.terminal.brightness import DEFAULT
from assistant.terminal.capabilities import CantBeDark, Terminal
from assistant.terminal.colours import drawable
from assistant.terminal.dark_exit import stay_dark
from assistant.terminal.launched import LAUNCHED
from assistant.terminal.owner import Owner

if TYPE_CHECKING:
    from assistant.terminal.supervisor import Ending

__all__ = ["CantBeDark", "guard"]
_SAID = 2
"""Exit codes up to this one come with a sentence of the program's own."""
RESTARTS = 3
"""So often a session that was cut off is gone on with unasked: its baths run on, and nobody may be looking."""
_FAULT = 70
"""The exit code of an internal fault (`sysexits.h`)."""


def guard(
    argv: list[str],
    level: str = DEFAULT,
    again: list[str] | None = None,
    first: Callable[[], object] | None = None,
    folder: Callable[[], Path] | None = None,
) -> int:
    """Run a program in the dark and, once its session has begun, stay dark after it until `lights` is typed; its exit code.

    128 and the signal's number where a signal ended it, or the window was closed. `again` is the command that goes on
    with a session that was cut off: called at once, `RESTARTS` times, then on a tap. `first` is done when all is black and
    before the program starts: what it raises is raised here, with the terminal as it was found. So is CantBeDark, where the
    terminal cannot be made dark. `folder` is where the terminal's colours are kept meanwhile.
    """
    key = brightness.new_key()
    owner = Owner(level, key, folder)
    if first is not None:
        with owner.lit_on_fault():
            first()
    for restarts in count(RESTARTS, -1):
        ending = _supervised(owner, argv, _guarded(os.environ, owner.terminal, key))
        if ending.told_by:
            owner.resign()
            return 128 + ending.told_by
        cut_off = ending.code > _SAID
        if not owner.gate.begun and not cut_off:
            return _left(owner, ending.code)
        if again is None or not cut_off or not owner.gate.begun or restarts <= 0:
            wanted = stay_dark(owner, *_told(ending.code), again=again is not None and cut_off)
            if wanted == "lights":
                owner.light()
                return ending.code
            if wanted == "gone" or again is None:
                owner.resign()
                return 128 + signal.SIGHUP
        argv = again
        owner.take()
    raise AssertionError("counting never ends")


def _left(owner: Owner, code: int) -> int:
    """No session began, so no paper is out: what the program said last, where it can be read."""
    lines = owner.gate.last_lines
    owner.leave()
    owner.write("".join(f"{drawable(line)}\r\n" for line in lines))
    return code


def _supervised(owner: Owner, argv: list[str], environment: dict[str, str]) -> "Ending":
    from assistant.terminal.supervisor import Ending, Supervisor

    try:
        return Supervisor(owner).run(argv, environment)
    except Exception:  # its program is hung up and goes with it; the dark exit is kept
        return Ending(_FAULT)


def _told(code: int) -> tuple[str, bool]:
    """Why it is over, and whether what the program said last is worth keeping: a sentence is, the traces of a fault are not."""
    if code == 0:
        return "The session is over.", True
    if code <= _SAID:
        return "It could not go on, for what is said above.", True
    if code <= 128:
        return f"traycall stopped too early (exit code {code}).", False
    names = {int(number): number.name for number in signal.Signals}
    return f"traycall was cut off ({names.get(code - 128, f'signal {code - 128}')}).", False


_UNWANTED = frozenset(["NO_COLOR", "FORCE_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "COLUMNS", "LINES", "ESCDELAY", "COLORFGBG"])


def _guarded(environment: Mapping[str, str], terminal: Terminal, key: str) -> dict[str, str]:
    """The environment without wishes about colour, size or the toolkit, with a colour-rich terminal and its guard named."""
    kept = {
        name: value
        for name, value in environment.items()
        if name not in _UNWANTED and not name.startswith("TEXTUAL") and name not in (brightness.GATE, LAUNCHED)
    }
    kept["COLORTERM"] = "truecolor"  # the gate reads every way of naming a colour
    if "color" not in kept.get("TERM", ""):
        kept["TERM"] = "xterm-256color"
    return kept | {brightness.CAUTION: terminal.caution, brightness.GATE: f"{os.getpid()}:{key}"}
