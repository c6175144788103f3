"""What a program started in the dark finds in its environment: nothing that would make it grey, loud or another size."""

import os
from collections.abc import Mapping

from assistant.terminal import black, channel
from assistant.terminal.choice import Terminal

_UNWANTED = frozenset(["NO_COLOR", "FORCE_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "COLUMNS", "LINES", "ESCDELAY", "COLORFGBG"])


def guarded(environment: Mapping[str, str], terminal: Terminal, key: str) -> dict[str, str]:
    """The environment without wishes about colour, size or the toolkit, with a colour-rich terminal and its guard named."""
    kept = {
        name: value
        for name, value in environment.items()
        if name not in _UNWANTED and not name.startswith("TEXTUAL") and name not in (channel.GATE, black.LAUNCHED)
    }
    kept["COLORTERM"] = "truecolor"  # the gate reads every way of naming a colour
    if "color" not in kept.get("TERM", ""):
        kept["TERM"] = "xterm-256color"
    return kept | {channel.CAUTION: terminal.caution, channel.GATE: f"{os.getpid()}:{key}"}
