"""The fog test: its strips, what is worked out of them, and that a run says how the screen stands with the paper."""

import pytest

from assistant.cli.main import main
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.places import shipped
from assistant.printing.fog_test import STRIP, TOTALS, ask, standing, title
from assistant.printing.recipe_file import score_of
from assistant.recipe.loader import load, loads
from assistant.recipe.model import Expose
from assistant.recipe.strip_card import FOG_TEST, strip_card
from assistant.records.journal import Journal
from assistant.score import words
from assistant.score.lamp import lamp_runs
from assistant.session import happenings as h
from assistant.session.advance import advance, open_bench
from tests.records.sessions import keep

CARD = shipped("recipes") / "slipway-edition.yaml"
PAPER = "glossy fibre base"
SPOILED = [(5_000, h.Tap()), (600_000, h.Void(1)), (601_000, h.End()), (602_000, h.End())]
"""The one strip is torn, and the session is ended."""


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    return tmp_path


def card_of(level="paper"):
    return strip_card(CARD.read_text(encoding="utf-8"), STRIP, title=title(level), name=FOG_TEST)


@pytest.fixture(scope="module")
def played():
    """A whole test as it is printed; it is kept under a level by `make`."""
    return rehearse(score_of(loads(card_of()), None), Punctual())


@pytest.fixture
def make(played):
    def kept(level="paper", hands=played.hands):
        with Journal.open() as journal:
            keep(journal, hands, played.bench.now, text=card_of(level), copies=1)

    return kept


def test_strips_of_one_two_four_and_eight_minutes():
    # ANSI IT2.26-1998, ISO 8374 [std]: strips of 0, 1, 2, 4 and 8 minutes; the one of 0 stays covered
    assert [ms // 60_000 for ms in TOTALS] == [1, 2, 4, 8]
    light, *baths = loads(strip_card(CARD.read_text(encoding="utf-8"), STRIP, title="Fog", name=FOG_TEST)).recipe.steps
    assert isinstance(light, Expose)
    (run,) = lamp_runs(light)
    moves = [mark.offset - run.count_in for mark in run.marks if mark.kind == "move"]
    assert moves == [60_000, 120_000, 240_000]
    assert run.light == 480_000
    assert not any(mark.kind == "tick" for mark in run.marks)
    assert tuple(baths) == load(CARD).recipe.steps[1:5]


@pytest.mark.parametrize(
    ("clean", "said"),
    [
        ("3", "2:49 for all handling"),  # clean at 4 min, fogged at 8: 169.7 s (ANSI IT2.26, ISO 8374), a limit: rounded down
        ("4", "at least 4:00 for all handling"),
        ("0", "not safe for glossy fibre base"),
    ],
)
def test_a_judgement_is_worked_out_and_kept(clean, said, capsys, make):
    make()
    assert main(["fog", str(CARD), "--judged", clean]) == 0
    assert said in capsys.readouterr().out
    known = standing(load(CARD).recipe, "paper")
    assert known.spoken == (words.SCREEN_FOGS if clean == "0" else "")
    assert PAPER in known.line
    assert "Fog test of" in known.line


def test_the_newest_test_counts_whatever_it_says(make):
    make()
    recipe = load(CARD).recipe
    main(["fog", str(CARD), "--judged", "3"])
    main(["fog", str(CARD), "--judged", "0"])
    known = standing(recipe, "paper")
    assert "fogs by this screen" in known.line
    assert "may lie" not in known.line
    assert known.spoken == words.SCREEN_FOGS
    main(["fog", str(CARD), "--judged", "1"])
    assert "may lie by this screen for 42 s in all" in standing(recipe, "paper").line


def test_a_test_holds_for_its_own_level_and_paper(make):
    make("work")
    main(["fog", str(CARD), "--light", "work", "--judged", "2"])
    recipe = load(CARD).recipe
    assert standing(recipe, "work").spoken == ""
    assert standing(recipe, "paper").spoken == words.SCREEN_UNTESTED
    other = recipe.model_copy(update={"paper": recipe.paper.model_copy(update={"name": "matt fibre base"})})
    assert standing(other, "work").spoken == words.SCREEN_UNTESTED


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["fog", "film-in-trays"], "no exposure"),
        (["fog", str(CARD), "--light", "blackout"], "needs no test"),
        (["fog", "nothing.yaml"], "no recipe of that name"),
        (["fog", str(CARD), "--judged", "3"], "Make one with `traycall fog RECIPE --light paper`"),
        (["fog", str(CARD), "--judged", "3", "--trial"], "judge a test that is in the records, without --trial"),
    ],
)
def test_what_cannot_be_tested_is_a_sentence(words, complaint, capsys):
    assert main(words) == 1
    assert complaint in capsys.readouterr().err


def test_kept_tests_that_cannot_be_read_are_a_sentence(folder, capsys, make):
    make()
    (folder / "fog-tests.json").write_text("{", encoding="utf-8")
    assert main(["fog", str(CARD), "--judged", "2"]) == 1
    assert "move the file away" in capsys.readouterr().err


@pytest.mark.parametrize("level", ["work", "paper"])
def test_a_test_of_another_level_or_one_whose_strip_was_spoiled_cannot_be_judged(level, make, capsys):
    make("work", hands=SPOILED)
    assert main(["fog", str(CARD), "--light", level, "--judged", "3"]) == 1
    assert f"No fog test of {PAPER} at level {level} was finished" in capsys.readouterr().err
    assert standing(load(CARD).recipe, level).spoken == words.SCREEN_UNTESTED


@pytest.mark.parametrize(("spoiled", "trial", "said"), [(True, False, "No strip was finished"), (False, True, "A trial keeps")])
def test_after_a_spoiled_strip_or_a_trial_nothing_is_asked_or_kept(spoiled, trial, said, played, capsys, folder, monkeypatch):
    monkeypatch.setattr("assistant.printing.fog_test.numbered", lambda *_: pytest.fail("was asked"))
    bench = played.bench
    if spoiled:
        bench = open_bench(played.bench.score)
        for at, happening in SPOILED:
            bench = advance(bench, happening, at).bench
    assert bench.finished
    ask(bench, "paper", terminal=True, trial=trial)
    assert said in capsys.readouterr().out
    assert not (folder / "fog-tests.json").exists()
