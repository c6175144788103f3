"""A face drawn as rows of text for a window's size. Pure: no widget, no colour, only how strongly a row is lit."""

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from assistant.screens import glyphs, keys
from assistant.session.commands import KEYS
from assistant.session.view import Face, Lane, Occupant, Progress, Urgent

Strength = Literal["bright", "text", "dim"]


@dataclass(frozen=True)
class Row:
    """One line of text, already fitted to the window, and how strongly it is lit."""

    text: str
    strength: Strength = "text"


EMPTY = " ."
"""How the row of a tray without sheets ends."""
OVER = ("any key: leave",)
Summary = tuple[str, ...]


def draw(
    face: Face,
    width: int,
    height: int,
    line: str | None = None,
    asked: bool = False,
    summary: Summary = (),
    bound: Mapping[str, str] = KEYS,
) -> list[Row]:
    """The rows of the wet side, `height` of them; `line` is what is being typed, `asked` shows the help.

    `summary` is every copy's true times in words, shown once the session is over; `bound` are the keys by their names.
    """
    head = [_head(face, width)]
    if face.trouble:
        head.append(Row(_fit(f"!! {face.trouble}", width), "bright"))
    head += _figures(face.urgent, width, height)
    head.append(Row(_fit(_then(face), width), "bright"))
    head.append(Row(_fit(f"tap: {_tap(face)}", width), "text"))
    foot = _foot(face, width, height, line, bound)
    if asked:
        body = [Row(text, "dim") for text in packed(keys.helped(bound), width)]
    elif face.finished and summary:
        body = [Row(""), *(Row(text) for one in summary for text in packed(one.split(", "), width, ", "))]
    else:
        body = _body(face, width)
    room = max(0, height - len(head) - len(foot))
    if len(body) > room and not asked and not (face.finished and summary):
        body = [row for row in body if not row.text.endswith(EMPTY)]
    if face.finished and len(body) > room > 0:
        body[room - 1] = Row(_fit("the rest is written when you leave", width), "dim")
    rows = [*head, *body[:room]]
    rows += [Row("")] * (height - len(rows) - len(foot))
    return [*rows[: height - len(foot)], *foot]


def _tap(face: Face) -> str:
    return "leave" if face.finished else face.tap or "nothing now"


def _foot(face: Face, width: int, height: int, line: str | None, bound: Mapping[str, str]) -> list[Row]:
    """The line being typed, its end always in sight, or the keys: as many as fit, the most wanted first."""
    if line is not None:
        shown = f"> {line}_"
        return [Row(shown if len(shown) <= width else "…" + shown[1 - width :], "bright")]
    rows = packed(OVER if face.finished else keys.footer(bound), width)
    return [Row(row, "dim") for row in rows[: 1 if height < 24 else 2]]


def packed(phrases: Sequence[str], width: int, between: str = "   ") -> list[str]:
    """Phrases set on as few rows as they need; none is broken unless it alone is wider than the window."""
    rows = [""]
    for phrase in phrases:
        longer = f"{rows[-1]}{between}{phrase}" if rows[-1] else phrase
        if len(longer) <= width:
            rows[-1] = longer
        else:
            rows += [_fit(phrase, width)]
    return rows if rows[0] else rows[1:] or [""]


def _head(face: Face, width: int) -> Row:
    light = {"white": "white light is safe", "safelight": "safelight only", "none": "total darkness"}[face.light]
    hold = "  ON HOLD" if face.held else ""
    return Row(_fit(f"{face.title}   {minutes(face.moment)}   {light}{hold}", width), "dim")


def _figures(urgent: Urgent | None, width: int, height: int) -> list[Row]:
    if urgent is None:
        return [Row("")]
    time = ("+" if urgent.up else "") + minutes(urgent.ms)
    shown = glyphs.low(time) if height < 28 else glyphs.large(time, max(1, min(height // 24, width // 70)))
    who = "all copies" if urgent.copy is None else f"copy {urgent.copy}"
    late = "   LATE" if urgent.late else ""
    return [Row(_fit(f"{who}  {urgent.name}{late}", width), "bright"), *(Row(_fit(row, width), "bright") for row in shown)]


def _then(face: Face) -> str:
    if face.ended or face.finished:
        return "the session is over"
    return f"then: {face.urgent.then}" if face.urgent and face.urgent.then else ""


def _body(face: Face, width: int) -> list[Row]:
    rows = [Row(row) for row in textwrap.wrap(f"said: {face.said}", width, subsequent_indent="  ")[:3]] if face.said else []
    rows += [Row(_fit(f"in {minutes(c.within)}  {_of(c.copy)}{c.words}", width), "dim") for c in face.coming]
    rows += [Row(text) for text in packed(_strip(face), width)] if face.totals else []
    rows.append(Row(""))
    rows += [_lane(lane, width) for lane in face.lanes]
    return [*rows, Row(""), *_progress(face.copies, width)]


def _strip(face: Face) -> list[str]:
    """The strips in reading order, and the one that was picked."""
    strips = [f"{i}: {total / 1000:.1f} s" + (" <" if i == face.picked else "") for i, total in enumerate(face.totals, 1)]
    return ["strips, lightest first", *strips]


def _of(copy: int | None) -> str:
    return f"copy {copy}: " if copy is not None else ""


def _lane(lane: Lane, width: int) -> Row:
    inside = "   ".join(_occupant(one) for one in lane.occupants)
    if not inside:
        return Row(f"{lane.tray:<12}"[: width - len(EMPTY)] + EMPTY, "dim")
    return Row(_fit(f"{lane.tray:<12} {inside}", width))


def _occupant(one: Occupant) -> str:
    time = f"-{minutes(one.left)}" if one.left is not None else f"+{minutes(one.stayed)}"
    limits = f" of {minutes(one.least)}" if one.least else ""
    limits += f" to {minutes(one.most)}" if one.most else ""
    return f"[{one.copy}] {time}{limits}{' LATE' if one.late else ''}"


def _progress(copies: tuple[Progress, ...], width: int) -> list[Row]:
    """One short word for each copy, as many to a row as fit."""
    cells = [f"{c.copy:>2} {_state(c)}" for c in copies]
    wide = max((len(cell) for cell in cells), default=0) + 3
    each = max(1, width // wide)
    lines = ("".join(cell.ljust(wide) for cell in cells[i : i + each]) for i in range(0, len(cells), each))
    return [Row(_fit(line, width), "text") for line in lines]


def _state(copy: Progress) -> str:
    toned = f" {minutes(copy.toned)}" if copy.toned is not None else ""
    flaw = " !" if copy.flaws else ""
    return f"{copy.where}{toned}{flaw}"


def minutes(ms: int) -> str:
    """A span as `m:ss` or `h:mm:ss`; what is left is rounded up, so that 0:00 is the end and not before it."""
    seconds = -(-ms // 1000)
    hours, rest = divmod(max(0, seconds), 3600)
    return f"{hours}:{rest // 60:02}:{rest % 60:02}" if hours else f"{rest // 60}:{rest % 60:02}"


def _fit(text: str, width: int) -> str:
    return text if len(text) <= width else text[: max(0, width - 1)] + "…"
