"""How a command gets a dark terminal: guarded by a supervisor, or held by the program itself.

    guard([sys.executable, "-m", "assistant", "run", ...], level)   the process becomes the supervisor
    with hold_terminal(level, log) as light: app.run()              in the program, guarded or not
"""

import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, cast

from assistant.terminal import channel
from assistant.terminal.choice import Refused
from assistant.terminal.farewell import stay_dark
from assistant.terminal.holder import KEYBOARD, Holder
from assistant.terminal.levels import DEFAULT
from assistant.terminal.light import Light
from assistant.terminal.outlet import Outlet
from assistant.terminal.sluice import open_screen
from assistant.terminal.surroundings import for_program, guarded

__all__ = ["Refused", "guard", "hold_terminal", "is_guarded"]
_OVER = "The session is over."


def is_guarded() -> bool:
    """Whether a supervisor started this process and holds the terminal for it."""
    return channel.guarded_key(os.environ) is not None


def guard(argv: list[str], level: str = DEFAULT, again: list[str] | None = None) -> int:
    """Run a program in the dark and stay dark after it until `lights` is typed; its exit code.

    `again` is the command that goes on with a session after a crash, offered to the printer on a bare Enter.
    Raises Refused, with the terminal as it was, where it cannot be made dark.
    """
    key = channel.new_key()
    holder = Holder(level, key)
    from assistant.terminal.supervisor import Supervisor

    while True:
        ending = Supervisor(holder).run(argv, guarded(os.environ, holder.terminal, key))
        if ending.told_by:
            holder.resign()
            return 128 + ending.told_by
        holder.resign_on_signals()
        wanted = stay_dark(holder, _why(ending.code), again=again is not None and ending.code != 0)
        if wanted != "again" or again is None:
            break
        argv = again
        holder.take()
    _leave(holder, wanted)
    return ending.code


def _why(code: int) -> str:
    if code == 0:
        return _OVER
    if code <= 128:
        return f"traycall stopped too early (exit code {code})."
    names = {int(number): number.name for number in signal.Signals}
    return f"traycall was cut off ({names.get(code - 128, f'signal {code - 128}')})."


def _leave(holder: Holder, wanted: str) -> None:
    if wanted == "lights":
        holder.light(holder.terminal.console)
    else:
        holder.resign()


@contextmanager
def hold_terminal(level: str = DEFAULT, log: str = os.devnull) -> Iterator[Light]:
    """Paint in the dark: what the program paints goes to the terminal by one way only, all other output to `log`.

    Enter it before Textual is imported. Guarded, the supervisor keeps the dark exit; otherwise it is kept here, on
    leaving. Raises Refused where the terminal cannot be made dark.
    """
    key = channel.guarded_key(os.environ)
    holder = None
    if key is None:
        key = channel.new_key()
        holder = Holder(level, key)
        holder.resign_on_signals()
    screen = holder.screen if holder else open_screen()
    outlet = Outlet(screen, holder.gate if holder else None)
    caution = holder.terminal.caution if holder else os.environ.get(channel.CAUTION, "")
    light = Light(outlet, key, level, caution)
    before = dict(os.environ)
    _replace_environment(for_program(before, caution))
    try:
        with _only_way(outlet, log):
            light.show(level)
            yield light
            outlet.flush()
    finally:
        _replace_environment(before)
        if holder:
            _leave(holder, stay_dark(holder, _OVER if sys.exc_info()[0] is None else _why(1)))
        os.close(screen)


def _replace_environment(wanted: dict[str, str]) -> None:
    for name in set(os.environ) - set(wanted):
        del os.environ[name]
    os.environ.update(wanted)


@contextmanager
def _only_way(outlet: Outlet, log: str) -> Iterator[None]:
    """Standard output and error go to a log and the keyboard is read only: C libraries and children write on them."""
    sys.stdout.flush()
    sys.stderr.flush()
    kept = [os.dup(number) for number in (0, 1, 2)]
    names = (sys.__stdout__, sys.__stderr__)
    journal = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    keys = os.open(os.ttyname(KEYBOARD), os.O_RDONLY | os.O_NOCTTY)
    for source, number in ((keys, 0), (journal, 1), (journal, 2)):
        os.dup2(source, number)
    os.close(journal)
    os.close(keys)
    sys.__stdout__ = sys.__stderr__ = cast("Any", outlet)  # type: ignore[misc]  # where Textual's drivers paint
    try:
        yield
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        sys.__stdout__, sys.__stderr__ = names  # type: ignore[misc]
        for number, descriptor in enumerate(kept):
            os.dup2(descriptor, number)
            os.close(descriptor)
