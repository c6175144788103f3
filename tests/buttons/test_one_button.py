"""What gestures do to a session; what a pedal shows, and how it is kept."""

import pytest

from assistant.buttons.button import QUIET
from assistant.buttons.one_button import OneButton
from assistant.buttons.pedal import BadPedal, Pedal, Touch, keep, kept, learned
from assistant.cli.pedal import NothingPressed, learn
from assistant.score.words import BUTTON_STUCK
from assistant.session.happenings import HoldPlan, Tap, Undo


class Session:
    """Takes what it is told, bar what it is told to refuse."""

    def __init__(self, refused=()):
        self.told, self.said, self.refused = [], [], refused
        self.hands = OneButton(self.tell, self.said.append)

    def tell(self, happening, at):
        self.told.append((type(happening), at))
        return type(happening) not in self.refused


def test_a_press_is_a_tap_at_its_own_moment():
    session = Session()
    session.hands.beat(900)
    session.hands.down(512, releases=True)
    session.hands.up(600)
    assert session.told == [(Tap, 512)]


def test_held_it_takes_back_its_tap_and_holds_the_plan_every_time():
    session = Session()
    session.hands.down(1000, releases=True)
    assert session.hands.due() == 2200
    session.hands.beat(2210)
    session.hands.up(2500)
    assert session.told == [(Tap, 1000), (Undo, 2210), (HoldPlan, 2210)]
    session.hands.down(9000, releases=True)
    session.hands.up(10_500)
    assert session.told[3:] == [(Tap, 9000), (Undo, 10_500), (HoldPlan, 10_500)]


def test_a_tap_that_was_refused_is_not_taken_back():
    session = Session(refused=(Tap,))
    session.hands.down(0, releases=True)
    session.hands.beat(5000)
    assert session.told == [(Tap, 0), (HoldPlan, 5000)]


def test_a_real_session_is_held_by_one_button():
    """A sheet is placed by mistake with a long press: nothing is begun, and the plan is on hold."""
    from pathlib import Path

    from assistant.printing.recipe_file import open_recipe, score_of
    from assistant.session.advance import advance, open_bench

    bench = open_bench(score_of(open_recipe(Path("contact-proof")), 1))

    def tell(happening, at):
        nonlocal bench
        outcome = advance(bench, happening, at)
        bench = outcome.bench
        return not outcome.refused

    hands = OneButton(tell, print)
    hands.down(15_000, releases=True)
    assert bench.history
    hands.beat(16_200)
    assert bench.held
    assert bench.copies[0].boxed
    assert not bench.copies[0].stays
    hands.up(16_300)
    hands.down(19_000, releases=True)
    hands.up(20_500)
    assert bench.held
    assert bench.void_asked
    hands.down(21_500, releases=True)
    assert bench.copies[0].void
    hands.up(21_600)
    hands.down(31_000, releases=True)
    assert not bench.held


def test_stuck_is_said_once_and_nothing_is_heard_meanwhile():
    session = Session()
    session.hands.down(0, releases=True)
    for at in range(0, 60_000, 500):
        session.hands.beat(at)
        session.hands.again(at)
        session.hands.down(at, releases=False)
    assert session.said == [BUTTON_STUCK]
    assert [kind for kind, _ in session.told] == [Tap, Undo, HoldPlan]
    session.hands.lost()
    session.hands.down(70_000, releases=True)
    assert session.told[-1] == (Tap, 70_000)


def held(way, first=500, every=33):
    if way == "release":
        return [Touch("f13", "down", 0), Touch("f13", "again", 600), Touch("f13", "up", 3000)]
    if way == "once":
        return [Touch("f13", "down", 0)]
    return [Touch("f13", "down", at) for at in (0, *range(first, 3000, every))]


def test_one_long_press_shows_what_a_pedal_is():
    assert learned(held("release")) == Pedal("f13", "release")
    assert learned(held("once")) == Pedal("f13", "once")
    assert learned(held("repeat", 660, 40)) == Pedal("f13", "repeat", 660, 40)
    assert learned(held("repeat", 1000, 33)).quiet == 1100
    assert learned(held("repeat", 250, 92)).quiet == QUIET
    with pytest.raises(ValueError, match="nothing was pressed"):
        learned([])


@pytest.mark.parametrize("way", ["release", "repeat", "once"])
def test_a_pedal_is_kept_and_found_again(tmp_path, way):
    file = tmp_path / "pedal.json"
    assert kept(file) is None
    pedal = learned(held(way))
    assert keep(pedal, file) == file
    assert kept(file) == pedal
    assert pedal.key in pedal.described()


@pytest.mark.parametrize(
    "written",
    [
        *("", "{", "[]", "{}", "\x00"),
        *('{"key": 1, "way": "once"}', '{"key": "a", "way": "often"}', '{"key": "a", "way": "once", "colour": 1}'),
        *('{"key": "a", "way": "once", "every": -1}', '{"key": "a", "way": "once", "every": true}'),
    ],
)
def test_a_spoilt_file_is_named_with_what_to_do(tmp_path, written):
    file = tmp_path / "pedal.json"
    file.write_text(written)
    with pytest.raises(BadPedal, match=r"pedal\.json: .*press it again with `traycall pedal`"):
        kept(file)


class Keys:
    """Keys as a terminal sends them, at their times; time is that of the keys."""

    def __init__(self, *events):
        self.events, self.now = list(events), 0

    def __call__(self, wait):
        if not self.events or self.events[0][0] > self.now + wait:
            self.now += wait
            return None
        self.now, sent = self.events.pop(0)
        return self.now, sent


PRESSES = {
    "page down, repeating": (
        [(5000, "\x1b[6~"), *[(9000 + at, "\x1b[6~") for at in (0, *range(500, 3000, 33))]],
        Pedal("pagedown", "repeat", 500, 33),
    ),
    "with releases": (
        [(5000, "\x1b[57376;1:1u"), (5090, "\x1b[57376;1:3u"), (9000, "\x1b[57376;1:1u"), (12_000, "\x1b[57376;1:3u")],
        Pedal("f13", "release"),
    ),
    "a mouse button": (
        [(5000, "\x1b[<0;3;4M"), (5090, "\x1b[<0;3;4m"), (9000, "\x1b[<0;3;4M"), (12_000, "\x1b[<0;3;4m")],
        Pedal("the left mouse button", "release"),
    ),
    "once, whatever is done": ([(5000, " "), (9000, " ")], Pedal("space", "once")),
    "an escape alone": ([(5000, "\x1b"), (9000, "\x1b")], Pedal("escape", "once")),
    "an escape, repeating": (
        [(5000, "\x1b"), *[(9000 + at, "\x1b") for at in (0, *range(500, 3000, 33))]],
        Pedal("escape", "repeat", 500, 33),
    ),
}


@pytest.mark.parametrize("name", PRESSES)
def test_a_pedal_is_learned_from_the_keys_of_a_terminal(tmp_path, monkeypatch, name):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    events, pedal = PRESSES[name]
    keys, said = Keys(*events), []
    monkeypatch.setattr("assistant.screens.keyparser.get_time", lambda: keys.now / 1000)
    learn(keys, said.append)
    assert keys.now < events[-1][0] + 2_000, "as soon as it is known"
    assert kept() == pedal
    assert pedal.described() in said


@pytest.mark.parametrize(
    ("events", "why"),
    [
        ([], "Nothing was pressed for a minute"),
        ([(5, "\x1b[99;5u")], "Nothing was kept"),
        ([(5, " "), (4000, "x")], "another key"),
    ],
)
def test_a_pedal_that_was_not_pressed_is_not_kept(tmp_path, monkeypatch, events, why):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    with pytest.raises(NothingPressed, match=why):
        learn(Keys(*events), lambda words: None)
    assert kept() is None
