"""The fog test: its strips, what is reckoned of them, and that a run says how the screen stands with the paper."""

import pytest

from assistant.cli.main import main
from assistant.places import shipped
from assistant.printing.fog_test import STRIP, TOTALS, standing
from assistant.recipe.loader import load, loads
from assistant.recipe.model import Expose
from assistant.recipe.strip_card import FOG_TEST, strip_card
from assistant.score.lamp import lamp_runs

CARD = shipped("recipes") / "slipway-edition.yaml"
PAPER = "glossy fibre base"


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    return tmp_path


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
        ("3", "2:50 for all handling"),  # clean at 4 min, fogged at 8: 169.7 s (ANSI IT2.26, ISO 8374)
        ("4", "at least 4:00 for all handling"),
        ("0", "not safe for glossy fibre base"),
    ],
)
def test_a_judgement_is_reckoned_and_kept(clean, said, capsys):
    assert main(["fog", str(CARD), "--judged", clean]) == 0
    assert said in capsys.readouterr().out
    known, tested = standing(load(CARD).recipe, "paper")
    assert tested is (clean != "0")
    assert PAPER in known
    assert ("Fog test of" in known) is tested


def test_a_test_holds_for_its_own_level_and_paper():
    main(["fog", str(CARD), "--light", "work", "--judged", "2"])
    recipe = load(CARD).recipe
    assert standing(recipe, "work")[1]
    assert not standing(recipe, "paper")[1]
    other = recipe.model_copy(update={"paper": recipe.paper.model_copy(update={"name": "matt fibre base"})})
    assert not standing(other, "work")[1]


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["fog", "film-in-trays"], "no exposure"),
        (["fog", str(CARD), "--light", "blackout"], "needs no test"),
        (["fog", "nothing.yaml"], "can't be read"),
    ],
)
def test_what_cannot_be_tested_is_a_sentence(words, complaint, capsys):
    assert main(words) == 1
    assert complaint in capsys.readouterr().err


def test_kept_tests_that_cannot_be_read_are_a_sentence(folder, capsys):
    (folder / "fog-tests.json").write_text("{", encoding="utf-8")
    assert main(["fog", str(CARD), "--judged", "2"]) == 1
    assert "move the file away" in capsys.readouterr().err
