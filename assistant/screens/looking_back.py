"""Looking back: the sessions printed so far, and one of them leaf by leaf. Changes nothing and reads no file itself.

What a leaf says is `past`'s; here is which session and leaf are looked at, how they share the window, and the keys.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.history.printed import Printed
from assistant.screens.drawing import Row, packed
from assistant.screens.leaf import Leaf, dry_peak
from assistant.screens.past import Block, blocks, headline
from assistant.terminal.brightness import LEVELS
from assistant.trade.foreign_text import as_text

KEYS = ("esc: leave", "up down: session", "left right: copy", "space: on", "f1: help")
LISTED = 3
"""So many sessions are listed at least; more, up to a fifth of its rows, where the window is high."""
PLOT = (5, 12)
"""A plot is as many rows high as a third of the window, from and to."""


@dataclass(frozen=True)
class Place:
    """What is looked at: the session by its place in the list, its leaf (0 the edition), the page of that leaf."""

    at: int = 0
    leaf: int = 0
    page: int = 0


def draw_past(sessions: Sequence[Printed], place: Place, width: int, height: int) -> list[Row]:
    """The rows of looking back, `height` of them; only the sessions that are seen are asked for."""
    shown = max(LISTED, height // 5)
    first = max(0, min(place.at - shown // 2, len(sessions) - shown))
    listed = range(first, min(first + shown, len(sessions)))
    past = sessions[place.at]
    rows = [Row(_fitted(f"Printed so far: {len(sessions)}", width), "dim")]
    rows += [_in_list(sessions[i], i == place.at, width) for i in listed]
    rows += [Row(""), Row(_fitted(headline(past, place.leaf), width), "bright")]
    foot = [Row(row, "dim") for row in packed(KEYS, width)]
    room = max(2, height - len(rows) - len(foot))
    pages = paged(blocks(past, place.leaf, width, min(max(height // 3, PLOT[0]), PLOT[1])), room)
    rows += [Row(_fitted(row.text, width), row.strength) for row in pages[place.page % len(pages)]]
    rows += [Row("")] * (height - len(foot) - len(rows))
    whole = [*rows[: max(0, height - len(foot))], *foot][:height]
    return [Row(_fitted(as_text(row.text), width), row.strength) for row in whole]


def paged(found: Sequence[Block], room: int) -> list[list[Row]]:
    """Blocks on pages of at most `room` rows, a row of air between two; only one longer than a page is broken."""
    if sum(map(len, found)) + len(found) - 1 <= room:
        return [[row for block in found for row in (Row(""), *block)][1:]]
    pages: list[list[Row]] = [[]]
    for block in found:
        for part in (block[i : i + room - 1] for i in range(0, len(block), room - 1)):
            if pages[-1] and len(pages[-1]) + 1 + len(part) > room - 1:
                pages.append([])
            pages[-1] += [Row(""), *part] if pages[-1] else part
    return [[*page, Row(f"(page {number} of {len(pages)}: space)", "dim")] for number, page in enumerate(pages, 1)]


def _in_list(past: Printed, looked_at: bool, width: int) -> Row:
    session = past.session
    done = f"{past.course.counted.get('done', 0):>2} of {session.copies:<2}"
    state = "  not ended" if session.ended is None else ""
    front = f"{'>' if looked_at else ' '}{session.number:>4}  {session.started:%Y-%m-%d %H:%M}  {done}  "
    title = _fitted(session.title, max(1, width - len(front) - len(state)))
    return Row(_fitted(front + title + state, width), "bright" if looked_at else "dim")


def _fitted(text: str, width: int) -> str:
    return packed((text,), width)[0]


class LookingBack(Leaf[None]):
    """Sessions up and down, the leaves of one left and right, space for its next page, escape to leave."""

    ON_KEYS = (
        "up, down: another session, the last one first",
        "left, right: the edition as a whole, then each of its copies",
        "space: the next page",
        "esc or q: leave",
    )

    def __init__(self, sessions: Sequence[Printed], at: int = 0, peak: int = LEVELS["setup"]) -> None:
        super().__init__(peak)
        if not sessions:
            raise ValueError("There is no session to look back on.")
        self.sessions = sessions
        self.place = Place(at)

    def pressed(self, key: str, character: str | None) -> None:
        """Turn to another session, leaf or page, or leave."""
        place = self.place
        leaves = 1 + len(self.sessions[place.at].course.sheets)
        if key in ("escape", "ctrl+c", "q"):
            self.exit()
        elif key in ("up", "down"):
            self.place = Place((place.at + (1 if key == "down" else -1)) % len(self.sessions))
        elif key in ("left", "right"):
            self.place = Place(place.at, (place.leaf + (1 if key == "right" else -1)) % leaves)
        elif key == "space":
            self.place = Place(place.at, place.leaf, place.page + 1)

    def rows(self, width: int, height: int) -> list[Row]:
        """The leaf looked at."""
        return draw_past(self.sessions, self.place, width, height)


def look_back(sessions: Sequence[Printed], *, at: int = 0, level: str = "setup", gated: bool = False) -> None:
    """Let the printer look back, first on the session at a place in the list. Level and gate as in `run_session`."""
    LookingBack(sessions, at, dry_peak(level, gated)).run()
