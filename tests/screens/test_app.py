"""The real screen, driven key by key: a whole edition, keys that must do nothing, and paints that must not happen."""

import asyncio
import string

import pytest
from textual import events

from assistant.buttons.one_button import one_button
from assistant.conductor.conductor import Conductor
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.conductor.twins import RecordingDesk
from assistant.devices.clock import JumpingClock
from assistant.score import words
from assistant.screens.app import Seen, SessionApp, run_session, waited
from assistant.session import happenings as h
from assistant.session.advance import open_bench
from assistant.session.named_keys import KEYS, TOO_SOON
from assistant.session.passing import due
from assistant.terminal.brightness import LEVELS
from tests import waiting
from tests.records.memory_journal import MemoryJournal
from tests.session import cards


def opened(score):
    clock = JumpingClock()
    conductor = Conductor(open_bench(score), clock, RecordingDesk(), MemoryJournal(clock))
    conductor.open()
    clock.jump(score.opening_lasts)  # nothing is asked for before
    return SessionApp(conductor, one_button(conductor), waited=lambda pressed: 0), conductor, clock


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
        app._look()
        rows = [row.text for row in app.wet_side.rows]
        clock.jump(clock.now() + 5_000)
        await pilot.press(key)
        await pilot.pause()
    return rows


def test_an_edition_is_printed_to_its_end_with_one_key():
    for key in ("space", "pagedown"):
        app, conductor, clock = opened(cards.edition(2, 0))
        rows = asyncio.run(printed(app, conductor, clock, key))
        assert any(row.startswith("copy 2: ") and "developer 2:00.0" in row for row in rows)
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
    assert [type(told.happening) for told in conductor.bench.history] == [h.Undone, h.HoldPlan], "held: the one tap is taken back"


def test_no_key_does_harm():
    app, conductor, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            for sign in (*string.printable, "up", "f5", "f13", "delete", "tab", "escape", "ctrl+p", "ctrl+q"):
                key = {" ": "space", "\n": "enter", "\t": "tab", "\r": "enter"}.get(sign, sign)
                if key not in ("\x0b", "\x0c"):
                    await pilot.press(key)
                    if app._typing:
                        await pilot.press("escape")
                clock.jump(clock.now() + 1_000)
            assert app.is_running

    asyncio.run(play())
    assert not conductor.bench.ended


def test_nothing_is_painted_when_nothing_changed():
    app, _, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            await pilot.press("space")  # the light: a time runs
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
            clock.jump(clock.now() + 2_000)
            await pilot.press("v", "1", "enter")
            clock.jump(clock.now() + 2_000)
            await pilot.press("v", "x", "enter")
            assert any("is not the number of a copy" in row.text for row in app.wet_side.rows)

    asyncio.run(play())
    assert [said for _, said in conductor.bench.notes] == ["thin sky"]
    assert conductor.bench.copy(1).void


def test_how_long_ago_counts_from_the_key_that_opened_the_line():
    app, conductor, clock = opened(cards.by_hand())

    async def play():
        async with app.run_test() as pilot:
            for key, wait in (("m", 2_600), ("1", 400), ("2", 1_500), ("enter", 0)):
                await pilot.press(key)
                clock.jump(clock.now() + wait)

    asyncio.run(play())
    told = [entry.happening for entry in conductor._journal.entries()]
    assert told == [h.Moved(None, 12_000 + 4_500)]


def test_esc_on_the_help_only_closes_it_and_a_wet_glove_or_a_call_closes_it_too():
    app, conductor, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:

            async def told(*keys, wait=1_000):
                for key in keys:
                    await (pilot.click() if key == "click" else pilot.press(key))
                clock.jump(clock.now() + wait)
                app._look()
                return app._help, len(conductor.bench.history)

            assert await told("question_mark") == (True, 0)
            assert await told("escape", "escape") == (False, 0), "held, it repeats"
            assert await told("question_mark", "click") == (False, 1)
            await told(wait=60_000)  # the light is over
            assert await told("question_mark") == (True, 1)
            repeat = next(cue.at for cue in conductor.bench.promised[0].cues if cue.kind == "ask" and cue.at > clock.now())
            assert await told(wait=repeat - clock.now()) == (False, 1)
            assert await told("escape") == (False, 1), "it was meant for the help"
            assert await told("escape") == (False, 2)

    asyncio.run(play())


def test_an_enter_held_down_ends_the_line_and_taps_nothing():
    app, conductor, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            await pilot.press("n", "x")
            for _ in range(20):
                await pilot.press("enter")
                clock.jump(clock.now() + 400)

    asyncio.run(play())
    assert [entry.happening for entry in conductor._journal.entries()] == [h.Note("x")]


def test_a_second_press_that_could_be_a_resting_glove_is_told_so_and_a_later_one_is_taken():
    app, conductor, clock = opened(cards.proof())
    for wait, told, ended in ((0, "", False), (700, TOO_SOON, False), (800, "", True)):
        clock.jump(clock.now() + wait)
        app._pressed = clock.now()
        app._key("e", "e")
        assert (app._complaint, conductor.bench.ended) == (told, ended)


def test_the_screen_leaves_by_itself_when_the_session_is_ended_elsewhere():
    app, conductor, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            conductor.tell(h.End())
            clock.jump(clock.now() + 2_000)
            conductor.tell(h.End())
            assert conductor.bench.ended
            end = asyncio.get_running_loop().time() + waiting.LONGEST
            while app.is_running:
                assert asyncio.get_running_loop().time() < end, "still on the screen"
                await pilot.pause(0.02)  # between two looks

    asyncio.run(play())


@pytest.mark.parametrize(("level", "peak"), LEVELS.items())
def test_no_red_is_above_its_level_and_nothing_is_green_or_blue(level, peak):
    _, conductor, _ = opened(cards.proof())
    app = SessionApp(conductor, one_button(conductor), Seen(level))

    async def play():
        async with app.run_test(size=(100, 30)) as pilot:
            await pilot.pause()
            return app.wet_side.render_lines(app.wet_side.size.region)

    for style in (segment.style for strip in asyncio.run(play()) for segment in strip):
        red, green, blue = style.color.triplet
        assert red <= peak
        assert (green, blue) == (0, 0)
        assert style.bgcolor.triplet == (0, 0, 0)
        assert not any((style.bold, style.italic, style.reverse, style.underline))


def test_the_level_rises_while_white_light_is_safe_and_falls_before_the_next_sheet_is_asked_for():
    app, conductor, clock = opened(cards.edition(2, 0))
    seen = []

    async def play():
        async with app.run_test() as pilot:
            while not conductor.bench.finished:
                moment, hand = due(conductor.bench), printer.next(conductor.bench)
                by_hand = hand is not None and (moment is None or hand[0] < moment)
                clock.jump(hand[0] if by_hand else moment)
                if by_hand:
                    conductor.tell(hand[1])
                    printer.played(hand)
                app._look()
                await pilot.pause()
                opens = [ask.at for ask in conductor.bench.asks if conductor.bench.copy(ask.copies[0]).boxed]
                seen.append((conductor.face().light, app.wet_side.peak, [at - clock.now() for at in opens]))

    printer = Punctual()
    asyncio.run(play())
    assert {light: {peak for one, peak, _ in seen if one == light} for light, _, _ in seen} == {
        "safelight": {LEVELS["paper"]},
        "white": {LEVELS["work"]},
    }
    assert all(peak == LEVELS["paper"] for _, peak, opens in seen if opens)  # asked for, or about to be


def test_a_level_that_is_not_known_is_refused():
    _, conductor, _ = opened(cards.proof())
    with pytest.raises(ValueError, match="levels are paper"):
        run_session(conductor, one_button(conductor), Seen("noon"))


def test_taps_that_waited_for_a_stalled_terminal_count_from_when_they_were_pressed():
    _, conductor, clock = opened(cards.in_the_dark())
    ages = iter((6_000, 5_960, 2_000))
    app = SessionApp(conductor, one_button(conductor), waited=lambda pressed: next(ages))

    async def play():
        async with app.run_test() as pilot:
            await pilot.pause()
            clock.jump(clock.now() + 20_000)
            app._alarm.cancel()
            for _ in range(3):
                app.post_message(events.Key("space", " "))
            await pilot.pause()

    asyncio.run(play())
    told = [(entry.at, entry.happening) for entry in conductor._journal.entries()]
    begun = cards.in_the_dark().opening_lasts
    assert told == [(begun + 14_000, h.Tap()), (begun + 18_000, h.Tap())]


def test_a_key_is_as_old_as_the_clock_that_stamped_it_says(monkeypatch):
    monkeypatch.setattr("textual._time.get_time", lambda: 12.5)  # no clock that the program could ask elsewhere
    now = events.Key("space", " ").time
    assert 1_000 <= waited(now - 1) < 60_000
    assert waited(now + 60) == 0


def held_down(key, ms):
    """A key held for so long on a keyboard that only repeats."""
    app, conductor, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            await pilot.press(key)
            clock.jump(clock.now() + 500)
            for _ in range((ms - 500) // 100):
                await pilot.press(key)
                clock.jump(clock.now() + 100)
            await pilot.pause()

    asyncio.run(play())
    return conductor


def test_held_it_takes_back_its_tap_and_holds_the_plan():
    assert [type(told.happening) for told in held_down("space", 1_000).bench.history] == [h.Tap]
    conductor = held_down("space", 2_000)
    assert conductor.bench.held
    assert [type(told.happening) for told in conductor.bench.history] == [h.Undone, h.HoldPlan]


def test_a_stuck_button_is_said_once():
    conductor = held_down("space", 11_500)
    assert [cue.words for cue in conductor._sound.heard].count(words.BUTTON_STUCK) == 1


def test_a_mouse_button_says_when_it_is_let_go():
    app, conductor, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            await pilot.mouse_down()
            clock.jump(clock.now() + 1_500)
            app._look()
            await pilot.mouse_up()

    asyncio.run(play())
    assert conductor.bench.held
    assert not conductor.bench.copies[0].stays


def test_a_key_whose_release_was_lost_still_taps():
    app, conductor, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            app._touches.releases = True
            for _ in range(2):
                await pilot.press("pagedown")
                clock.jump(clock.now() + 1_000)
                await pilot.pause()

    asyncio.run(play())
    assert [type(entry.happening) for entry in conductor._journal.entries()] == [h.Tap, h.Tap]


def test_the_key_of_a_pedal_is_a_tap_whatever_else_it_means():
    score = cards.proof()
    clock = JumpingClock()
    conductor = Conductor(open_bench(score), clock, RecordingDesk(), MemoryJournal(clock))
    clock.jump(score.opening_lasts)
    app = SessionApp(conductor, one_button(conductor), Seen(bound={**KEYS, "hold": "f5"}, button="v"), waited=lambda pressed: 0)

    async def play():
        async with app.run_test() as pilot:
            await pilot.press("v")
            clock.jump(clock.now() + 1_000)
            await pilot.press("f5")
            await pilot.pause()

    asyncio.run(play())
    assert [type(told.happening) for told in conductor.bench.history] == [h.Tap, h.HoldPlan]


def test_keys_that_go_elsewhere_are_said_aloud_and_when_they_come_back():
    app, conductor, _ = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            app.on_app_blur()
            app.on_app_focus()
            app.on_app_focus()
            await pilot.pause()

    asyncio.run(play())
    said = [cue.words for cue in conductor._sound.heard]
    assert said.count(words.KEYS_LOST) == said.count(words.KEYS_BACK) == 1


def shown(app, *keys):
    async def play():
        async with app.run_test() as pilot:
            levels = []
            for key in keys:
                await pilot.press(key)
                app.conductor._clock.jump(app.conductor.now() + 1_000)
                await pilot.pause()
                levels.append((app.level, bool(app.wet_side.rows)))
            return levels

    return asyncio.run(play())


def test_one_key_goes_darker_and_never_brighter_than_paper_while_paper_can_see_it():
    app, _, _ = opened(cards.proof())
    levels = shown(app, "b", "b", "b")
    assert levels == [("blackout", False), ("paper", True), ("blackout", False)]


def test_in_total_darkness_nothing_is_painted_until_white_light_is_safe():
    app, conductor, clock = opened(cards.in_the_dark())
    assert shown(app, "space") == [("paper", False)]
    bench = rehearse(cards.in_the_dark(), Punctual()).bench
    after = SessionApp(Conductor(bench, clock, RecordingDesk(), MemoryJournal(clock)), one_button(conductor))
    assert shown(after, "f9") == [("paper", True)]


def test_a_terminal_that_asks_for_no_colour_is_not_given_grey_beside_paper(monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")
    app, _, _ = opened(cards.proof())

    async def painted():
        async with app.run_test() as pilot:
            await pilot.pause()
            return {
                colour.get_truecolor()[1:]
                for strip in app.screen._compositor.render_strips()
                for _, style, _ in strip
                for colour in (style.color, style.bgcolor)
            }

    assert asyncio.run(painted()) == {(0, 0)}


def test_a_line_that_was_opened_is_spoken_and_closes_by_itself_when_it_has_been_quiet():
    app, conductor, clock = opened(cards.proof())
    heard = []
    conductor.listeners.append(lambda cue: heard.append(cue.words))

    async def play():
        async with app.run_test() as pilot:
            await pilot.press("v")
            assert heard[-1] == words.LINE_OPENED["void"]
            await pilot.press("1")
            clock.jump(clock.now() + 4_999)
            app._look()
            assert app._typing == "void"
            clock.jump(clock.now() + 1)
            app._look()
            assert app._typing == ""
            assert heard[-1] == words.LINE_CLOSED
            await pilot.press("space")

    asyncio.run(play())
    assert [type(told.happening) for told in conductor.bench.history] == [h.Tap], "the next tap is a tap, and nothing is void"


@pytest.mark.parametrize("key", ["enter", "space", "pagedown"])
def test_a_stray_letter_and_then_a_pedal_is_a_tap_and_voids_nothing(key):
    app, conductor, clock = opened(cards.proof())

    async def play():
        async with app.run_test() as pilot:
            await pilot.press("v")
            clock.jump(clock.now() + 1_000)
            await pilot.press(key)
            await pilot.pause()

    asyncio.run(play())
    assert [type(told.happening) for told in conductor.bench.history] == [h.Tap]
    assert conductor.bench.copy(1).live
