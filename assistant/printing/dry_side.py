"""The dry side opened at a place, the way out of it and back: to a session, a rehearsal, an editor, or a command."""

import contextlib
import os
import shlex
import subprocess
import sys
from dataclasses import replace

from assistant.printing.outside import House
from assistant.printing.refusal import Declined
from assistant.printing.text_out import say
from assistant.screens.dry.outside import Chosen, DryState, Elsewhere
from assistant.terminal import brightness


def chosen(silent: bool) -> Chosen:
    """What the printer chose on the screen; Declined where nothing was."""
    left = visited(DryState(), silent)
    if left is None:
        raise Declined("Nothing was chosen.")
    return left


def visited(state: DryState, silent: bool = False, level: str = "setup") -> Chosen | None:
    """The dry side from a place on, until something is to be printed or the printer leaves."""
    from assistant.screens.dry.app import DrySide

    most = 255 if brightness.is_guarded() else brightness.peak(level)  # a gate dims what leaves
    with contextlib.closing(House(silent)) as house:
        while True:
            brightness.set_level(level)
            left = DrySide(house, state, most).until_left()
            if left is None or isinstance(left, Chosen):
                break
            state = replace(left.state, said=_gone(left, house))
    if left is not None:
        brightness.set_level(left.level)
    return left


def place(state: DryState, level: str = "setup") -> None:
    """The dry side, begun at a place; what is chosen there is told as a command."""
    left = visited(state, level=level)
    if left is not None:
        say(f"Print it with: traycall run {shlex.quote(left.name)} --copies {left.copies} --light {left.level}")


def _gone(left: Elsewhere, house: House) -> str:
    """Go where the whole terminal is wanted; what came of it, "" for nothing."""
    if left.what in ("rehearse", "editor"):
        file = next((one.file for one in house.recipes() if one.name == left.state.recipe), None)
        if file is None:
            return f"{left.state.recipe} is not there any more."
        if left.what == "rehearse":
            from assistant.printing.screen_rehearsal import rehearse_on_screen

            return rehearse_on_screen(file, left.state.copies or None)
        editor = os.environ.get("VISUAL") or os.environ.get("EDITOR") or "nano"
        try:
            subprocess.run([*shlex.split(editor), str(file)], check=False)
        except (OSError, ValueError) as error:
            return f"{editor} can't be started: {error}. EDITOR names another one."
        return ""
    words = ["sounds", "--align"] if left.what == "align" else ["pedal"]
    with contextlib.suppress(KeyboardInterrupt):  # it was the command's to end by
        subprocess.run([sys.executable, "-m", "assistant", *words], check=False)
    from assistant.printing.plain_face import answered

    answered("Any key: back. ")
    return ""
