"""A session worked by voice over scripted ears: whole evenings, questions, what is half understood, and ears that are closed."""

from dataclasses import replace

import pytest

from assistant.conductor.by_voice import FLOOD, ByVoice
from assistant.conductor.conductor import Conductor
from assistant.conductor.rehearsal import Punctual
from assistant.conductor.twins import NoJournal, RecordingDesk, SetClock
from assistant.session.advance import open_bench
from assistant.session.hands import meant
from assistant.session.happenings import Note
from assistant.session.heard import Heard
from assistant.session.passing import beat, due
from assistant.session.place import InLight
from tests.conductor.scripted_ears import ScriptedEars
from tests.session import cards

LASTS, LATE = 900, 1_400
"""A phrase lasts so long, and is understood so long after it began (ms)."""


class Evening:
    """A session with nothing but ears, under a clock that jumps."""

    def __init__(self, score, attention=False):
        self.clock, self.desk, self.ears = SetClock(), RecordingDesk(), ScriptedEars([])
        self.conductor = Conductor(open_bench(score), self.clock, self.desk, NoJournal())
        self.conductor.open()
        self.voice = ByVoice(self.conductor, self.ears, attention)

    def say(self, name, at, number=None, text="one two three four", **changed):
        """A phrase that began at a moment (ms) and is understood a little later."""
        self.clock.at = max(self.clock.at, at + LATE)
        said = Heard(name, number, text, at, at + LASTS)
        self.ears._left.append(replace(said, **changed))
        self.ears.until(self.clock.at)
        self.run_to(self.clock.at)

    def run_to(self, at):
        self.clock.at = at
        self.desk.until(at)
        self.conductor.beat()

    def answers(self):
        return [cue.words for cue in self.desk.heard if cue.kind in ("heard", "refused", "tell")]

    @property
    def bench(self):
        return self.conductor.bench


def words_for(bench, at):
    """What a printer says where a tap is wanted."""
    hand = meant(beat(bench, at), at)
    if hand.what == "pull" or hand.step == len(bench.plan.recipe.steps):
        return "out"
    if hand.what == "first tone":
        return "first_tone"
    light = hand.what == "begin" and bench.plan.recipe.steps[hand.step].kind == "expose"
    return "begin" if light else "in"


def spoken_evening(score, late=0):
    evening, printer = Evening(score), Punctual(late)
    lights = 0
    for _ in range(2_000):
        moment, hand = due(evening.bench), printer.next(evening.bench)
        if moment is None and hand is None:
            return evening
        if hand is None or (moment is not None and moment <= hand[0]):
            evening.run_to(moment)
            continue
        name = words_for(evening.bench, hand[0])
        evening.say(name, hand[0])
        printer.played(hand)
        lights += name == "begin" and any(isinstance(c.place, InLight) for c in evening.bench.copies)
    raise AssertionError("no end")


@pytest.mark.parametrize("late", [0, 6_000])
def test_an_edition_with_toning_by_voice_alone(late):
    evening = spoken_evening(cards.edition(2, 0), late)
    assert [copy.done for copy in evening.bench.copies] == [True, True]
    developed = [stay.lasted for copy in evening.bench.copies for stay in copy.stays if stay.kind == "develop"]
    assert developed == [120_000 + late] * 2
    assert not [cue for cue in evening.desk.heard if cue.kind == "refused"]


def test_development_by_the_first_tone_by_voice_alone():
    evening = spoken_evening(cards.by_hand(2))
    assert [copy.done for copy in evening.bench.copies] == [True, True]
    assert [emerged for _, emerged in evening.bench.emerged] == [20_000, 20_000]


def developing():
    evening = Evening(cards.edition(3))
    evening.say("begin", 12_000)
    evening.say("in", 40_000)
    return evening


def test_dropping_a_sheet_asks_first():
    evening = developing()
    evening.say("void", 60_000, 1.0)
    assert evening.answers()[-1] == "is copy one void? say that is right"
    assert not evening.bench.copy(1).void
    evening.say("yes", 64_000)
    assert evening.bench.copy(1).void
    assert "copy one is void" in evening.answers()[-1]


@pytest.mark.parametrize("other", ["no", "how_long", None, "tap"])
def test_silence_other_words_and_a_tap_mean_no(other):
    from assistant.session.happenings import Note

    evening = developing()
    evening.say("void", 60_000, 1.0)
    if other == "tap":
        evening.conductor.tell(Note("thin"))
    elif other:
        evening.say(other, 62_000)
    evening.say("yes", 70_000 if other is None else 64_500)
    assert not evening.bench.copy(1).void
    assert evening.answers()[-1] == "nothing was asked"


def test_half_understood_is_asked_for_again_not_too_often_and_then_the_button_is_named():
    evening = developing()
    for at in range(60_000, 120_000, 3_000):
        evening.say("undo", at, score=-8.5)
    said = [words for words in evening.answers() if words in ("say that again", "I cannot hear you well. use the button")]
    assert said == ["say that again", "say that again", "I cannot hear you well. use the button"]
    assert evening.bench.copy(1).bath is not None


def test_talk_is_passed_over_in_silence():
    evening = developing()
    before = evening.answers()
    evening.say("undo", 60_000, score=-11.0)
    evening.say("undo", 64_000, end=64_000 + 5_000)
    assert evening.answers() == before


@pytest.mark.parametrize("changed", [{"score": -8.5}, {"margin": 1.0}, {"score": -20.0}, {"end": 200_000}])
@pytest.mark.parametrize("name", ["begin", "in", "out", "moved", "undo", "hold", "void", "yes"])
def test_unsure_it_never_acts(name, changed):
    evening = developing()
    evening.run_to(60_000)
    before = evening.bench
    evening.say(name, 60_000, 5.0 if name in ("moved", "void") else None, **changed)
    assert evening.bench.copies == beat(before, evening.bench.now).copies
    assert evening.bench.history == before.history


def test_three_knocks_only_where_they_were_asked_for():
    evening = Evening(cards.edition(2))
    evening.say("begin", 12_000)
    evening.say("knock", 40_000)
    assert evening.bench.copy(1).bath is None
    knocking = Evening(cards.edition(2))
    knocking.voice = ByVoice(knocking.conductor, knocking.ears, knock=True)
    knocking.say("begin", 12_000)
    knocking.say("knock", 40_000)
    assert knocking.bench.copy(1).bath.since == 40_000


def test_a_note_is_asked_for_by_a_tone_and_kept_as_heard():
    evening = developing()
    evening.voice._note_file = lambda copy, at: f"/kept/copy-{copy}-{at}.wav"
    evening.ears.dictates = "the corner is light"
    evening.say("note", 60_000)
    sign = [cue for cue in evening.desk.heard if cue.kind == "heard"][-2]
    assert (sign.words, sign.sound.tone) == ("", "heard")
    evening.run_to(62_000)
    assert evening.bench.notes == ((evening.bench.notes[0][0], "as heard: the corner is light"),)
    assert evening.answers()[-1] == "noted"
    assert evening.bench.history[-1].happening == Note("as heard: the corner is light", "copy-1-61400.wav")


def test_a_note_that_nobody_speaks_is_none():
    evening = developing()
    evening.say("note", 60_000)
    evening.run_to(62_000)
    assert evening.bench.notes == ()
    assert evening.answers()[-1] == "no note was heard"


def test_closed_ears_hear_only_that_they_are_to_be_opened():
    evening = developing()
    evening.say("close", 50_000)
    evening.say("undo", 55_000)
    assert evening.bench.copy(1).bath is not None
    assert evening.voice.state() == 'ears closed: "one two three four"'
    evening.say("open", 60_000)
    evening.say("undo", 65_000)
    assert evening.bench.copy(1).bath is None
    evening.voice.turn()
    assert evening.answers()[-1] == "not listening"


def test_with_attention_wanted_nothing_is_done_without_it():
    evening = Evening(cards.edition(2), attention=True)
    evening.say("begin", 12_000)
    assert evening.bench.copy(1).boxed
    evening.say("how_long", 15_000)
    assert evening.answers()
    evening.say("open", 20_000)
    evening.say("begin", 24_000)
    assert isinstance(evening.bench.copy(1).place, InLight)


def test_a_screen_shows_that_it_hears_nothing_while_the_program_speaks_and_a_plain_one_need_not():
    evening = developing()
    evening.ears.deaf(60_000, 62_000)
    shown = []
    for at in (59_999, 60_000, 61_999, 62_000):
        evening.run_to(at)
        shown.append(evening.conductor.face().ears)
    assert shown[0] == shown[3] == evening.conductor.ears()
    assert shown[1:3] == ["ears: not while I speak"] * 2
    evening.voice.turn()
    evening.ears.deaf(70_000, 71_000)
    evening.run_to(70_500)
    assert evening.conductor.face().ears.startswith("ears closed")


def test_of_a_flood_the_oldest_are_dropped():
    evening = developing()
    for i in range(30):
        evening.ears._hand_on(Heard("how_long", None, "one two three four", 60_000 + i, 60_900 + i))
    before = len(evening.answers())
    evening.run_to(70_000)
    assert len(evening.answers()) == before + FLOOD


def test_a_lost_microphone_is_said_once_and_so_is_its_return():
    evening = developing()
    trouble = [""]
    evening.ears.trouble = lambda: trouble[0]
    trouble[0] = "gone"
    evening.run_to(60_000)
    evening.run_to(61_000)
    assert evening.voice.state() == "ears: no microphone"
    trouble[0] = ""
    evening.run_to(62_000)
    said = [words for words in evening.answers() if "microphone" in words]
    assert said == ["the microphone is lost. use the button", "the microphone is back"]
