"""Calls that belong to the room and not to one copy's bath: when white light is safe for all, when water is to be changed.

Both are read off the bench as it will be (see `promise`).
"""

from collections.abc import Iterator

from assistant.planning.longest_ways import FAR
from assistant.score import words
from assistant.score.cues import Cue
from assistant.session.bench import Bench
from assistant.session.copy import Stay
from assistant.session.next_hand import safe_from
from assistant.session.place import InBath, InLight, Over, Waiting

LATE_CHANGE = 60_000
"""Water is not changed any more this long before its sheets are lifted (ms): a change takes nearly as long. Common practice,
no source."""
BEFORE, AFTER = 45_000, 10_000
"""Changing the water of a tray takes about so long (ms): hands that are wanted within it are not free, nor are those that
have just let go of a sheet. Common practice, no source."""
NEAR, AFTER_MOVE = 3_000, 5_000
"""A sheet that is moved so near the moment at which white light is safe (ms) is moved first: the sentence comes so long after
its pip. Common practice, no source."""
AT_THE_PAPER = 3 * 60_000
"""Whoever was asked for a sheet so long ago (ms) and has not begun is not at the paper, and can change water. Common practice,
no source."""
HORIZON = 2 * 3_600_000
"""How far ahead of the last change calls that have no end of their own are promised (ms): prints lie in a holding water no
longer. Common practice, no source."""


def white_light_calls(bench: Bench) -> Iterator[Cue]:
    """Once when white light has become safe for every sheet that is out."""
    at = bench.white_since
    if at is None:
        return
    safe = {copy.number: moment for copy in bench.copies if not copy.void and (moment := safe_from(bench, copy)) is not None}
    number = next((number for number, moment in safe.items() if moment == at), None)
    more = any(copy.boxed for copy in bench.living())
    first = len(safe) == 1 and more and bench.plan.recipe.light == "safe"
    moves = {*bench.endings, *(copy.since for copy in bench.living() if copy.bath is not None)}
    near = max((move for move in moves if move is not None and abs(move - at) < NEAR), default=None)
    said = at if near is None else near + AFTER_MOVE
    yield Cue(said, "safe", words.look_at_first(next(iter(safe))) if first else words.WHITE_LIGHT, number, "fix")


def fresh_water(end: Bench, after: int) -> Iterator[Cue]:
    """For every tray whose water is to be renewed, as long as sheets are in it; it waits until the hands are free.

    What was to be renewed so long before `after` (ms) that the next time has come by then is left out.
    """
    wanted = list(_wanted(end, after))
    busy = tuple(_busy(end, min(at for at, *_ in wanted))) if wanted else ()
    for at, by, bath, kind in wanted:
        free = _free_from(busy, at)
        if free < by:
            yield Cue(free, "water", words.change_water(bath), None, kind)


def _wanted(end: Bench, after: int) -> Iterator[tuple[int, int, str, str]]:
    """When a water is to be renewed, by when that has to be (ms), the water's name, and the kind of step it is in."""
    filled = _filled(end)
    for tray, bath in end.plan.recipe.trays.items():
        every = bath.refresh
        if every is None or tray not in filled:
            continue
        for begun, over, kind in _joined(filled[tray]):
            last = (over if over is not None else _asked_out(end, tray)) - LATE_CHANGE
            first = begun + every * max(1, (after - begun) // every)
            yield from ((at, min(at + every, last), bath.bath, kind) for at in range(first, last, every))


def _asked_out(end: Bench, tray: str) -> int:
    """When a hand is asked to take all sheets out of a tray; far ahead where nobody is."""
    inside = {copy.number for copy in end.living() if copy.bath is not None and end.step_of(copy).tray == tray}
    return next((ask.at for ask in end.asks if inside <= set(ask.copies)), end.now + HORIZON)


def _busy(end: Bench, since: int) -> Iterator[tuple[int, int]]:
    """When from `since` on the hands are not free: a sheet is asked for, is under the lamp and carried on from there, is followed
    by eye, is about to be lifted, or has just been moved.

    Nothing that only a hand begins or ends is counted before its moment, a sheet not before its question was said: it would
    put off a call that was said already.
    """
    steps = end.plan.recipe.steps
    last_in: dict[tuple[int, int], int] = {}
    every = ((copy, stay) for copy in end.copies for stay in copy.stays)
    stays = [stay for copy, stay in every if stay is copy.stays[-1] or stay.to_ms + (stay.target_ms or 0) + AFTER > since]
    for stay in stays:
        left = stay.step, stay.to_ms
        last_in[left] = max(last_in.get(left, 0), stay.from_ms)
    for stay in stays:
        step = steps[stay.step]
        if step.ends == "eye":
            yield stay.from_ms, stay.to_ms + AFTER
        elif step.ends == "light":
            yield stay.from_ms - (step.count_in if step.kind == "expose" else 0), _put_down(end, stay) + AFTER
        elif stay.target_ms is None:
            yield stay.to_ms, stay.to_ms + AFTER
        else:
            planned = last_in[stay.step, stay.to_ms] + stay.target_ms  # the last one in counts for all
            yield planned - BEFORE, max(planned, stay.to_ms) + AFTER
    for copy in end.living():
        if copy.since is not None and end.step_of(copy).ends == "eye":
            yield copy.since, FAR
    yield from _from_box_to_bath(end)


def _from_box_to_bath(end: Bench) -> Iterator[tuple[int, int]]:
    """From when a sheet was asked for until it lies in its first bath, or is spoiled, dry hands are wanted, and paper is out."""
    yield from ((ask.at, ask.at + AT_THE_PAPER) for ask in end.asks if any(end.copy(number).boxed for number in ask.copies))
    for copy in end.copies:
        if copy.asked is not None and not copy.boxed:
            baths = (stay.from_ms for stay in copy.stays if stay.kind != "expose")
            put_down = next(baths, copy.place.since if isinstance(copy.place, InBath | Over) else None)
            yield copy.asked, min(copy.asked + AT_THE_PAPER, FAR if put_down is None else put_down + AFTER)


def _put_down(end: Bench, lit: Stay) -> int:
    """When a sheet that has had its light came under the next, into its bath, or was spoiled (ms); far ahead while on its way."""
    copy = end.copy(lit.copy)
    if isinstance(copy.place, Waiting):
        return FAR
    here = copy.place.since if isinstance(copy.place, InBath | InLight | Over) else lit.to_ms
    return next((stay.from_ms for stay in copy.stays if stay.from_ms >= lit.to_ms), here)


def _free_from(busy: tuple[tuple[int, int], ...], at: int) -> int:
    """The first moment from `at` on at which the hands are free."""
    while (over := max((until for begun, until in busy if begun <= at < until), default=None)) is not None:
        at = over
    return at


_Spans = list[tuple[int, int | None, str]]
"""From when to when (ms; None: still) a sheet was in a tray, and for which kind of step."""


def _filled(end: Bench) -> dict[str, _Spans]:
    """From when to when (ms) each tray has had a sheet in it, and for which kind of step; None: it is in there still."""
    spans: dict[str, _Spans] = {}
    for copy in end.copies:
        for stay in copy.stays:
            if stay.tray is not None:
                spans.setdefault(stay.tray, []).append((stay.from_ms, stay.to_ms, stay.kind))
    for copy in end.living():
        step = end.step_of(copy)
        if copy.bath is not None and step.tray is not None:
            spans.setdefault(step.tray, []).append((copy.bath.since, None, step.kind))
    return spans


def _joined(spans: _Spans) -> _Spans:
    """The spans during which a tray has sheets in it, joined where they touch; the last one may be open."""
    joined: _Spans = []
    for begun, over, kind in sorted(spans, key=lambda span: span[0]):
        if joined and (joined[-1][1] is None or begun <= (joined[-1][1] or 0)):
            last = joined[-1][1]
            joined[-1] = (joined[-1][0], None if last is None or over is None else max(last, over), joined[-1][2])
        else:
            joined.append((begun, over, kind))
    return joined
