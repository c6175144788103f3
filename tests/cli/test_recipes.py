"""A recipe of one's own: listed, copied, written from five questions; and what a shell is told of the calls."""

import io
import os
import subprocess
import sys

import pytest

from assistant.cli.main import COMMANDS, main
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.places import shipped
from assistant.planning.plan import make_plan
from assistant.recipe.first_recipe import QUESTIONS
from assistant.recipe.loader import load
from assistant.score.score import Score


@pytest.fixture(autouse=True)
def own(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    return tmp_path / "home" / "recipes"


def test_recipes_are_listed_ones_own_first(own, capsys):
    assert main(["recipes", "copy", "slipway-edition", "mine"]) == 0
    assert (own / "mine.yaml").read_text() == (shipped("recipes") / "slipway-edition.yaml").read_text()
    capsys.readouterr()
    assert main(["recipes"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].split() == ["mine", "Slipway", "edition"]
    assert len(lines) == 1 + len(list(shipped("recipes").glob("*.yaml")))
    assert main(["check", "mine"]) == 0


def test_the_folder_of_the_settings_is_the_one(tmp_path, capsys):
    (tmp_path / "home").mkdir()
    (tmp_path / "home" / "settings.toml").write_text(f'recipes = "{tmp_path}/cards"\n')
    assert main(["recipes", "copy", "contact-proof", "mine"]) == 0
    assert (tmp_path / "cards" / "mine.yaml").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nothing", "mine"], "There is no recipe nothing"),
        (["slipway-edition", "contact-proof"], "There is a recipe contact-proof already: give this one another name."),
        (["slipway-edition", "../mine"], "Letters, digits, blanks and - make a name."),
    ],
)
def test_a_copy_that_cannot_be_is_refused(words, said, capsys):
    assert main(["recipes", "copy", *words]) == 1
    assert said in capsys.readouterr().err


@pytest.mark.parametrize("toned", ["yes", "no"])
@pytest.mark.parametrize("copies", ["1", "6", "60"])
def test_five_answers_make_a_recipe_without_a_fault(own, copies, toned, capsys):
    answers = {"title": "Net loft: north", "size": "12x16 in", "copies": copies, "time": "1:30", "toned": toned}
    assert main(["new", *(word for name, answer in answers.items() for word in (f"--{name}", answer))]) == 0
    loaded = load(own / "net-loft-north.yaml")
    assert loaded.warnings == ()
    assert Score(make_plan(loaded.recipe)).plan.copies == int(copies)
    assert any(step.kind == "tone" for step in loaded.recipe.steps) is (toned == "yes")
    assert all(step.agitate for step in loaded.recipe.steps if step.kind in ("develop", "stop", "fix"))


def test_toned_prints_of_a_first_recipe_do_not_wait_in_the_washing_aid(own):
    assert main(["new", "--title", "Net loft", "--size", "8x10 in", "--copies", "8", "--time", "10 s", "--toned", "yes"]) == 0
    played = rehearse(Score(make_plan(load(own / "net-loft.yaml").recipe)), Punctual())
    aid = [stay for stay in played.stays if stay.tray == "aid"]
    assert len(aid) == 8
    assert max(stay.to_ms - stay.from_ms for stay in aid) <= 10 * 60_000  # its longest time


def test_what_was_not_given_is_asked(own, monkeypatch, capsys):
    monkeypatch.setattr(sys, "stdin", io.StringIO("Net loft\n" + "\n" * (len(QUESTIONS) - 1)))
    assert main(["new"]) == 0
    assert load(own / "net-loft.yaml").recipe.copies == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [(["--title", "Net loft", "--size", "8 by 10"], "is not a size"), ([], "a question was not answered")],
)
def test_nothing_is_written_where_an_answer_is_missing_or_wrong(own, words, said, monkeypatch, capsys):
    monkeypatch.setattr(sys, "stdin", io.StringIO(""))
    assert main(["new", *words]) == 1
    assert said in capsys.readouterr().err
    assert not own.exists()


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_shell_gets_its_lines(shell, capsys):
    assert main(["completion", shell]) == 0
    assert "traycall" in capsys.readouterr().out


def test_a_shell_is_told_how_a_call_may_go_on(tmp_path):
    def offered(line):
        told = {"_ARGCOMPLETE_STDOUT_FILENAME": str(tmp_path / "told"), "_ARGCOMPLETE_IFS": " "}
        asked = {"_ARGCOMPLETE": "1", "COMP_LINE": line, "COMP_POINT": str(len(line)), **told}
        words = [sys.executable, "-m", "assistant"]
        subprocess.run(words, env={**os.environ, **asked}, check=False, timeout=60)
        return (tmp_path / "told").read_text().split()

    assert set(offered("traycall ")) >= set(COMMANDS)
    assert set(offered("traycall rec")) == {"recipes", "records"}
    assert "--aperture" in offered("traycall calculate exposure --ap")
