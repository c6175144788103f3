"""The wet side, drawn for a window's size to be read from two metres. Pure: a face in, rows out.

One thing is large: the time that runs, or the question where a hand is wanted. Under it what limits that time, the next
move in letters that are read from a metre, the next two minutes as a line for each copy, the bench from left to right. What
a tap does stands on the last row, always; the keys are behind `?`.
"""

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from assistant.screens import keys, large, rows_below
from assistant.screens.canvas import Canvas
from assistant.screens.drawing import Row, fit, minutes, packed
from assistant.session.named_keys import KEYS
from assistant.session.urgency import Urgent
from assistant.session.view import Face

LIGHT = {"white": "white light is safe", "safelight": "safelight only", "none": "total darkness"}
"""What light may be on -> the words for it."""


@dataclass(frozen=True)
class Shown:
    """What a screen shows besides the face: a line that is typed and its form, the help, what went wrong, the true times."""

    line: str | None = None
    form: str = ""
    asked: bool = False
    complaint: str = ""
    summary: tuple[str, ...] = ()
    bound: Mapping[str, str] | None = None


def draw(face: Face, width: int, height: int, shown: Shown | None = None) -> list[Row]:
    """The rows of the wet side, `height` of them."""
    shown = shown or Shown()
    canvas = Canvas(width, height)
    _head(canvas, face, shown.asked)
    foot = _foot(canvas, face, shown)
    if shown.asked:
        top = 2 if face.trouble else 1
        canvas.block(0, top, packed(keys.helped(shown.bound or KEYS), width)[: foot - top], "dim")
    elif face.finished and shown.summary:
        _summary(canvas, shown.summary)
    else:
        _session(canvas, face, foot)
    return canvas.rows()


def _head(canvas: Canvas, face: Face, helped: bool) -> None:
    """Whose time it is and of what; whether white light may be on, always at the right.

    Over the help it also says the question or the time, which is large else: a sheet goes on while keys are read.
    """
    right = LIGHT[face.light] + ("  ON HOLD" if face.held else "")
    canvas.put(0, 0, fit(_who(face, helped), max(0, canvas.width - len(right) - 2)), "text")
    canvas.right(0, right, "text")
    if face.trouble:
        canvas.put(0, 1, fit(f"!! {face.trouble}", canvas.width), "bright")


def _who(face: Face, helped: bool) -> str:
    if face.finished or face.ended:
        return "the session is over"
    asked = face.wanted if large.asks(face) else None
    number = asked.copy if asked else face.urgent.copy if face.urgent else None
    name = "" if asked or not face.urgent else f"  {face.urgent.name.lower()}{_state(face.urgent)}"
    if helped:
        name = f"  {asked.ask}" if asked else f"  {large.figure(face.urgent)}{name}" if face.urgent else ""
    if number is None:
        return f"all{name}" if asked or face.urgent else face.title
    of = next((one.print for one in face.copies if one.copy == number), "")
    wanted = sum(not copy.void for copy in face.copies)
    return f"{number}  {of}{name}" if of else f"{number} of {wanted}{name}" if number <= wanted else f"{number}{name}"


def _state(urgent: Urgent) -> str:
    """What is wrong with the time that runs, or soon will be."""
    left = "" if urgent.near is None else f"  {minutes(urgent.near)} LEFT"
    return f"{'  LATE' if urgent.late else ''}{left}"


def _foot(canvas: Canvas, face: Face, shown: Shown) -> int:
    """What a tap does, whole; above it what is being typed and its form, or what went wrong. Where it begins."""
    tap = "leave" if face.finished else face.tap or "nothing now"
    help_key = f"{(shown.bound or KEYS)['help']} keys"
    rows = textwrap.wrap(f"tap: {tap}", max(8, canvas.width - len(help_key) - 1))[:2]
    y = canvas.height - len(rows)
    canvas.block(0, y, rows, "text")
    canvas.right(canvas.height - 1, help_key, "dim")
    if shown.line is not None:
        typed, room = f"> {shown.line}_", canvas.width - len(shown.form) - 3
        form = shown.form if room >= 12 else ""
        room = room if form else canvas.width
        canvas.put(0, y - 1, typed if len(typed) <= room else "…" + typed[1 - room :], "bright")
        canvas.right(y - 1, form, "dim")
    elif shown.complaint:
        canvas.put(0, y - 1, fit(shown.complaint, canvas.width), "bright")
    return y - 1 if shown.line is not None or shown.complaint else y


def _summary(canvas: Canvas, summary: Sequence[str]) -> None:
    rows = [text for one in summary for text in packed(one.split(", "), canvas.width, ", ")]
    room = canvas.height - 3
    if len(rows) > room:
        rows[room - 1 :] = [fit("the rest is written when you leave", canvas.width)]
    canvas.block(0, 2, rows)


def _session(canvas: Canvas, face: Face, foot: int) -> None:
    if large.asks(face):
        y = large.question(canvas, face, 2)
    elif face.urgent is not None:
        y = large.time(canvas, face.urgent, 2)
        y = large.bar(canvas, face.urgent, y)
        y = large.next_move(canvas, face, y + 1)
    else:
        y = 2
    rows_below.put(canvas, face, y, foot - 1)
