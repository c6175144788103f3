"""The wet side, drawn for a window's size to be read from two metres. Pure: a face in, rows out.

One thing is large: the time that runs, or the question where a hand is wanted. Under it what limits that time, the next
move in letters that are read from a metre, the next two minutes as a line for each copy, the bench from left to right. What
a tap does stands on the last row, always; the keys are behind `?`. Large is not bright: the figures are many cells, so they are
painted in the weakest of the three strengths, and the words in the strongest.
"""

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from assistant.screens import glyphs, keys
from assistant.screens.canvas import Canvas
from assistant.screens.drawing import Row, Strength, fit, minutes, packed
from assistant.session.commands import KEYS
from assistant.session.view import AHEAD, Face, Lane, Occupant, Progress, Urgent

LIGHT = {"white": "white light is safe", "safelight": "safelight only", "none": "total darkness"}
Piece = list[tuple[int, str, Strength]]
"""Text at places of one row."""
STEADY = 30_000
"""ms: a tray's time above this changes on the ten seconds only, so that little of the screen moves."""


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
    _head(canvas, face)
    _foot(canvas, face, shown)
    if shown.asked:
        phrases = keys.helped(shown.bound or KEYS)
        canvas.block(0, 1, packed(phrases, width)[: height - 2], "dim")
    elif face.finished and shown.summary:
        _summary(canvas, shown.summary)
    else:
        _session(canvas, face, shown)
    return canvas.rows()


def _head(canvas: Canvas, face: Face) -> None:
    """Whose time it is and of what; whether white light may be on, always at the right."""
    right = LIGHT[face.light] + ("  ON HOLD" if face.held else "")
    canvas.put(0, 0, fit(_who(face), max(0, canvas.width - len(right) - 2)), "text")
    canvas.right(0, right, "text")
    if face.trouble:
        canvas.put(0, 1, fit(f"!! {face.trouble}", canvas.width), "bright")


def _who(face: Face) -> str:
    if face.finished or face.ended:
        return "the session is over"
    asked = face.wanted if _asks(face) else None
    number = asked.copy if asked else face.urgent.copy if face.urgent else None
    name = "" if asked or not face.urgent else f"  {face.urgent.name.lower()}{'  LATE' if face.urgent.late else ''}"
    if number is None:
        return f"all copies{name}" if asked or face.urgent else face.title
    return f"{number} of {sum(not copy.void for copy in face.copies)}{name}"


def _foot(canvas: Canvas, face: Face, shown: Shown) -> None:
    """What a tap does; above it what is being typed and its form, or what went wrong."""
    tap = "leave" if face.finished else face.tap or "nothing now"
    help_key = f"{(shown.bound or KEYS)['help']} keys"
    canvas.put(0, canvas.height - 1, fit(f"tap: {tap}", canvas.width - len(help_key) - 1), "text")
    canvas.right(canvas.height - 1, help_key, "dim")
    if shown.line is not None:
        typed, room = f"> {shown.line}_", canvas.width - len(shown.form) - 3
        form = shown.form if room >= 12 else ""
        room = room if form else canvas.width
        canvas.put(0, canvas.height - 2, typed if len(typed) <= room else "…" + typed[1 - room :], "bright")
        canvas.right(canvas.height - 2, form, "dim")
    elif shown.complaint:
        canvas.put(0, canvas.height - 2, fit(shown.complaint, canvas.width), "bright")


def _summary(canvas: Canvas, summary: Sequence[str]) -> None:
    rows = [text for one in summary for text in packed(one.split(", "), canvas.width, ", ")]
    room = canvas.height - 3
    if len(rows) > room:
        rows[room - 1 :] = [fit("the rest is written when you leave", canvas.width)]
    canvas.block(0, 2, rows)


def _asks(face: Face) -> bool:
    """Whether the question is what must be seen: it is, unless a time runs down meanwhile."""
    return face.wanted is not None and (face.urgent is None or face.urgent.up) and not (face.urgent and face.urgent.late)


def _session(canvas: Canvas, face: Face, shown: Shown) -> None:
    if _asks(face):
        y = _question(canvas, face, 2)
    elif face.urgent is not None:
        y = _time(canvas, face.urgent, 2)
        y = _bar(canvas, face.urgent, y)
        y = _next(canvas, face, y + 1)
    else:
        y = 2
    last = canvas.height - (3 if shown.line is not None or shown.complaint else 2)
    bench = _bench(face, canvas.width)
    notes = _notes(face, canvas.width, canvas.height)
    lines = _lines(face, canvas.width, canvas.height)
    for block in (bench, notes, lines):  # from the bottom up; what finds no room is left out, the least needed last
        if block and last - len(block) >= y:
            last -= len(block)
            for row, piece in enumerate(block):
                for x, text, strength in piece:
                    canvas.put(x, last + 1 + row, text, strength)
            last -= 1 if last - 1 > y and canvas.height >= 24 else 0


def figure_width(width: int, text: str) -> int:
    """How wide the figures of a time are: two thirds of the window for minutes and seconds, less where more must fit."""
    wanted = next(w for w in range(3, width) if glyphs.time_width("0:00", w) * 3 >= width * 2)
    return next((w for w in range(wanted, 3, -1) if glyphs.time_width(text, w) <= width), 3)


def figure_rows(height: int) -> int:
    """How high the figures are: a third of the window."""
    return -(-height // 3)


def _time(canvas: Canvas, urgent: Urgent, y: int) -> int:
    text = ("+" if urgent.up and urgent.late else "") + minutes(urgent.ms)
    rows = figure_rows(canvas.height)
    canvas.block(0, y, glyphs.time(text, figure_width(canvas.width, text), rows), "dim")
    return y + rows


def _bar(canvas: Canvas, urgent: Urgent, y: int) -> int:
    """What is left of a time, or, where an eye or a hand ends it, what has gone by; least, target and most are marked."""
    limits = [limit for limit in (urgent.least, urgent.target, urgent.most) if limit]
    whole = max(limits, default=0)
    if not whole:
        return y
    wide = canvas.width - 1
    gone = round(min(urgent.stayed, whole) * wide / whole)
    lit = range(0, gone + 1) if urgent.up else range(gone, wide + 1)
    canvas.put(0, y, "".join("─" if x in lit and x % 4 == 0 else " " for x in range(wide + 1)), "dim")
    for limit in limits:
        x = round(limit * wide / whole)
        canvas.put(x, y, "│", "bright")
        if limit != urgent.target and canvas.height >= 24:
            label = minutes(limit)
            canvas.put(max(0, x - len(label)), y + 1, label, "dim")
    return y + 1


def _next(canvas: Canvas, face: Face, y: int) -> int:
    """The move that comes next in letters that are read from a metre: the tray alone, since the row above says how."""
    assert face.urgent is not None
    then = face.urgent.then
    if not then:
        return y
    lead, word = _parted(then)
    size = canvas.height // 30 or 1
    size = next((size for size in range(size, 0, -1) if glyphs.letters_width(word, size) <= canvas.width), 0)
    if not size or y + 1 + glyphs.letters_rows(size) > canvas.height - 6:
        canvas.put(0, y, fit(f"then {then}", canvas.width), "bright")
        return y + 1
    if lead:
        canvas.put(0, y, f"then {lead}", "text")
    canvas.block(0, y + bool(lead), glyphs.letters(word, size), "text")
    return y + bool(lead) + glyphs.letters_rows(size)


def _parted(then: str) -> tuple[str, str]:
    """A move as the words before its last, and the word that is drawn large."""
    lead, into, tray = then.rpartition("into the ")
    if into:
        return f"{lead}into the", tray
    what, _, which = then.partition(": ")
    return (what, which) if which else ("", then)


def _question(canvas: Canvas, face: Face, y: int) -> int:
    """The question itself, as large as its words allow in the upper half, and where a tap leads."""
    assert face.wanted is not None
    rows, most = [face.wanted.ask], canvas.height // 2 - 1
    for size in range(max(1, canvas.width // 50), 0, -1):
        rows = textwrap.wrap(face.wanted.ask, max(1, (canvas.width // size + 1) // 4), break_long_words=False)
        high = len(rows) * (glyphs.letters_rows(size) + 1)
        if high <= most and all(glyphs.letters_width(row, size) <= canvas.width for row in rows):
            for row in rows:
                canvas.block(0, y, glyphs.letters(row, size), "dim")
                y += glyphs.letters_rows(size) + 1
            break
    else:
        canvas.put(0, y, fit(face.wanted.ask.upper(), canvas.width), "bright")
        y += 1
    canvas.put(0, y, fit(f"tap = {face.wanted.leads}", canvas.width), "bright")
    return y + 1


def _notes(face: Face, width: int, height: int) -> list[Piece]:
    """What was said last, how the ears are, what is heard next, and the strips where there are some."""
    rows: list[Piece] = []
    if face.said:
        said = textwrap.wrap(f"said  {face.said}", width, subsequent_indent="  ")[: height // 15]
        rows += [[(0, text, "text")] for text in said]
    if face.ears:
        rows.append([(0, fit(face.ears, width), "dim")])
    runs_down = face.urgent is not None and not face.urgent.late and not _asks(face)
    alone = len({mark.copy for mark in face.marks}) < 2  # nobody else could be meant
    soon = face.coming[: 1 if height < 40 else 3] if runs_down else ()
    for one in soon:
        who = "" if alone or one.copy is None else f"copy {one.copy}: "
        rows.append([(0, fit(f"soon  {minutes(one.within)}  {who}{one.words}", width), "dim")])
    if face.totals:
        strips = [f"{i}: {total / 1000:.1f} s" + (" <" if i == face.picked else "") for i, total in enumerate(face.totals, 1)]
        rows += [[(0, text, "text")] for text in packed(["strips, lightest first", *strips], width)]
    return rows


def _lines(face: Face, width: int, height: int) -> list[Piece]:
    """The next two minutes, a line for each copy: a stroke for a call, a block for what commands a move at once."""
    copies = sorted({mark.copy for mark in face.marks if mark.copy is not None})
    lead = max((len(str(copy)) for copy in copies), default=0) + 2
    wide = width - lead - 1
    rows: list[Piece] = []
    for copy in copies:
        row: Piece = [(0, str(copy), "dim")]
        for mark in face.marks:
            if mark.copy == copy:
                at = lead + mark.within * wide // AHEAD
                row.append((at, "█", "text") if mark.act_now else (at, "╷", "dim"))
        rows.append(row)
    return [*rows, [(lead + wide // 2, "1 min", "dim")]] if rows and height >= 28 else rows


def _bench(face: Face, width: int) -> list[Piece]:
    """The trays that have sheets, where they stand from left to right, with what is left; the rest of the copies below."""
    each = width // max(1, len(face.lanes))
    held = [(index, lane) for index, lane in enumerate(face.lanes) if lane.occupants]
    rows: list[Piece] = []
    if each >= 12:
        rows = [
            [(index * each, fit(lane.tray, each - 1), "dim") for index, lane in held],
            [(index * each, fit(_inside(lane), each - 1), "text") for index, lane in held],
        ]
    else:
        wide = max((len(lane.tray) for _, lane in held), default=0) + 2
        rows = [[(0, lane.tray, "dim"), (wide, fit(_inside(lane), width - wide), "text")] for _, lane in held]
    rows += [[(0, text, "dim")] for text in packed(_elsewhere(face.copies), width)[:2] if text]
    return [row for row in rows if row]


def _inside(lane: Lane) -> str:
    """The sheets in a tray by number, and the time of the one that leaves it first."""
    numbers = _ranges([one.copy for one in lane.occupants])
    first = min(lane.occupants, key=lambda one: (one.left is None, one.left or 0, -one.stayed))
    return f"{numbers}  {_left(first)}{' LATE' if any(one.late for one in lane.occupants) else ''}"


def _left(one: Occupant) -> str:
    if one.left is None:
        return f"+{minutes(one.stayed // 10_000 * 10_000)}"
    return minutes(one.left if one.left <= STEADY else -(-one.left // 10_000) * 10_000)


def _elsewhere(copies: tuple[Progress, ...]) -> list[str]:
    """Copies that are in no tray, together where they are alike; a print's time in the toner, and what went wrong, by itself."""
    found: dict[str, list[int]] = {}
    for copy in copies:
        if copy.where in ("in the box", "done", "void") or copy.where.startswith("before "):
            found.setdefault(copy.where, []).append(copy.copy)
    toned = [f"{copy.copy} toned {minutes(copy.toned)}" for copy in copies if copy.toned is not None]
    flaws = [f"{copy.copy} {', '.join(copy.flaws)}" for copy in copies if copy.flaws]
    return [*(f"{_ranges(numbers)} {where}" for where, numbers in found.items()), *toned[-3:], *flaws[-2:]]


def _ranges(numbers: Sequence[int]) -> str:
    """Numbers in order, neighbours joined: 1-3 5."""
    ends: list[list[int]] = []
    for number in sorted(numbers):
        if ends and number == ends[-1][1] + 1:
            ends[-1][1] = number
        else:
            ends.append([number, number])
    return " ".join(str(first) if first == last else f"{first}-{last}" for first, last in ends)
