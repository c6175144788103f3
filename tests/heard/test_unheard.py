"""A sound server that goes away over a pip, under a whole session: the pip is not taken for done, and a sentence says so."""

import pytest

from assistant.conductor.conductor import Conductor
from assistant.devices.clock import SessionClock
from assistant.devices.desk import Desk
from assistant.devices.settings import Settings, helper_settings
from assistant.session import happenings as h
from assistant.session.advance import open_bench
from assistant.session.place import Called, InBath
from tests import waiting
from tests.records.memory_journal import MemoryJournal
from tests.session import cards

pytestmark = pytest.mark.rig
QUICK = {"kind": "develop", "tray": "developer", "for": "12 s", "drain": "3 s"}
SHORT = {"kind": "expose", "time": "2 s"}


def score():
    from assistant.planning.plan import make_plan
    from assistant.score.score import Score

    return Score(make_plan(cards.recipe(SHORT, QUICK, {**cards.STOP, "for": "8 s"}, cards.FIX, cards.WASH, copies=1)))


def until(conductor, true):
    def beaten():
        conductor.beat()
        return true()

    waiting.until(beaten)


def tapped(conductor):
    """One tap, as soon as one is wanted."""
    until(conductor, lambda: not conductor.tell(h.Tap()).refused)


def test_a_pip_without_a_server_is_no_move(rig, monkeypatch):
    for key, value in rig.env.items():
        monkeypatch.setenv(key, value)
    clock = SessionClock.begin()
    desk = Desk(clock, helper_settings(Settings(player="simpleaudio")))
    conductor = Conductor(open_bench(score()), clock, desk, MemoryJournal(clock))
    conductor.open()
    copy = lambda: conductor.bench.copy(1)  # noqa: E731
    try:
        until(conductor, desk.health)
        tapped(conductor)
        until(conductor, lambda: copy().stays)
        tapped(conductor)
        until(conductor, lambda: isinstance(copy().place, InBath))
        pip = copy().place.since + copy().place.target
        until(conductor, lambda: clock.now() > pip - 5_000)
        rig.stop()
        until(conductor, lambda: clock.now() > pip + 10_000)  # over the pip into the stop and the one into the fixer
        assert isinstance(copy().place, Called)
        assert conductor.bench.step_of(copy()).kind == "develop"
        heard = []
        conductor.listeners.append(heard.append)
        rig.start()
        until(conductor, lambda: any("developer" in cue.words for cue in heard))
        assert isinstance(copy().place, Called)
        tapped(conductor)
        (developed,) = [stay for stay in copy().stays if stay.kind == "develop"]
        assert developed.verdict == "long"
        assert developed.lasted > 20_000
    finally:
        desk.close()
