"""The real screen, driven key by key: a whole edition, keys that must do nothing, and paints that must not happen."""

import asyncio
import string

from assistant.conductor.conductor import Conductor
from assistant.devices.clock import JumpingClock
from assistant.devices.twins import RecordingDesk
from assistant.records.memory import MemoryJournal
from assistant.screens.app import SessionApp
from assistant.session.advance import open_bench
from assistant.session.bench import due
from assistant.session.rehearsal import Punctual
from tests.session import cards


def opened(score):
    clock = JumpingClock()
    conductor = Conductor(open_bench(score), clock, RecordingDesk(), MemoryJournal(clock))
    conductor.open()
    return SessionApp(conductor), conductor, clock


async def printed(app, conductor, clock, key):
    """Play the punctual printer's taps as this key until the session is over."""
    printer = Punctual()
    async with app.run_test(size=(100, 30)) as pilot:
        for _ in range(400):
            if conductor.bench.finished:
                break
            hand, moment = printer.next(conductor.bench), due(conductor.bench)
            at = min(filter(None, (hand and hand[0], moment)))
            if at > clock.now():
                clock.jump(at)
            if hand and at == hand[0]:
                await pilot.press(key)
            conductor.beat()
        await pilot.pause()
        rows = [row.text for row in app.wet_side.rows]
        clock.jump(clock.now() + 5_000)
        await pilot.press(key)
        await pilot.pause()
    return rows


def test_an_edition_is_printed_to_its_end_with_one_key():
    for key in ("space", "pagedown", "x"):
        app, conductor, clock = opened(cards.edition(2, 0))
        asyncio.run(printed(app, conductor, clock, key))
        assert [copy.done for copy in conductor.bench.copies] == [True, True]
        assert conductor.bench.ended
        assert {s.lasted for c in conductor.bench.copies for s in c.stays if s.kind == "develop"} == {120_000}


def test_a_resting_glove_is_one_tap():
    app, conductor, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            for _ in range(40):
                await pilot.press("space")
                clock.jump(clock.now() + 33)
            await pilot.pause()

    asyncio.run(play())
    assert len(conductor.bench.history) == 1


def test_no_key_does_harm():
    app, conductor, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            for sign in (*string.printable, "up", "f5", "f13", "delete", "tab", "escape", "ctrl+p", "ctrl+q"):
                key = {" ": "space", "\n": "enter", "\t": "tab", "\r": "enter"}.get(sign, sign)
                if key not in ("e", "\x0b", "\x0c", "ctrl+q"):
                    await pilot.press(key)
                    await pilot.press("escape")
                clock.jump(clock.now() + 1_000)
            assert app.is_running

    asyncio.run(play())
    assert not conductor.bench.ended


def test_a_click_is_a_tap():
    app, conductor, _ = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            await pilot.click()

    asyncio.run(play())
    assert len(conductor.bench.history) == 1


def test_nothing_is_painted_when_nothing_changed():
    app, _, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            await pilot.pause()
            before = app.wet_side.paints
            for _ in range(50):
                app._show()
            assert app.wet_side.paints == before
            clock.jump(clock.now() + 1_000)
            app._show()
            assert app.wet_side.paints == before + 1

    asyncio.run(play())


def test_typed_lines():
    app, conductor, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            await pilot.press("n", *"thin", "space", *"sky", "enter")
            clock.jump(2_000)
            await pilot.press("v", "1", "enter")
            clock.jump(4_000)
            await pilot.press("v", "x", "enter")
            assert any("is not the number of a copy" in row.text for row in app.wet_side.rows)

    asyncio.run(play())
    assert conductor.bench.notes == ((0, "thin sky"),)
    assert conductor.bench.copy(1).void
