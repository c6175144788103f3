"""Which colours a terminal can be trusted with, by what it says of itself; or one sentence on why it can't be guarded."""

from collections.abc import Mapping

_TRUE = ("xterm-kitty", "alacritty", "foot", "wezterm")


class NotDark(RuntimeError):
    """This terminal can't be kept dark; the message says why and what to do."""


def kind(environment: Mapping[str, str]) -> str:
    """ "true" (24-bit colour) or "256"; NotDark for all others."""
    term = environment.get("TERM", "")
    if environment.get("TMUX") or term.startswith(("tmux", "screen")):
        raise NotDark("Inside a multiplexer the status line stays lit: start traycall outside of it.")
    if term in ("", "dumb", "unknown", "linux"):
        raise NotDark("This terminal's colours can't be guarded: use one with 24-bit colour.")
    if environment.get("COLORTERM", "").lower() in ("truecolor", "24bit") or term in _TRUE or term.endswith("-direct"):
        return "true"
    if "256color" in term:
        return "256"
    raise NotDark("This terminal has 16 colours of its own choosing: use one with 24-bit colour.")
