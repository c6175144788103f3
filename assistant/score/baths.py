"""What is heard while a copy is in a bath, as marks after its first touch. Pure; knows the recipe, not the session."""

from assistant.planning.hand_work import BEFORE_LIFT
from assistant.recipe.model import ByEye, Develop, Fix, Look, Recipe, WetStep
from assistant.score import words
from assistant.score.lamp import Mark

TEN_SECONDS, MINUTE = 10_000, 60_000  # ms
WARNED = 3 * TEN_SECONDS
"""A lift that is due sooner after first touch (ms) has no warning of ten seconds: the hands are still at it. Common practice,
no source."""
REPEAT = 15_000
"""The alarm for a copy that was called and not moved comes again after this time (ms); common practice, no source."""
REPEATS = 40
"""For ten minutes: whoever has not come by then hears no more of it, and a promise has an end."""
OPEN = 30 * MINUTE
"""Nothing is called any longer for a bath that has no end of its own (ms): a promise has an end."""
PAST_AGAIN = 5 * MINUTE
"""That such a bath is past its most is said again so often (ms): common practice, no source."""
EYE_TIME = 30_000
"""After the recipe's last look the time by itself is said so often (ms): common practice, no source."""
EYE_BEYOND = 10 * MINUTE
"""So long beyond its range an eye's bath is followed (ms); as long as the alarm goes on."""
FIRST_TONE_ASKED = 2_000
"""That the first tone is to be tapped is said so soon after first touch (ms): the answer to the hand has ended by then."""


def timed(
    step: WetStep,
    target: int,
    last: Mark,
    whose: int | None = None,
    lifted: int | None = None,
    turns: tuple[int, ...] | None = None,
) -> tuple[Mark, ...]:
    """A stay that ends by the clock: the recipe's own calls, rhythm, warning, lift, and the `last` call (`target` in ms).

    Where several sheets are out every call names `whose` it is, and half of a time is not worth a word; `lifted` is the
    sheet that the lift names. `turns` are planned times (ms after first touch) in place of the recipe's own.
    """
    lift = target - step.drain
    marks = [*_said(step, target), *(_rhythm(step, lift) if turns is None else _planned(step, turns))]
    taken = {mark.offset for mark in marks if mark.kind == "call"}
    if isinstance(step, Develop) and target >= MINUTE and not taken and whose is None:
        marks.append(Mark(target // 2, "call", words.HALF_WAY))
    if lift >= WARNED:
        marks.append(Mark(lift - TEN_SECONDS, "call", words.in_ten_seconds(step.lift)))
    if whose is not None:
        marks = [_named(mark, whose) for mark in marks if mark.words != words.HALF_WAY]
    marks += [Mark(lift, "lift", words.lift(lifted, step.lift)), last]
    return _in_order(marks)


def in_turn(step: WetStep, target: int, last: Mark, whose: int, first: bool) -> tuple[Mark, ...]:
    """One sheet of a stack, in for `target` ms: lifted and moved on in its turn; the recipe's calls come with the `first`."""
    out = target - step.drain
    marks = [Mark(out, "lift", words.lift(whose, step.lift)), last]
    if first:
        marks += [*_said(step, target), Mark(out - TEN_SECONDS, "call", words.in_ten_seconds(step.lift))]
    return _in_order([mark for mark in marks if mark.offset > 0])


def rhythm(step: WetStep, ms: int) -> tuple[Mark, ...]:
    """The agitation of a stack for so long (ms), from when its last sheet is in."""
    return tuple(_rhythm(step, ms))


def untimed(step: WetStep, most: int | None) -> tuple[Mark, ...]:
    """A stay that a hand ends: in a holding water, or in the developer until the first tone is seen; `most` in ms."""
    marks = [*_said(step, None), *_rhythm(step, most or OPEN), *_past(step, most)]
    if isinstance(step, Develop):
        marks.append(Mark(FIRST_TONE_ASKED, "call", words.FIRST_TONE))
    return _in_order(marks)


def _past(step: WetStep, most: int | None) -> list[Mark]:
    """The most (ms) of a bath that no clock ends is over, and again every five minutes."""
    if most is None:
        return []
    return [Mark(most + late, "over", words.most(step.name, most + late)) for late in range(0, OPEN, PAST_AGAIN)]


def by_eye(step: WetStep, seen: ByEye, looks: tuple[Look, ...], last: tuple[int, int] | None) -> tuple[Mark, ...]:
    """A sheet followed by eye: the looks, when the last one came out (copy, ms), the range, then the time by itself."""
    marks = [Mark(look.at, "look", words.look(look.at, look.words)) for look in looks]
    longest = seen.latest
    marks.append(Mark(longest, "call", words.past_range(longest)))
    taken = {mark.offset for mark in marks}
    marks += [
        Mark(at, "look", words.look(at, ""))
        for at in range(EYE_TIME, longest + EYE_BEYOND, EYE_TIME)
        if at > max(taken) and at not in taken
    ]
    if last is not None:
        marks.append(Mark(last[1], "call", words.last_came_out(last[0])))
    return _in_order([*marks, *_said(step, None), *_rhythm(step, longest + EYE_BEYOND), *_past(step, step.at_most)])


def called_again(onward: str, copy: int | None, waits: int) -> tuple[Mark, ...]:
    """A copy whose time is up and which a hand is to move: where to, again and again until the alarm `waits` ms later."""
    return tuple(Mark(at, "tell", words.into(onward, copy)) for at in range(REPEAT, waits, REPEAT))


def overdue(name: str, copy: int | None, stayed: int, target: int | None, most: int | None) -> tuple[Mark, ...]:
    """The alarm for a copy that has stayed `stayed` of its `target` ms and waits for a hand: words at once and every minute."""
    marks = []
    for beat in range(REPEATS):
        late = beat * REPEAT
        says = words.waits(copy, name, stayed + late, target, most) if late % MINUTE == 0 else ""
        marks.append(Mark(late, "over", says))
    return tuple(marks)


def light_safe_after(recipe: Recipe) -> int | None:
    """How long after first touch of the first fixing bath white light is safe, ms; None where nothing is fixed."""
    return next((step.light_safe for step in recipe.steps if isinstance(step, Fix)), None)


def _said(step: WetStep, target: int | None) -> list[Mark]:
    marks = []
    for call in step.say:
        at = call.at
        if call.left is not None and target is not None:
            at = target - call.left
        if at is not None and (target is None or 0 <= at < target):
            marks.append(Mark(at, "call", call.words))
    return marks


def turns_within(step: WetStep, lift: int) -> tuple[int, ...]:
    """When a recipe has a sheet turned that is lifted after `lift` (ms); none where it has no rhythm."""
    agitate = step.agitate
    return () if agitate is None or isinstance(agitate, str) else tuple(range(agitate.every, lift - BEFORE_LIFT, agitate.every))


def _rhythm(step: WetStep, lift: int) -> list[Mark]:
    return _planned(step, turns_within(step, lift))


def _planned(step: WetStep, turns: tuple[int, ...]) -> list[Mark]:
    agitate = step.agitate
    return [] if agitate is None or isinstance(agitate, str) else [Mark(at, "agitate", agitate.say) for at in turns]


def _named(mark: Mark, whose: int) -> Mark:
    said = words.turn(whose, mark.words) if mark.kind == "agitate" else words.of(whose, mark.words)
    return Mark(mark.offset, mark.kind, said)


def _in_order(marks: list[Mark]) -> tuple[Mark, ...]:
    return tuple(sorted(marks, key=lambda mark: mark.offset))
