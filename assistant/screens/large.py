"""The one large thing of the wet side: the time that runs with what limits it and the move after it, or the question.

Large is not bright: the figures are many cells, so they are painted in the weakest of the three strengths. Each part is put
from a row on, and says at which row it ended.
"""

import textwrap
from functools import lru_cache

from assistant.screens import glyphs
from assistant.screens.canvas import Canvas
from assistant.screens.drawing import fit, gone, minutes
from assistant.session.urgency import Urgent
from assistant.session.view import Face

USUAL_ROWS = 24
"""Rows of a window as terminals open it: in a lower one no row is spent on air, or on what limits say besides their mark."""
A_SIZE = 30
"""So many rows of a window for every size of letters: a move then takes about a tenth of its height. No source."""
ACT_SOON = 10_000
"""ms: with a call to act so near, its time is what must be seen: as long before as the voice warns of a lift."""


def asks(face: Face) -> bool:
    """Whether the question is what must be seen: it is, unless a sheet is late or drains, or a call to act is near."""
    urgent = face.urgent
    if face.wanted is None or urgent is None:
        return face.wanted is not None
    near = any(mark.act_now and mark.within <= ACT_SOON for mark in face.marks)
    return not urgent.late and (urgent.up or not (urgent.called or near))


@lru_cache(maxsize=64)  # a few minutes of one window
def figure_width(width: int, text: str) -> int:
    """How many columns a figure of a time has: two thirds of the window for minutes and seconds, less where more must fit."""
    wanted = next((w for w in range(3, width) if glyphs.time_width("0:00", w) * 3 >= width * 2), 3)
    return next((w for w in range(wanted, 3, -1) if glyphs.time_width(text, w) <= width), 3)


def figure_rows(height: int) -> int:
    """How high the figures are: a third of the window."""
    return -(-height // 3)


def figure(urgent: Urgent) -> str:
    """The time that runs: what is left, what has gone by, or how long it is over."""
    return f"{'+' if urgent.late else ''}{gone(urgent.ms)}" if urgent.up else minutes(urgent.ms)


def time(canvas: Canvas, urgent: Urgent, y: int) -> int:
    """The time that runs, in figures."""
    text, rows = figure(urgent), figure_rows(canvas.height)
    canvas.block(0, y, glyphs.time(text, figure_width(canvas.width, text), rows), "dim")
    return y + rows


def bar(canvas: Canvas, urgent: Urgent, y: int) -> int:
    """What is left of a time, or, where an eye or a hand ends it, what has gone by; least, target and most are marked."""
    limits = [limit for limit in (urgent.least, urgent.target, urgent.planned, urgent.most) if limit]
    whole = max(limits, default=0)
    if not whole:
        return y
    wide = canvas.width - 1
    gone = round(min(urgent.stayed, whole) * wide / whole)
    lit = range(0, gone + 1) if urgent.up else range(gone, wide + 1)
    canvas.put(0, y, "".join("─" if x in lit and x % 4 == 0 else " " for x in range(wide + 1)), "dim")
    free = canvas.width
    for limit in sorted(limits, reverse=True):  # the most first: of two whose figures would meet it is the one to know
        x = round(limit * wide / whole)
        canvas.put(x, y, "│", "bright")
        label = minutes(limit)
        begins = max(0, x - len(label))
        if limit != urgent.target and canvas.height >= USUAL_ROWS and begins + len(label) < free:
            canvas.put(begins, y + 1, label, "dim")
            free = begins
    return y + 1


def next_move(canvas: Canvas, face: Face, y: int) -> int:
    """The move that comes next in letters that are read from a metre: the tray alone, since the row above says how.

    Until it is called a "then" leads it: who reads the letters alone would act at once.
    """
    assert face.urgent is not None
    if not face.urgent.then:
        return y
    then = face.urgent.then if face.urgent.called else f"then {face.urgent.then}"
    lead, word = _parted(then)
    size = canvas.height // A_SIZE or 1
    size = next((size for size in range(size, 0, -1) if glyphs.letters_width(word, size) <= canvas.width), 0)
    if not size or y + 1 + glyphs.letters_rows(size) > canvas.height - 6:
        canvas.put(0, y, fit(then, canvas.width), "bright")
        return y + 1
    if lead:
        canvas.put(0, y, lead, "text")
    canvas.block(0, y + bool(lead), glyphs.letters(word, size), "text")
    return y + bool(lead) + glyphs.letters_rows(size)


def _parted(then: str) -> tuple[str, str]:
    """A move as the words before its last, and the word that is drawn large."""
    lead, into, tray = then.rpartition("into the ")
    if into:
        return f"{lead}into the", tray
    what, _, which = then.partition(": ")
    if which:
        return what, which
    return ("then", then.removeprefix("then ")) if then.startswith("then ") else ("", then)


def question(canvas: Canvas, face: Face, y: int) -> int:
    """The question itself, as large as its words allow in the upper half, and where a tap leads."""
    assert face.wanted is not None
    rows, most = [face.wanted.ask], canvas.height // 2
    for size in range(max(1, canvas.width // 40), 0, -1):
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
