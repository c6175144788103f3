"""What a terminal can do: its name's promise, what it says when asked, and whether it can be kept dark.

Colours are asked for before they are changed; the other questions go out when the screen is black, and all of them before
any program reads the keyboard, since a late answer could be taken for key presses. The last question (primary device
attributes) is answered by every terminal: its answer ends the wait. A refusal is one sentence that says what to do. A doubt
is a caution, for the program to show once.
"""

import re
import select
from collections.abc import Callable, Mapping
from typing import NamedTuple

WAIT_MS = 1_500
"""A terminal that has said nothing for so long will say no more: the slowest line there and back, and a machine with load. Nearly
every terminal answers at once; one that never does is black meanwhile."""
_MARK = 7
"""A red no terminal starts with, set without painting anything, to see whether 24-bit colour survives."""

Shade = tuple[int, int, int]
"""Red, green and blue, 0 to 255 each."""
Colours = dict[str, Shade]
"""Colours of a terminal by the numbers of xterm's OSC: "10" letters, "11" ground, "12" cursor, "4;N" an entry of the palette."""

THEMED = 22
"""Entries of a palette that themes change: the sixteen, and for some the six that follow."""
LAST_RED = 196
"""Pure red in xterm's cube: stands for the whole of the cube, which no theme is known to change."""
_OWN = ("10", "11", "12")
_ENTRIES = (*range(THEMED), LAST_RED)


def _asked(numbers: tuple[str, ...]) -> str:
    return "".join(f"\x1b]{number};?\x1b\\" for number in numbers)


COLOURS = _asked((*_OWN, *(f"4;{entry}" for entry in _ENTRIES)))
"""Which colours are set: asked before they are changed, so that they can be given back."""
QUESTIONS = (
    _asked((*_OWN, "4;2"))  # letters, ground, cursor, the palette's green: as they are after all was set
    + f"\x1b[0;38;2;{_MARK};0;0;48;2;0;0;0m\x1bP$qm\x1b\\"  # which colours are set now?
    "\x1b[?u\x1b[>q\x1b[c"  # key reports; name and version; device attributes, which every terminal answers
)
_COLOUR = re.compile(r"\x1b\](1[012]|4;\d+);rgba?:([0-9a-fA-F]+)/([0-9a-fA-F]+)/([0-9a-fA-F]+)")
_LAST = re.compile(r"\x1b\[\?[\d;]*c")
_LOOKS = re.compile(r"\x1bP[01]\$r([\d;:]*)m")
_SURVIVED = re.compile(rf"38[;:]2[;:]+(?:\d*:)?{_MARK}[;:]0[;:]0(?:\D|\Z)")
_NAME = re.compile(r"\x1bP>\|([^\x1b]*)")
_KEYBOARD = re.compile(r"\x1b\[\?\d+u")


class Answers(NamedTuple):
    """What a terminal said."""

    true_colour: bool | None
    """None: it did not say."""
    red_ground: bool
    """Letters and cursor are pure red and the ground black, as they were set."""
    red_palette: bool
    """The palette's green has become red, as it was set."""
    name: str
    keyboard: bool = False
    """It knows the progressive keyboard protocol."""
    before: Colours = {}  # noqa: RUF012  a tuple's default, never changed
    """The colours that it had when it was asked first."""

    @property
    def taken(self) -> bool:
        """Whether nothing but red was left in it already when it was asked first: a guard has had it, and nobody lit it since."""
        entries = [shade for number, shade in self.before.items() if number.startswith("4;")]
        own = [self.before[number] for number in _OWN if number in self.before]
        return len(entries) >= 16 and not any(shade[1] or shade[2] for shade in entries + own)

    @property
    def blacked_out(self) -> bool:
        """Whether it was left without even red letters."""
        return self.taken and self.before.get("10") == (0, 0, 0)


def ask(write: Callable[[str], object], read: Callable[[], bytes], keyboard: int, questions: str = QUESTIONS) -> str:
    """Ask, and read until the last answer, or until nothing came for `WAIT_MS`; what was said."""
    write(questions)
    said = ""
    while not _LAST.search(said) and select.select([keyboard], [], [], WAIT_MS / 1000)[0]:
        came = read()
        if not came:
            break
        said += came.decode("latin-1")
    return said


def understood(said: str) -> Answers | None:
    """The answers in what a terminal said; keys pressed meanwhile are passed over. None if it said nothing at all."""
    if "\x1b" not in said:
        return None
    looks, name = _LOOKS.search(said), _NAME.search(said)
    first, last = colours_in(said, first=True), colours_in(said)
    return Answers(
        true_colour=bool(_SURVIVED.search(looks[1])) if looks else None,
        red_ground=last.get("11") == (0, 0, 0) and _red(last.get("10")) and _red(last.get("12")),
        red_palette=_red(last.get("4;2")),
        name=name[1] if name else "",
        keyboard=_KEYBOARD.search(said) is not None,
        before=first,
    )


def colours_in(said: str, first: bool = False) -> Colours:
    """The colours that a terminal named, 8-bit; of those that it named twice the later, or the `first`."""
    found = [(number, _eight_bit(shade)) for number, *shade in _COLOUR.findall(said)]
    return dict(reversed(found) if first else found)


def declared(before: Colours, environment: Mapping[str, str]) -> Colours:
    """The colours found, and those that a terminal does not tell: letters and ground by its own word in COLORFGBG (rxvt).

    None where it says that its letters are as its ground: some (alacritty) answer only when they draw, and are black by then.
    """
    if not before or ("10" in before and before["10"] == before.get("11")):
        return {}
    words = environment.get("COLORFGBG", "").split(";")
    told = {"10": before.get(f"4;{words[0]}"), "11": before.get(f"4;{words[-1]}")}
    found = {number: shade for number, shade in told.items() if shade is not None} | before
    return found if "12" in found or "10" not in found else found | {"12": found["10"]}


def _eight_bit(parts: list[str]) -> Shade:
    red, green, blue = (round(int(part, 16) * 255 / (16 ** len(part) - 1)) for part in parts)
    return red, green, blue


def _red(colour: Shade | None) -> bool:
    return colour is not None and not any(colour[1:])


_PLAIN = "or add --plain, which shows text and is not dark"
_TRUE = frozenset(["xterm-kitty", "alacritty", "foot", "xterm-ghostty", "wezterm"])
"""Terminal types (terminfo entries) whose every version has 24-bit colour."""
_SHARING = ("tmux", "screen")
_SHARED = ("TMUX", "STY", "ZELLIJ")
"""What multiplexers put into the environment of what runs in them."""
_UNGUARDED = "There is no guard on this terminal: the program keeps to red, but a crash can light the screen. Cover it."


class CantBeDark(Exception):
    """This terminal cannot be made dark; the text is the sentence for the printer."""


class Terminal(NamedTuple):
    """How colours are written (see `sequences.KINDS`), whether it is the Linux console, and what could not be proved."""

    kind: str
    console: bool = False
    obeys: bool = False
    """It said itself that its own colours are red on black now."""
    caution: str = ""
    keyboard: bool = False
    """It knows the progressive keyboard protocol."""


def by_name(environment: Mapping[str, str]) -> Terminal:
    """The likely kind of terminal. CantBeDark: one that shares its window, or has no colours to set."""
    name = environment.get("TERM", "")
    if any(environment.get(mark) for mark in _SHARED) or name.startswith(_SHARING):
        raise _shared()
    if name in ("", "dumb", "unknown"):
        raise CantBeDark(
            f"This terminal (TERM={name}) has no colours that could be made red: "
            f"start traycall in a terminal window of its own, {_PLAIN}."
        )
    if name == "linux":
        return Terminal("16", console=True, obeys=True)
    if environment.get("COLORTERM", "").lower() in ("truecolor", "24bit") or name.endswith("-direct") or name in _TRUE:
        return Terminal("true")
    return Terminal("256" if "256color" in name else "16")


def settled(likely: Terminal, answers: Answers | None) -> Terminal:
    """The kind of terminal after it has been asked. CantBeDark: sixteen colours of its own that cannot be set."""
    if likely.console:
        return likely
    if answers is None:
        answers = Answers(None, False, False, "")
    if answers.name.lower().startswith(_SHARING):
        raise _shared()
    kind = likely.kind
    if answers.true_colour is not None:
        kind = "true" if answers.true_colour else "256" if kind == "true" else kind
    if kind == "16" and not answers.red_palette:
        raise CantBeDark(
            "This terminal has sixteen colours of its own, and its red may hold green: "
            f"use one with 256 colours (and TERM=xterm-256color), {_PLAIN}."
        )
    return Terminal(kind, False, answers.red_ground, "" if answers.red_ground else _UNPROVED, answers.keyboard)


def unguarded(asked: bool | None, refused: CantBeDark | None = None) -> str:
    """What to say before a session that nobody guards; CantBeDark, again, where a guard was asked for by name.

    `asked`: True with `--guard`, False with `--no-guard`, None where the printer said nothing and a guard is wished for.
    """
    if refused is not None and asked:
        raise refused
    return f"{refused} {_UNGUARDED}" if refused is not None else _UNGUARDED


_UNPROVED = (
    "This terminal did not say that its own colours are black now: "
    "set its background, border and pointer to black in its settings, or cover the screen."
)


def _shared() -> CantBeDark:
    return CantBeDark(
        "This window is shared by a multiplexer, whose status line and borders stay lit: "
        f"start traycall in a terminal window without it, {_PLAIN}."
    )
