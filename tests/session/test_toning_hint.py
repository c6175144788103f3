"""Along an edition the voice says what the last prints took in the toner, and when to look at the next; it ends none."""

from assistant.conductor.rehearsal import rehearse
from assistant.score.words import look_from
from assistant.session.advance import advance, open_bench
from assistant.session.happenings import Fresh
from assistant.trade.toning_drift import hint
from tests.records.sessions import TEXT, score_of
from tests.screens.tiring import Tiring


def asked(text: str, copies: int) -> list[str]:
    played = rehearse(score_of(text, copies), Tiring())
    said = [cue.words for cue in played.heard if cue.kind == "ask" and "into the toner" in cue.words]
    return list(dict.fromkeys(said))


def test_first_nothing_then_the_last_print_then_the_last_three() -> None:
    """The eye's times are those of the printer's twin: 58 s times 1.08, 1.16, ... and 0, 1.7 or 3.4 s more."""
    said = asked(TEXT.replace("reference: 1\n", ""), 6)
    assert said[0].endswith("copy one into the toner")
    assert said[1].endswith("copy two into the toner. copy one took one minute four")
    times = [58_000 * (100 + 8 * n) // 100 + n % 3 * 1700 for n in range(1, 7)]
    for place in range(2, 6):
        found = hint(times[:place])
        assert found is not None
        assert f"last {'two' if place == 2 else 'three'} took " in said[place]
        assert said[place].endswith(look_from(found.before, found.look_from, False))


def test_of_several_negatives_the_same_ones_prints_are_spoken_of() -> None:
    """Copies one and two are of the ferry, three to six of the bow: the bow's own two are known before copy five."""
    several = TEXT.replace("copies: 3\n", "prints: [{name: ferry, copies: 2}, {name: bow, copies: 4}]\n")
    said = asked(several.replace("reference: 1\n", ""), 6)
    times = [58_000 * (100 + 8 * n) // 100 + n % 3 * 1700 for n in range(1, 7)]
    for place, before in ((2, times[:2]), (3, times[:3]), (4, times[2:4]), (5, times[2:5])):
        found = hint(before)
        assert found is not None
        assert said[place].endswith(look_from(found.before, found.look_from, False)), place


def test_after_a_fresh_toner_the_prints_before_it_tell_nothing() -> None:
    played = rehearse(score_of(TEXT.replace("reference: 1\n", ""), 4), Tiring())
    taken = [at for at, happening in played.hands if at > next(s.to_ms for s in played.bench.copy(2).stays if s.kind == "tone")]
    bench, asks = open_bench(score_of(TEXT.replace("reference: 1\n", ""), 4)), []
    hands = sorted([*played.hands, (taken[0] - 1, Fresh("toner"))], key=lambda hand: hand[0])
    for at, happening in hands:
        outcome = advance(bench, happening, at)
        bench = outcome.bench
        asks += [cue.words for passage in outcome.give for cue in passage.cues if cue.kind == "ask" and "the toner" in cue.words]
    of_three = [words for words in asks if "copy three into the toner" in words]
    assert "last two" in of_three[0]
    assert "took" not in of_three[-1]
    assert "last" not in of_three[-1]
    assert [words for words in asks if "copy four into the toner" in words][-1].count("copy three took") == 1


def test_below_a_minute_the_unit_is_said_once() -> None:
    assert look_from((52_000, 55_000, 58_000), 48_400, False) == (
        "last three took fifty two, fifty five, fifty eight seconds. look from forty eight seconds"
    )


def test_a_toner_that_passes_the_recipes_range_is_said() -> None:
    said = asked(TEXT.replace("reference: 1\n", "").replace("to: 2 min", "to: 75 s"), 6)
    assert [words.endswith("the toner has slowed") for words in said] == [False] * 5 + [True]


def test_no_print_is_ended_by_it() -> None:
    played = rehearse(score_of(TEXT, 5), Tiring())
    assert not [cue for cue in played.heard if cue.kind in ("lift", "pip") and cue.step == "tone"]
