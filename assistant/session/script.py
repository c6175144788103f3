"""A printer played from a file: one happening a line, `<time> <what> [more]`; `#` begins a comment.

0:05.0 tap
2:31 moved 2 5s
190 note "thin blacks"
600 woke 540

The last line says that nobody was called from 540 s on; it stands in scripts alone, since nobody can type it in time.
"""

import re
import shlex
from collections.abc import Callable
from typing import TypeAlias

from assistant.session import happenings as h
from assistant.trade.quantities import parse_span

Played: TypeAlias = tuple[int, h.Happening]
"""A hand of a printer that is played: its moment, ms since the session began, and what it does."""

_BASE = re.compile(r"\d+(?:[.,]\d+)? ?(?:s|min)?")
_TIME = re.compile(r"(?:(?:(\d+):)?(\d+):)?(\d+(?:\.\d{1,3})?)$")


class BadScript(ValueError):
    """A line that can't be played; the message says which and why."""


def read_script(text: str, name: str) -> list[Played]:
    """The hands of a script in their order; BadScript names file and line of the first that can't be read."""
    hands = []
    for number, line in enumerate(text.splitlines(), 1):
        try:
            words = shlex.split(line, comments=True)
            if words:
                hands.append(_hand(words))
        except (ValueError, LookupError) as error:
            raise BadScript(f"{name}:{number}: {error}") from None
    return hands


def moment(text: str) -> int:
    """`m:ss.s`, `h:mm:ss` or seconds since the session began, as ms; ValueError where it is none of these."""
    found = _TIME.fullmatch(text)
    if found is None:
        raise ValueError(f'"{text}" is no time: write 2:30.0 or 150')
    hours, minutes, seconds = found.groups()
    return int(hours or 0) * 3_600_000 + int(minutes or 0) * 60_000 + round(float(seconds) * 1000)


def typed(line: str) -> h.Happening:
    """One happening without its time, as it is typed during a session; an empty line is a tap. ValueError says what is wrong."""
    return _happening(shlex.split(line) or ["tap"])


def _hand(words: list[str]) -> Played:
    if len(words) < 2:
        raise ValueError("a line is a time and what happens: 0:05.0 tap")
    return moment(words[0]), _woke(words[2:]) if words[1] == "woke" else _happening(words[1:])


def _happening(words: list[str]) -> h.Happening:
    what, *more = words
    if what not in _LINES:
        raise ValueError(f'"{what}" is not known here: {", ".join(_LINES)}')
    most, make = _LINES[what]
    if len(more) > most:
        raise ValueError(f"too much after {what}: {' '.join(more[most:])}")
    return make(more)


def _copy(more: list[str]) -> int | None:
    if not more:
        return None
    if not more[0].isdecimal():
        raise ValueError(f'"{more[0]}" is not the number of a copy')
    return int(more[0])


def span(text: str) -> int:
    """A span as a script has it, in ms: `5s`, `1 min`, or bare seconds; `0s` is now. Misread where it is none."""
    if re.fullmatch(r"0+(\.0+)? ?s?", text):
        return 0
    return parse_span(f"{text} s" if re.fullmatch(r"\d+(\.\d+)?", text) else text)


def _moved(more: list[str]) -> h.Happening:
    if len(more) == 1:
        return h.Moved(None, span(more[0]))
    if len(more) == 2:
        return h.Moved(_copy(more), span(more[1]))
    raise ValueError("say how long ago: moved 2 5s")


def _woke(more: list[str]) -> h.Happening:
    if len(more) != 1:
        raise ValueError("say since when nobody listened: woke 12:30")
    return h.Woke(moment(more[0]))


def _reading(more: list[str]) -> h.Happening:
    if len(more) != 2:
        raise ValueError("say the tray and the degrees Celsius: reading developer 19.5")
    try:
        return h.Reading(more[0], float(more[1].removesuffix("C").strip()))
    except ValueError:
        raise ValueError(f'"{more[1]}" is no temperature: write degrees Celsius, like {more[0]} 19.5') from None


def _fresh(more: list[str]) -> h.Happening:
    if not more:
        raise ValueError("say which tray: fresh toner")
    return h.Fresh(" ".join(more))


def _new_time(more: list[str]) -> h.Happening:
    found = re.fullmatch(r"(\d+)(?:-(\d+))?", more[0]) if len(more) == 2 else None
    if found is None:
        raise ValueError("say which copies and their time: time 5-8 14s")
    first, last = int(found[1]), int(found[2] or found[1])
    return h.NewTime(first, last, parse_span(more[1]))


def _another(more: list[str]) -> h.Happening:
    if more and _BASE.fullmatch(more[-1]):
        return h.Another(" ".join(more[:-1]), parse_span(more[-1]))
    return h.Another(" ".join(more))


def _pick(more: list[str]) -> h.Happening:
    number = _copy(more)
    if number is None:
        raise ValueError("say the number of the strip: pick 3")
    return h.Pick(number)


_LINES: dict[str, tuple[int, Callable[[list[str]], h.Happening]]] = {
    "tap": (0, lambda more: h.Tap()),
    "void": (1, lambda more: h.Void(_copy(more))),
    "undo": (0, lambda more: h.Undo()),
    "hold": (0, lambda more: h.HoldPlan()),
    "go": (0, lambda more: h.Go()),
    "moved": (2, _moved),
    "note": (99, lambda more: h.Note(" ".join(more))),
    "again": (0, lambda more: h.SayAgain()),
    "how-long": (0, lambda more: h.HowLong()),
    "end": (0, lambda more: h.End()),
    "reading": (2, _reading),
    "fresh": (99, _fresh),
    "time": (2, _new_time),
    "another": (99, _another),
    "pick": (1, _pick),
}
"""What a script's line may say -> how many words may follow (99: any number), and the happening."""
