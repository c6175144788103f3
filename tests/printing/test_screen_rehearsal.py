"""A rehearsal at a pace: what is heard and done is the rehearsal's own, whatever the pace, the pauses and the steps."""

import asyncio

import pytest

from assistant.buttons.one_button import one_button
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.conductor.twins import NoJournal, RecordingDesk
from assistant.devices.clock import JumpingClock
from assistant.printing.screen_rehearsal import OnRequest, PacedConductor, PacedPlayer, PacedTime
from assistant.screens.app import Seen
from assistant.screens.dry.rehearsal import Rehearsing
from assistant.session.advance import open_bench
from tests.session import cards


class Seconds:
    """Real time, moved by hand."""

    def __init__(self):
        self.now = 100.0

    def __call__(self):
        return self.now


def under_way(desk=None):
    clock, seconds = JumpingClock(), Seconds()
    conductor = PacedConductor(open_bench(cards.edition(2, 1)), clock, desk or RecordingDesk(), NoJournal(), Punctual())
    conductor.time = PacedTime(seconds)
    conductor.open()
    return conductor, seconds


@pytest.mark.parametrize("pace", [1.0, 60.0])
def test_it_comes_to_the_same_end_at_any_pace(pace):
    conductor, seconds = under_way()
    conductor.time.set(pace, False)
    for _ in range(3000):
        seconds.now += 97.0 / pace
        conductor.beat()
        if conductor.bench.finished:
            break
    whole = rehearse(cards.edition(2, 1), Punctual())
    kept = [(stay.copy, stay.name, stay.from_ms, stay.to_ms) for copy in conductor.bench.copies for stay in copy.stays]
    assert kept == [(stay.copy, stay.name, stay.from_ms, stay.to_ms) for copy in whole.bench.copies for stay in copy.stays]


def test_time_stands_still_while_it_is_paused_and_goes_on_from_there():
    conductor, seconds = under_way()
    player = PacedPlayer(conductor, OnRequest(RecordingDesk))
    seconds.now += 3
    conductor.beat()
    player.pause()
    at = conductor.now()
    seconds.now += 50
    conductor.beat()
    assert conductor.now() == at == 30_000
    player.pause()
    seconds.now += 1
    conductor.beat()
    assert conductor.now() == 40_000


def test_a_step_leads_to_the_next_thing_and_stands_there():
    conductor, seconds = under_way()
    player = PacedPlayer(conductor, OnRequest(RecordingDesk))
    moments = []
    for _ in range(12):
        player.step()
        conductor.beat()
        moments.append(conductor.now())
        seconds.now += 5
        conductor.beat()
        assert conductor.now() == moments[-1]
    assert moments == sorted(set(moments))


class Heard(RecordingDesk):
    """A desk that was opened, and closed."""

    closed = False

    def close(self):
        self.closed = True


def test_sound_comes_on_request_at_real_speed_and_goes_with_any_other():
    desk, opened = None, []

    def open_desk():
        opened.append(Heard())
        return opened[-1]

    desk = OnRequest(open_desk)
    conductor, _ = under_way(desk)
    player = PacedPlayer(conductor, desk)
    assert not opened
    player.sound()
    assert (conductor.time.pace, desk.sounding) == (1.0, True)
    assert opened[0]._waiting
    player.faster()
    assert not desk.sounding
    assert not any(opened[0]._waiting.values())


def test_on_the_screen_both_what_a_tap_does_and_what_the_keys_do_here_are_seen():
    conductor, _ = under_way()
    player = PacedPlayer(conductor, OnRequest(RecordingDesk))
    app = Rehearsing(conductor, one_button(conductor), Seen("setup"), player.keys, player.how)

    async def worked(size, rows):
        async with app.run_test(size=size) as pilot:
            await pilot.press("space", "n")
            await pilot.pause()
            seen = ["".join(segment.text for segment in strip).rstrip() for strip in app.screen._compositor.render_strips()]
        assert "".join(seen[-rows:]).startswith("rehearsal paused  esc leave")
        assert seen[-1].endswith("s sound off")
        assert seen[-rows - 1].startswith("tap: ")
        assert seen[0].endswith(("safelight only", "white light is safe"))

    asyncio.run(worked((40, 20), 2))
