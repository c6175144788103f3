"""The rows under the large part of the wet side: what was said and comes, the next two minutes, the bench from left to right."""

import textwrap
from collections.abc import Sequence
from itertools import groupby

from assistant.screens.canvas import Canvas
from assistant.screens.drawing import Strength, fit, gone, minutes, packed
from assistant.screens.large import USUAL_ROWS, asks
from assistant.session.view import AHEAD, Face, Lane, Occupant, Progress

Piece = list[tuple[int, str, Strength]]
"""Text at places of one row."""
ALL_SOON, FOR_FIGURES = 40, 28
"""From so many rows on three calls that come are shown and not one, and the line of time has its figure. No source."""
STEP = 5_000
"""ms by which the line of time moves on: about four columns of a hundred, so that it is seen to move and mostly stands still."""
STEADY = 30_000
"""ms: from this on a tray's time changes on the ten seconds only, so that little of the screen moves; never more than is left."""


def put(canvas: Canvas, face: Face, y: int, last: int) -> None:
    """From the bottom up the bench, what was said and comes, and the lines of time; what finds no room is left out."""
    bench, lines, notes = _bench(face, canvas.width), _lines(face, canvas.width, canvas.height), _notes(face, canvas)
    several = len({mark.copy for mark in face.marks} - {None}) > 1  # how their calls lie together can't be heard
    room, found = last - y, []
    notes = [*_said(face, canvas.width, room - len(bench + lines + notes)), *notes]
    for block in (bench, *((lines, notes) if several else (notes, lines))):
        fits = (room or 1) if block is notes else room  # for what was said last the row of air is given up
        rows = block[:fits] if block is notes else block
        if rows and len(rows) <= fits:
            found.append(rows)
            room -= len(rows)
    for block in found:
        last -= len(block)
        for row, piece in enumerate(block):
            for x, text, strength in piece:
                canvas.put(x, last + 1 + row, text, strength)
        if room > 1 and canvas.height >= USUAL_ROWS:
            last, room = last - 1, room - 1


def _said(face: Face, width: int, free: int) -> list[Piece]:
    """What was said last, as far as the rows that nothing else needs; one at least."""
    said = f"said  {face.said}" if face.said else ""
    rows = textwrap.wrap(said, max(8, width), subsequent_indent="  ", max_lines=max(1, free), placeholder=" …")
    return [[(0, row, "text")] for row in rows]


def _notes(face: Face, canvas: Canvas) -> list[Piece]:
    """How the ears are, what is heard next, and the strips where there are some."""
    width, height = canvas.width, canvas.height
    rows: list[Piece] = [[(0, fit(face.ears, width), "dim")]] if face.ears else []
    runs = face.urgent is not None and not face.urgent.up
    waits = (runs or not asks(face)) and not (face.urgent and face.urgent.late)
    alone = len({mark.copy for mark in face.marks}) < 2  # nobody else could be meant
    soon = face.coming[: 1 if height < ALL_SOON else 3] if waits else ()
    for one in soon:
        who = "" if alone or one.copy is None else f"{one.copy}: "
        rows.append([(0, fit(f"soon  {minutes(one.within)}  {who}{one.words}", width), "dim")])
    if face.free is not None and waits:
        rows.append([(0, fit(f"hands free  {minutes(face.free)}", width), "dim")])
    if face.totals:
        strips = [f"{i}: {total / 1000:.1f} s" + (" <" if i == face.picked else "") for i, total in enumerate(face.totals, 1)]
        rows += [[(0, text, "text")] for text in packed(["strips, lightest first", *strips], width)]
    return rows


def _lines(face: Face, width: int, height: int) -> list[Piece]:
    """The next two minutes, a line for each copy: a stroke for a call, a block for what commands a move at once.

    It moves on by `STEP` at a time, all of it together, and is never behind what comes.
    """
    early = STEP - face.moment % STEP
    copies = sorted({mark.copy for mark in face.marks if mark.copy is not None})
    lead = max((len(str(copy)) for copy in copies), default=0) + 2
    wide = width - lead - 1
    rows: list[Piece] = []
    for copy in copies:
        row: Piece = [(0, str(copy), "dim")]
        for mark in face.marks:
            if mark.copy == copy:
                at = lead + max(0, mark.within - early) * wide // AHEAD
                row.append((at, "█", "text") if mark.act_now else (at, "╷", "dim"))
        rows.append(row)
    return [*rows, [(lead + wide // 2, "1 min", "dim")]] if rows and height >= FOR_FIGURES else rows


def _bench(face: Face, width: int) -> list[Piece]:
    """The trays that have sheets, where they stand from left to right, with what is left; the rest of the copies below."""
    each = width // max(1, len(face.lanes))
    large = face.urgent.copy if face.urgent else None
    held = [(index, lane.tray, _inside(lane, large)) for index, lane in enumerate(face.lanes) if lane.occupants]
    rows: list[Piece] = []
    fits = all(max(len(tray), len(inside)) < each - 1 for _, tray, inside in held)
    if fits and (each >= 12 or len(held) > 2):  # in a narrow window one tray is read as well from one row, and leaves more
        rows = [
            [(index * each, tray, "dim") for index, tray, _ in held],
            [(index * each, inside, "text") for index, _, inside in held],
        ]
    else:
        wide = max((len(tray) for _, tray, _ in held), default=0) + 2
        rows = [[(0, tray, "dim"), (wide, fit(inside, width - wide), "text")] for _, tray, inside in held]
    rows += [[(0, text, "dim")] for text in packed(_elsewhere(face.copies), width)[:2] if text]
    return [row for row in rows if row]


def _inside(lane: Lane, large: int | None) -> str:
    """The sheets in a tray by number, and the time of the one that leaves it first, to the second where it is drawn large."""
    numbers = _ranges([one.copy for one in lane.occupants])
    first = min(lane.occupants, key=lambda one: (one.over is None, one.left is None, one.left or 0, -one.stayed))
    return f"{numbers}  {_time(first, first.copy == large)}"


def _time(one: Occupant, exact: bool) -> str:
    if one.over is not None:
        return f"+{gone(one.over)} LATE"
    ms = one.stayed if one.left is None else one.left
    steady = ms if exact or (one.left is not None and ms < STEADY) else ms // 10_000 * 10_000
    return f"+{gone(steady)}" if one.left is None else minutes(steady)


def _elsewhere(copies: tuple[Progress, ...]) -> list[str]:
    """Copies that are in no tray, together where they are alike; a print's time in the toner, and what went wrong, by itself."""
    found: dict[str, list[int]] = {}
    for copy in copies:
        if not copy.busy:
            found.setdefault(copy.where, []).append(copy.copy)
    toned = [f"{copy.copy} toned {gone(copy.toned)}" for copy in copies if copy.toned is not None]
    flaws = [f"{copy.copy} {', '.join(copy.flaws)}" for copy in copies if copy.flaws]
    return [*(f"{_ranges(numbers)} {where}" for where, numbers in found.items()), *toned[-3:], *flaws[-2:]]


def _ranges(numbers: Sequence[int]) -> str:
    """Numbers in order, neighbours joined: 1-3 5."""
    runs = groupby(enumerate(sorted(numbers)), lambda one: one[1] - one[0])
    ends = [[number for _, number in run] for _, run in runs]
    return " ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in ends)
