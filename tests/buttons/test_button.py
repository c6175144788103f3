"""The one button under streams of events as keyboards, mice and pedals send them: six repeat settings, two kinds of report.

The settings are those that keyboards and systems are sold with (common practice, no source); the jitter is invented.
"""

import random
from dataclasses import dataclass
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.buttons import button as machine
from assistant.buttons.button import BOUNCE, HELD, QUIET, STUCK, Button
from assistant.buttons.pedal import Pedal

REPEATS = {
    "660 ms, 25 a second": (660, 40),
    "500 ms, 33 a second": (500, 30),
    "250 ms, 11 a second": (250, 92),
    "375 ms, 11 a second": (375, 90),
    "1000 ms, 30 a second": (1000, 33),
    "one event, no repeat": None,
}
DOINGS = {
    "a tap": ["press"],
    "a tap whose contacts bounce": ["press"],
    "a slow tap": ["press"],
    "two taps, 1.5 s apart": ["press", "press"],
    "a nervous double tap": ["press"],
    "five quick taps": ["press"],
    "held for two seconds": ["press", "held"],
    "a glove that rests for twenty": ["press", "held", "stuck", "free"],
    "held, then tapped": ["press", "held", "press"],
}


@dataclass
class Stream:
    """What fingers do, as events with their times."""

    chance: random.Random
    repeat: tuple[int, int] | None
    events: list

    def touch(self, at, lasting, bounces=False):
        self.events.append((at, "down"))
        if bounces:
            self.events.append((at + self.chance.randint(10, 30), "up"))
            self.events.append((at + self.chance.randint(35, 70), "down"))
        if self.repeat:
            first, every = self.repeat
            moment = at + first + round(self.chance.gauss(0, 6))
            while moment < at + lasting:
                self.events.append((moment, "again"))
                moment += every + abs(round(self.chance.gauss(0, 4)))
        self.events.append((at + lasting, "up"))
        return at + lasting

    def do(self, doing):
        at, chance = 1000, self.chance
        if doing == "a tap":
            self.touch(at, chance.randint(60, 220))
        elif doing == "a tap whose contacts bounce":
            self.touch(at, chance.randint(100, 220), bounces=True)
        elif doing == "a slow tap":
            self.touch(at, 500)
        elif doing == "two taps, 1.5 s apart":
            self.touch(self.touch(at, 120) + 1380, 120)
        elif doing == "a nervous double tap":
            self.touch(self.touch(at, 90) + chance.randint(90, 200), 90)
        elif doing == "five quick taps":
            for _ in range(5):
                at = self.touch(at, 70) + chance.randint(110, 230)
        elif doing == "held for two seconds":
            self.touch(at, 2000)
        elif doing == "a glove that rests for twenty":
            self.touch(at, 20_000)
        elif doing == "held, then tapped":
            self.touch(self.touch(at, 2000) + 1300, 100)
        return sorted(self.events, key=lambda event: event[0])


def heard(events, *, reports, quiet, beat_every=50):
    """The gestures, with time passing between the events as a screen lets it pass."""
    button, said = Button(quiet=quiet), []

    def take(told):
        nonlocal button
        button, gestures = told
        said.extend(gestures)

    clock = 0
    for at, kind in [*events, (events[-1][0] + 5000, "end")]:
        while beat_every and clock < at:
            take(machine.beat(button, clock))
            clock += beat_every
        if kind == "down" or (kind == "again" and not reports):
            take(machine.down(button, at, releases=reports))
        elif kind == "again":
            take(machine.again(button, at))
        elif kind == "up" and reports:
            take(machine.up(button, at))
    take(machine.beat(button, events[-1][0] + 5000))
    return said


def quiet_for(repeat):
    return Pedal("space", "repeat", *repeat).quiet if repeat else QUIET


def expected(doing, repeat, reports):
    """A key that sends one event and no release shows no holding; nothing can."""
    if not reports and repeat is None:
        return [kind for kind in DOINGS[doing] if kind == "press"]
    return DOINGS[doing]


@pytest.mark.parametrize("reports", [True, False], ids=["releases", "repeats only"])
@pytest.mark.parametrize("setting", REPEATS)
@pytest.mark.parametrize("doing", DOINGS)
def test_every_doing_under_every_setting(doing, setting, reports):
    chance = random.Random(f"{doing}{setting}")
    repeat = REPEATS[setting]
    for _ in range(100):
        events = Stream(chance, repeat, []).do(doing)
        said = heard(events, reports=reports, quiet=quiet_for(repeat))
        assert [gesture.kind for gesture in said] == expected(doing, repeat, reports), events
        downs = [at for at, kind in events if kind == "down"]
        assert said[0].at == downs[0]
        assert all(gesture.at in downs for gesture in said if gesture.kind == "press")


def test_a_late_first_repeat_fools_a_button_that_was_not_told_of_it():
    """Why `traycall pedal` measures: without it a first repeat after a second is taken for a tap."""
    events = Stream(random.Random(1), (1000, 33), []).do("held for two seconds")
    assert [gesture.kind for gesture in heard(events, reports=False, quiet=QUIET)].count("press") == 2


def test_moments_to_the_millisecond():
    button, (press,) = machine.down(Button(), 1000, releases=True)
    assert press == ("press", 1000)
    assert machine.due(button) == 1000 + HELD
    assert machine.beat(button, 1000 + HELD - 1)[1] == ()
    button, said = machine.beat(button, 1000 + HELD)
    assert said == (("held", 1000),)
    assert machine.due(button) == 1000 + STUCK
    assert machine.beat(button, 1000 + STUCK - 1)[1] == ()
    button, said = machine.beat(button, 1000 + STUCK)
    assert said == (("stuck", 1000),)
    assert machine.due(button) is None
    button, said = machine.up(button, 30_000)
    assert said == (("free", 30_000),)
    assert machine.down(button, 30_000 + BOUNCE - 1, releases=True)[1] == ()
    assert machine.down(button, 30_000 + BOUNCE, releases=True)[1] == (("press", 30_080),)


def test_hammering_counts_once_however_long_it_goes_on():
    button, presses = Button(), 0
    for at in range(0, 20_000, 700):
        button, said = machine.down(button, at, releases=False)
        presses += [gesture.kind for gesture in said].count("press")
    assert presses == 1
    assert machine.down(button, at + QUIET, releases=False)[1] == ()
    assert machine.down(button, at + QUIET + 1, releases=False)[1] != ()


def test_a_bounce_after_a_long_hold_holds_no_second_time():
    button, _ = machine.down(Button(), 0, releases=True)
    button, said = machine.up(button, 3000)
    assert [gesture.kind for gesture in said] == ["held"]
    button, said = machine.down(button, 3040, releases=True)
    button, more = machine.up(button, 6000)
    assert said + more == ()


def test_another_key_beside_one_that_is_down_is_nothing():
    button, _ = machine.down(Button(), 0, releases=True)
    assert machine.down(button, 900, releases=True)[1] == ()
    assert machine.down(button, 1000, releases=False)[1] == ()


def test_a_window_that_loses_the_keys_forgets_what_was_down():
    button, _ = machine.down(Button(), 0, releases=True)
    button = machine.forget(button)
    assert machine.due(button) is None
    assert machine.beat(button, 60_000)[1] == ()
    assert machine.up(button, 60_001)[1] == ()
    assert [gesture.kind for gesture in machine.down(button, 60_002, releases=True)[1]] == ["press"]


EVENTS = st.lists(st.tuples(st.integers(0, 4000), st.sampled_from(["down", "down", "again", "up"])), min_size=1, max_size=40)


@given(EVENTS, st.booleans(), st.sampled_from([1, 7, 50, 400, 0]))
def test_however_time_is_cut_the_same_is_heard(steps, reports, beat_every):
    """Beats say nothing that the next event would not have said; and what is said is ordered and sane."""
    at, events = 0, []
    for gap, kind in steps:
        at += gap
        events.append((at, kind))
    said = heard(events, reports=reports, quiet=QUIET, beat_every=beat_every)
    assert said == heard(events, reports=reports, quiet=QUIET, beat_every=0)
    presses = [gesture.at for gesture in said if gesture.kind == "press"]
    assert presses == sorted(set(presses))
    assert set(presses) <= {moment for moment, _ in events}
    kinds = [gesture.kind for gesture in said]
    for pair in pairwise(kinds):
        assert pair in {
            ("press", "press"), ("press", "held"), ("held", "press"), ("held", "stuck"), ("stuck", "free"), ("free", "press"),
            ("free", "stuck"),
        }  # fmt: skip


@given(EVENTS)
def test_two_presses_are_never_closer_than_the_lock_out_or_a_hold(steps):
    at, events = 0, []
    for gap, kind in steps:
        at += gap
        events.append((at, kind))
    presses = [gesture.at for gesture in heard(events, reports=False, quiet=QUIET) if gesture.kind == "press"]
    assert all(later - earlier > QUIET for earlier, later in pairwise(presses))
