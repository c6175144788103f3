"""How a session is opened: the terminal made dark, what was left unfinished asked about, all that is needed said, sound checked.

Nothing heavy is imported before the terminal is black: what is needed later is imported where it is needed.
"""

import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.printing.card import Card
from assistant.printing.options import Options, on_terminal
from assistant.printing.refusal import Declined, Refusal
from assistant.printing.text_out import complain, say_lines

if TYPE_CHECKING:
    from assistant.recipe.model import Recipe
    from assistant.records.journal import Journal

ReadCard = Callable[[], Card]


def printed(options: Options, read: ReadCard, early: bool = True) -> int:
    """Print the card that `read` gives, or go on with what was left; 1 where it can't begin, 0 where the printer leaves first.

    `early` where the card can be read before any screen is there.
    """
    from assistant.records.faults import JournalFault

    try:
        return _guarded(options, read, early)
    except (Refusal, JournalFault) as error:
        complain(error)
        return 0 if isinstance(error, Declined) else 1


def _guarded(options: Options, read: ReadCard, early: bool) -> int:
    """The same call once more, on an inner terminal behind the gate; the recipe is read first, while words can be seen."""
    from assistant.places import home
    from assistant.terminal.brightness import is_guarded
    from assistant.terminal.capabilities import CantBeDark, unguarded
    from assistant.terminal.launched import readable_again

    if is_guarded() or not options.seen:
        return _opened(options, read)
    refused = None
    if options.guard is not False:
        from assistant.terminal.guard import guard

        program = [sys.executable, "-m", "assistant"]
        again = [*program, *options.resuming.split()[1:], "--light", options.light, *(["--silent"] if options.silent else [])]
        again += [] if options.ears is None else ["--ears" if options.ears else "--no-ears"]
        try:
            first = lambda: _may_begin(options, read if early else None)  # noqa: E731  # done when all is black
            level = "blackout" if options.resume or options.light == "blackout" else "setup"  # what is out may be film
            return guard([*program, *sys.argv[1:]], level, again, first=first, folder=home)
        except CantBeDark as error:
            refused = error
    readable_again(os.environ)
    try:
        say_lines([unguarded(options.guard, refused)])
    except CantBeDark as error:
        raise Refusal(str(error)) from None
    if refused is not None:  # the session's screen would cover it at once
        from assistant.printing.plain_face import answered

        if not answered("Start without the guard? Any key: yes. Esc or Ctrl+C: no. "):
            raise Declined("Nothing was started.")
    return _opened(options, read)


def _may_begin(options: Options, read: ReadCard | None) -> None:
    """What would refuse the session is found before it has the terminal."""
    from assistant.printing.recipe_file import score_of
    from assistant.records.journal import Journal

    with Journal.open(options.records()) as journal:
        _alone(journal)
    if read is not None:
        card = read()
        score_of(card.loaded, card.copies)


def _opened(options: Options, read: ReadCard) -> int:
    from assistant.records.journal import Journal
    from assistant.session.rules_number import RULES
    from assistant.terminal import brightness

    try:
        with Journal.open(options.records()) as journal:
            _alone(journal)
            left = journal.unfinished()
            if left is not None:
                brightness.session_begins()  # its sheets may be out
            elif options.resume:
                brightness.set_level(options.light)  # what follows is to be read
            if left is not None and left.rules != RULES:
                from assistant.printing.other_rules import gone_on_by_hand

                if gone_on_by_hand(journal, left):
                    return 0
                if options.resume:
                    raise Refusal("Nothing was resumed.")
                left = None
            if left is not None and (options.resume or _wants(options, journal, left.number, left.title)):
                return _resumed(options, journal, left.number)
            if options.resume:
                raise Refusal("There is no session to resume: all have ended.")
            card: Card | None = read()
            while card is not None:
                card = _begun(options, journal, card)
            return 0
    except ValueError as error:
        from assistant.buttons.pedal import BadPedal
        from assistant.devices.settings import BadSetting
        from assistant.records.fogtests import BadFogTests

        if isinstance(error, (BadSetting, BadPedal, BadFogTests)):
            raise Refusal(str(error)) from None
        raise


def _alone(journal: "Journal") -> None:
    """Two voices in one darkroom can't be told apart: while a session is being printed no other one is started."""
    running = journal.running()
    if running is not None:
        raise Refusal(
            f"Session {running.number}, {running.title}, is being printed by another traycall on this computer. "
            "End it there first, or leave it there and resume it here."
        )


def _begun(options: Options, journal: "Journal", card: Card) -> Card | None:
    """Print a card; the next one, where one was asked for at its end."""
    from assistant.conductor.beforehand import overlapped
    from assistant.devices.clock import SessionClock
    from assistant.devices.settings import read_settings
    from assistant.history.chemistry import before_copy_one, sentence, too_short
    from assistant.planning.briefing import needed
    from assistant.printing.by_voice import ears_for
    from assistant.printing.first_words import checked
    from assistant.printing.playing import Opened, played
    from assistant.printing.recipe_file import score_of
    from assistant.printing.records_read import baths_for, in_use, placements, wall_now
    from assistant.printing.sound_check import read_through, sound_check
    from assistant.terminal import brightness
    from assistant.trade.foreign_text import as_text

    options = replace(options, light=card.level or options.light)
    recipe, score = card.loaded.recipe, score_of(card.loaded, card.copies)
    copies = score.plan.copies
    checked(score, options.temperatures)
    lines = [*(fault.said(card.name) for fault in card.loaded.warnings), *needed(score.plan)]
    lines += overlapped(score, read_settings().own_hands)
    baths = baths_for(journal, recipe, options.baths)
    standing_baths = in_use(journal, baths, recipe, wall_now())
    lines += [*card.notes, *map(as_text, before_copy_one(recipe, copies, standing_baths, wall_now()))]
    _say_in_the_light(options, recipe, lines)
    _go_on_with(too_short(recipe, copies, standing_baths))
    with ears_for(options, score) as ears:
        if not options.silent and on_terminal():
            sound_check(score)
        elif options.is_read:  # the session would go on over it
            read_through()
        brightness.set_level(options.light)
        clock = SessionClock.begin()
        text, stood = card.loaded.text, placements(recipe, baths)
        kept = journal.begin(clock, recipe=text, title=recipe.title, file=card.name, copies=copies, baths=stood)
        remarks = (sentence(recipe, copies, standing_baths),)
        return played(options, Opened(score, kept, clock, card=card, journal=journal, remarks=remarks, ears=ears))


def _say_in_the_light(options: Options, recipe: "Recipe", lines: Sequence[str]) -> None:
    """What is needed for a card, and what to mind of this screen and this computer; in pages where somebody reads it."""
    from assistant.devices.keep_awake import NOT_AWAKE, stays_awake
    from assistant.printing.fog_test import standing
    from assistant.printing.plain_face import how_answered
    from assistant.printing.sound_check import say_in_pages
    from assistant.terminal import brightness
    from assistant.terminal.capabilities import unguarded

    ways = [how_answered()] if options.plain and options.is_read else []
    fogs = [standing(recipe, options.light).line] if options.lights_paper(recipe) else []
    sleeps = [NOT_AWAKE] if options.seen and not stays_awake() else []
    if options.light != "blackout":  # no paper is out yet: what is read now is read in room light
        brightness.set_level("setup")
    told = [line for text in (*ways, *lines, *fogs, *sleeps, brightness.caution()) for line in text.splitlines()]
    above = [unguarded(options.guard)] if options.seen and not brightness.is_guarded() else []
    say_in_pages(told, above) if options.is_read else say_lines(told)


def _go_on_with(short: list[str]) -> None:
    """Asked once where a bath will not last; nothing is refused."""
    from assistant.printing.plain_face import answered

    if short and on_terminal():
        question = f"{', '.join(short)}: not enough for all copies. Begin all the same? Any key: yes. n or Esc: no. "
        if answered(question).lower() in ("", "n"):
            raise Declined("Nothing was started.")


def _resumed(options: Options, journal: "Journal", number: int) -> int:
    from assistant.devices.clock import SessionClock
    from assistant.printing.by_voice import ears_for
    from assistant.printing.first_words import checked
    from assistant.printing.playing import Opened, played
    from assistant.printing.recipe_file import frozen_score
    from assistant.terminal import brightness

    session = journal.session(number)
    score = frozen_score(session.recipe, session.file, session.copies)
    checked(score, options.temperatures)
    if score.plan.recipe.light != "none":
        brightness.set_level(options.light)
    kept, clock = journal.resume(number, SessionClock.resumed)
    if clock.doubt and not options.seen:
        complain(clock.doubt)
    with ears_for(options, score) as ears:
        doubt = (clock.doubt,) if options.seen else ()
        played(options, Opened(score, kept, clock, kept.mark.at, journal=journal, remarks=doubt, ears=ears))
    return 0


def _wants(options: Options, journal: "Journal", number: int, title: str) -> bool:
    """Whether the printer wants to go on with what was left; two noes end that session for good."""
    from assistant.printing.plain_face import answered

    if not on_terminal():
        complain(f"Session {number}, {title}, was not ended: resume it with `{options.resuming}`.")
        return False
    while True:
        answer = answered(
            f"Session {number}, {title}, was not ended. Resume it? Any key: yes. n: no, end it. Esc: leave. "
        ).lower()
        if not answer:
            raise Declined("Nothing was started.")
        if answer != "n":
            return True
        if answered("n once more ends it for good. Any other key: not yet. ").lower() == "n":
            journal.end(number)
            return False
