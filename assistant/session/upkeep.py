"""Calls that belong to the room and not to one copy's bath: when white light is safe for all, when water is to be changed.

They are read off the bench as it will be when only a hand could change it (see `promise`).
"""

from collections.abc import Iterator

from assistant.recipe.model import Expose
from assistant.score import words
from assistant.score.cues import Cue
from assistant.session.bench import Bench
from assistant.session.copy import Copy, Stay

LATE_CHANGE = 60_000
"""Water is not changed any more this long before its sheets are lifted (ms)."""
HORIZON = 2 * 3_600_000
"""How far ahead of the last change calls that have no end of their own are promised (ms)."""


def white_light(end: Bench) -> Iterator[Cue]:
    """Once for every sheet, at its own safe moment, and only if no other sheet is before its own by then."""
    after = end.score.light_safe_after
    if after is None:
        return
    dark = {copy.number: _dark_time(end, copy, after) for copy in end.copies if not copy.void}
    for number, (_, safe) in dark.items():
        others = (span for other, span in dark.items() if other != number)
        if safe is None or any(begun is not None and begun <= safe and (o is None or o > safe) for begun, o in others):
            continue
        first = number == 1 and end.plan.copies > 1 and end.plan.recipe.light == "safe"
        yield Cue(safe, "safe", words.LOOK_AT_FIRST if first else words.WHITE_LIGHT, number, "fix")


def _dark_time(end: Bench, copy: Copy, after: int) -> tuple[int | None, int | None]:
    """From when a sheet is out of its box, and until when white light would spoil it (ms; None: not yet)."""
    begun = copy.stays[0].from_ms if copy.stays else copy.since
    fixed = next((stay for stay in copy.stays if stay.kind == "fix"), None)
    if fixed is not None:
        return begun, fixed.from_ms + after
    if copy.live and copy.since is not None and end.step_of(copy).kind == "fix":
        return begun, copy.since + after
    return begun, None


def fresh_water(end: Bench) -> Iterator[Cue]:
    """For every tray whose water is to be renewed, as long as sheets are in it."""
    for tray, bath in end.plan.recipe.trays.items():
        if bath.refresh is None:
            continue
        for begun, over, kind in _filled(end, tray):
            last = over - LATE_CHANGE if over is not None else end.now + HORIZON
            for at in range(begun + bath.refresh, last, bath.refresh):
                yield Cue(at, "water", words.change_water(bath.bath), None, kind)


def _filled(end: Bench, tray: str) -> list[tuple[int, int | None, str]]:
    """The spans during which a tray has sheets in it, joined where they touch; the last one may be open."""
    spans: list[tuple[int, int | None, str]] = [_span(s) for c in end.copies for s in c.stays if s.tray == tray]
    for copy in end.living():
        step = end.step_of(copy)
        if copy.since is not None and not isinstance(step, Expose) and step.tray == tray:
            spans.append((copy.since, None, step.kind))
    joined: list[tuple[int, int | None, str]] = []
    for begun, over, kind in sorted(spans, key=lambda span: span[0]):
        if joined and (joined[-1][1] is None or begun <= (joined[-1][1] or 0)):
            last = joined[-1][1]
            joined[-1] = (joined[-1][0], None if last is None or over is None else max(last, over), joined[-1][2])
        else:
            joined.append((begun, over, kind))
    return joined


def _span(stay: Stay) -> tuple[int, int, str]:
    return stay.from_ms, stay.to_ms, stay.kind
