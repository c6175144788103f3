"""How a command gets a dark terminal: the process that calls `guard` becomes the supervisor of the program.

    guard([sys.executable, "-m", "assistant", "run", ...], level)
"""

import os
import signal
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from assistant.terminal import brightness, sequences
from assistant.terminal.brightness import DEFAULT
from assistant.terminal.capabilities import Refused, Terminal
from assistant.terminal.dark_exit import stay_dark
from assistant.terminal.owner import Owner

if TYPE_CHECKING:
    from assistant.terminal.supervisor import Ending

__all__ = ["Refused", "guard", "is_guarded"]
_SAID = 2
"""Exit codes up to this one come with a sentence of the program's own."""
_FAULT = 70
"""The exit code of an internal fault (`sysexits.h`)."""


def is_guarded() -> bool:
    """Whether a supervisor started this process and holds the terminal for it."""
    return brightness.guarded_key(os.environ) is not None


def guard(
    argv: list[str], level: str = DEFAULT, again: list[str] | None = None, first: Callable[[], object] | None = None
) -> int:
    """Run a program in the dark and stay dark after it until `lights` is typed; its exit code.

    128 and the signal's number where a signal ended it, or the window was closed. `again` is the command that goes on
    with a session that was cut off, offered to the printer on a bare Enter. `first` is done when all is black and
    before the program starts: what it raises is raised here, with the terminal as it was. So is Refused, where the
    terminal cannot be made dark.
    """
    key = brightness.new_key()
    owner = Owner(level, key)
    if first is not None:
        with owner.lit_on_fault():
            first()
    while True:
        ending = _supervised(owner, argv, _guarded(os.environ, owner.terminal, key))
        if ending.told_by:
            owner.resign()
            return 128 + ending.told_by
        wanted = stay_dark(owner, *_told(ending.code), again=again is not None and ending.code > _SAID)
        if wanted == "lights":
            owner.light()
            return ending.code
        if wanted == "gone" or again is None:
            owner.resign()
            return 128 + signal.SIGHUP
        argv = again
        owner.take()


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
        if name not in _UNWANTED and not name.startswith("TEXTUAL") and name not in (brightness.GATE, sequences.LAUNCHED)
    }
    kept["COLORTERM"] = "truecolor"  # the gate reads every way of naming a colour
    if "color" not in kept.get("TERM", ""):
        kept["TERM"] = "xterm-256color"
    return kept | {brightness.CAUTION: terminal.caution, brightness.GATE: f"{os.getpid()}:{key}"}
