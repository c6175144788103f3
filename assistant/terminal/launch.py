"""How a command gets a dark terminal: the process that calls `guard` becomes the supervisor of the program.

    guard([sys.executable, "-m", "assistant", "run", ...], level)
"""

import os
import signal

from assistant.terminal import channel
from assistant.terminal.choice import Refused
from assistant.terminal.farewell import stay_dark
from assistant.terminal.holder import Holder
from assistant.terminal.levels import DEFAULT
from assistant.terminal.surroundings import guarded

__all__ = ["Refused", "guard", "is_guarded"]


def is_guarded() -> bool:
    """Whether a supervisor started this process and holds the terminal for it."""
    return channel.guarded_key(os.environ) is not None


def guard(argv: list[str], level: str = DEFAULT, again: list[str] | None = None) -> int:
    """Run a program in the dark and stay dark after it until `lights` is typed; its exit code.

    128 and the signal's number where a signal ended it, or the window was closed. `again` is the command that goes on
    with a session after a crash, offered to the printer on a bare Enter. Raises Refused, with the terminal as it was,
    where it cannot be made dark.
    """
    key = channel.new_key()
    holder = Holder(level, key)
    from assistant.terminal.supervisor import Supervisor

    while True:
        ending = Supervisor(holder).run(argv, guarded(os.environ, holder.terminal, key))
        if ending.told_by:
            holder.resign()
            return 128 + ending.told_by
        wanted = stay_dark(holder, _why(ending.code), again=again is not None and ending.code != 0)
        if wanted == "lights":
            holder.light()
            return ending.code
        if wanted == "gone" or again is None:
            holder.resign()
            return 128 + signal.SIGHUP
        argv = again
        holder.take()


def _why(code: int) -> str:
    if code == 0:
        return "The session is over."
    if code <= 128:
        return f"traycall stopped too early (exit code {code})."
    names = {int(number): number.name for number in signal.Signals}
    return f"traycall was cut off ({names.get(code - 128, f'signal {code - 128}')})."
