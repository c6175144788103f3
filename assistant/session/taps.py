"""What one tap does: a table from what a hand may be about to do to what becomes of the bench, and what is answered.

Whose the tap is was decided in `hands`. A rule gives a new bench and the words of the answer, or `Refused` with the
reason; it never changes anything on the way. Every answer says what was taken, and for which copy when several are out.
"""

from collections.abc import Callable
from typing import TypeAlias

from assistant.recipe.model import Develop
from assistant.score import words
from assistant.session.answers import Done
from assistant.session.bench import Bench
from assistant.session.changes import SHORT_WINDOW, change, lamp_is_on, seen, unheard_by
from assistant.session.copy import Copy
from assistant.session.frozen import replace
from assistant.session.hands import Hand, done_soonest, into_full, likeliest, meant
from assistant.session.happenings import Planned
from assistant.session.in_the_way import in_the_way
from assistant.session.passing import beat
from assistant.session.place import AskedFor, Called, InLight, Waiting
from assistant.session.spoiling import voided
from assistant.trade import emergence
from assistant.trade.quantities import LONGEST

WORTH_SAYING = 2_000
"""A move less than this off its pip (ms) is not commented on: a hand in water is no faster. Common practice, no source."""

SECOND_TAP = 4_000
"""A second tap so soon (ms) says that the first was taken for the wrong sheet: its answer has been heard by then, and
nothing else is planned so close. Common practice, no source."""

IN_ORDER = 15_000
"""Two taps further apart (ms) are for two things: a sheet is carried within ten seconds. Common practice, no source."""

Rule: TypeAlias = Callable[[Bench, Hand, int], Done]


def set_right(bench: Bench, hand: Hand, at: int) -> Done:
    """It went in now, not on its pip."""
    copy = bench.copy(hand.copies[0])
    after = change(bench, copy, "set right", at)
    if bench.planned is not None and hand.step <= bench.plan.station_after(0) and at > hand.due:
        after = replace(after, late=(*bench.late, at - hand.due))
    back = words.on_its_pip(_one(hand), _name(bench, hand.step))
    return _done(after, bench, hand, _name(bench, hand.step), at - hand.due, back)


def moved_on(bench: Bench, hand: Hand, at: int) -> Done:
    """It goes on now: a little before its pip, or long after it, which nobody may have heard."""
    copy = bench.copy(hand.copies[0])
    over = copy.place.over if isinstance(copy.place, Called) else hand.due
    back = words.still_in(_one(hand), bench.step_of(copy).name)
    return _done(change(bench, copy, "moved on", at), bench, hand, _name(bench, hand.step), at - over, back)


def pull(bench: Bench, hand: Hand, at: int) -> Done:
    """The eye has decided: out of the bath, and its time is said."""
    after = change(bench, bench.copy(hand.copies[0]), "moved on", at)
    stay = after.copy(hand.copies[0]).stays[-1]
    back = words.still_in(_one(hand), stay.name)
    return Done(after, words.pulled(stay.lasted, bench.score.name(hand.step)), hand.copies[0], back=back)


def first_tone(bench: Bench, hand: Hand, at: int) -> Done:
    """The first tone is seen: the development is so many times that long."""
    copy = bench.copy(hand.copies[0])
    step = bench.step_of(copy)
    assert isinstance(step, Develop)
    assert step.factor is not None
    assert copy.since is not None
    emerged = min(max(at - copy.since, 1), int(LONGEST / step.factor))
    worked_out = emergence.development(emerged, step.factor)
    target = max(min(worked_out, step.at_most or worked_out), step.at_least or 0) if bench.rules > 1 else worked_out
    after = replace(seen(bench, copy, at, target), emerged=(*bench.emerged, (copy.number, emerged)))
    drift = _drift(bench, copy, emerged)
    said = words.first_tone(target, drift) if target == worked_out else words.held_to(target, target > worked_out, drift)
    return Done(after, said, copy.number, back=words.NO_FIRST_TONE)


def _drift(bench: Bench, copy: Copy, emerged: int) -> str:
    """Against the first sheet in the bath as it was mixed last."""
    since = bench.mixed(bench.step_of(copy).tray)
    first = next((ms for number, ms in bench.emerged if _immersed(bench.copy(number)) >= since), None)
    if first is None:
        return ""
    slower = emergence.drift(first, emerged)
    return words.developer_going(slower.percent) if slower.tired else ""


def _immersed(copy: Copy) -> int:
    return next((stay.from_ms for stay in copy.stays if stay.kind == "develop"), copy.since or 0)


def begin(bench: Bench, hand: Hand, at: int) -> Done:
    """What was asked for: light, a bath, or all copies into one."""
    first = bench.copy(hand.copies[0])
    if first.bath is None:
        run = first.place.run if isinstance(first.place, Waiting) else 0
        if _is_light(bench, hand) and (met := in_the_way(bench, first, run, at)) is not None:
            return _must_wait(bench, first, met, at)
        after = change(bench, first, "begun", at)
        if isinstance(after.copy(first.number).place, InLight):
            return _done(after, bench, hand, words.LIGHT, 0, words.no_light_for(first.number))
        return _done(after, bench, hand, _name(bench, hand.step), 0, words.not_in(first.number, _name(bench, hand.step)))
    after = bench
    for number in hand.copies:
        if after.copy(number).step == first.step:
            after = change(after, after.copy(number), "moved on", at)
    return _done(after, bench, hand, _name(bench, hand.step), 0, words.still_in(_one(hand), bench.step_of(first).name))


def _must_wait(bench: Bench, copy: Copy, met: tuple[Copy, int], at: int) -> Done:
    """Its light would not be over before another sheet has to be lifted: what the tap tells is that the paper lies there."""
    mate, lift = met
    lies = not isinstance(copy.place, AskedFor) or copy.place.laid
    after = bench if lies else change(bench, copy, "laid", at)
    said = words.wait(mate.number, lift - at) if lift > at else words.wait_for(mate.number)
    return Done(after, said, copy.number, done=False, back="" if lies else words.not_laid(copy.number))


def laid_too_late(bench: Bench, at: int) -> Done | None:
    """A tap after its question was closed still tells that the paper lies there; None: no paper was asked for."""
    copy = next((one for one in bench.living() if isinstance(one.place, AskedFor) and not one.place.laid), None)
    if copy is None or not bench.overlaps or bench.step_of(copy).ends != "light":
        return None
    met = in_the_way(bench, copy, 0, at)
    return _must_wait(bench, copy, met, at) if met is not None else None


def laid_rather(bench: Bench, at: int, then: int) -> Done | None:
    """The same where all that a tap could say else is that a sheet came into its bath much later than its pip."""
    hand = meant(bench, then) if bench.overlaps else None
    late = hand is not None and hand.what == "set right" and then > hand.due + SHORT_WINDOW
    return laid_too_late(bench, at) if late else None


def spoil(bench: Bench, hand: Hand, at: int) -> Done:
    """Yes, it is void."""
    return voided(bench, bench.copy(hand.copies[0]), at)


def go_alone(bench: Bench, hand: Hand, at: int) -> Done:
    """The sheets that are still in their box go one at a time."""
    return Done(replace(bench, one_by_one=True), words.ONE_AT_A_TIME, back=words.SEVERAL_AGAIN)


TAPS: dict[str, Rule] = {
    "set right": set_right,  # for a while after its pip: see `changes.window`
    "moved on": moved_on,  # a moment before its pip, or its time was up and only a hand can say that it has moved
    "first tone": first_tone,
    "pull": pull,
    "begin": begin,
    "alone": go_alone,  # offered where the hands were too late for the plan again and again
    "void": spoil,  # asked for by a button that was held on a plan on hold
}
"""What a hand may be about to do -> what its tap does."""


def _one(hand: Hand) -> int | None:
    return hand.copies[0] if len(hand.copies) == 1 else None


def _done(after: Bench, before: Bench, hand: Hand, name: str, late: int, back: str = "") -> Done:
    copy = _one(hand)
    named = copy if before.in_company or after.in_company else None
    said = words.taken(named, name, late if abs(late) >= WORTH_SAYING else 0)
    return Done(after, said, copy, back=back)


def _name(bench: Bench, step: int) -> str:
    return bench.score.name(step) or words.OUT


def tapped(bench: Bench, at: int, then: int) -> Done | None:
    """What a tap does that was meant at `then`, at `at` or before it; None: nothing.

    It means what it would have meant at once, and its bath is stamped with that moment; a light is never put into the past.
    """
    hand = meant(bench, then)
    if hand is None:
        return None
    moment = at if hand.what == "void" or _is_light(bench, hand) else then
    done = TAPS[hand.what](bench, hand, moment)
    return replace(done, bench=unheard_by(done.bench, at)) if moment < at else done


def handed_over(bench: Bench, at: int) -> Done | None:
    """A second tap within four seconds: the first one was for the other sheet that it could have meant. None: there is none.

    A light whose count-in is over is not taken back for it, and what was called since is answered: a pip, and a question
    that can be done by now. The answer names the sheet, since the last one was of another, and says what was taken back.
    """
    done = _of_the_other(bench, at)
    if done is None:
        return None
    name = words.copy(done.copy) if done.copy is not None else ""
    said = done.words if name in done.words else f"{name}, {done.words}"
    return replace(done, words=". ".join(filter(None, [said, done.back])))


def _of_the_other(bench: Bench, at: int) -> Done | None:
    """What it does, and with `back` what it takes back."""
    if bench.last_tap is None or not bench.overlaps or at - bench.last_tap.at > SECOND_TAP:
        return None
    _, then, before = bench.last_tap
    if _told_since(bench, before) or _called_since(bench, then, at):
        return None
    first, *others = likeliest(before, then)
    apart = (hand for hand in others if set(hand.copies).isdisjoint(first.copies))
    other = next((hand for hand in apart if not into_full(before, before.copy(hand.copies[0]))), None)
    if other is None:
        return None
    if any(_lit_since(before, bench, number, at) for number in first.copies):
        if other not in likeliest(bench, then):
            return None
        done = TAPS[other.what](bench, other, then)
        return replace(done, bench=unheard_by(done.bench, at), back="")
    light = _is_light(before, other)
    base = beat(before, at) if light else before
    if light and not isinstance(base.copy(other.copies[0]).place, AskedFor | Waiting):
        return None
    done = TAPS[other.what](base, other, at if light else then)
    again = tuple(ask for ask in done.bench.asks if ask.copies != first.copies)  # its answer was none: it is asked anew
    after = replace(done.bench, history=bench.history, planned=bench.planned, offer=bench.offer, asks=again)
    return replace(done, bench=after, back=bench.history[len(before.history)].back)


def _called_since(bench: Bench, then: int, at: int) -> bool:
    """Whether a tap now answers what was called after a tap at `then`: a pip, or a question that hands can have done by now."""
    hand = meant(bench, at)
    if hand is None or hand.due <= then:
        return False
    return hand.due <= at if hand.act_now else hand.what == "begin" and at >= done_soonest(bench, hand)


def _told_since(bench: Bench, before: Bench) -> bool:
    """Whether hands told anything else since the tap on a bench: it would be lost where that tap is worked out again."""
    return not all(isinstance(told.happening, Planned) for told in bench.history[len(before.history) + 1 :])


def _lit_since(before: Bench, bench: Bench, number: int, at: int) -> bool:
    """Whether a sheet has had light that it had not had before: its lamp is on, or over already."""
    copy = bench.copy(number)
    return lamp_is_on(bench, copy, at) or copy.lit > before.copy(number).lit


def in_order(bench: Bench, at: int) -> Done | None:
    """The second of two taps, where only a pip is left to mean that was called before what the first was taken for.

    One pair of hands goes in the order of the calls: so the first tap was for that pip, and this one is for the other sheet,
    whose time in its last bath, a development too, was then so much longer. None: it is not so, the two are too far apart, or
    what the first began was a light.
    """
    if bench.last_tap is None or not bench.overlaps or (hand := meant(bench, at)) is None or hand.what != "set right":
        return None
    tapped_at, then, before = bench.last_tap
    first, *others = likeliest(before, then)
    copy = bench.copy(first.copies[0])
    soon = at - tapped_at <= IN_ORDER and not _told_since(bench, before)
    if not soon or hand not in others or hand.due >= first.due or copy.bath is None or copy.since != then:
        return None
    earlier = set_right(replace(bench, late=before.late), hand, then)
    later = set_right(earlier.bench, first._replace(due=first.due if first.what == "set right" else at), at)
    return replace(later, bench=unheard_by(later.bench, at), words=f"{earlier.words}. {later.words}", back=words.FIRST_TAP_STANDS)


def _is_light(bench: Bench, hand: Hand) -> bool:
    return hand.what == "begin" and bench.step_of(bench.copy(hand.copies[0])).ends == "light"
