"""A time put into a recipe from the command line: what the recipe's name means from then on is what is printed."""

from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.devices.settings import recipes_folder
from assistant.places import shipped

SHIPPED = shipped("recipes") / "slipway-edition.yaml"


@pytest.fixture(autouse=True)
def own(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)


def exposed(name, capsys):
    assert main(["card", name]) == 0
    return next(line for line in capsys.readouterr().out.splitlines() if "Exposure" in line)


def test_a_shipped_recipe_becomes_ones_own_and_is_what_its_name_means(capsys):
    before = SHIPPED.read_text(encoding="utf-8")
    for time, was in (("9s", "9.6 s"), ("10s", "9 s")):
        assert main(["base", "slipway-edition", time]) == 0
        assert f"the base is {time[:-1]} s now, and was {was}" in capsys.readouterr().out
        assert f"{time[:-1]} s" in exposed("slipway-edition", capsys)
    own = recipes_folder() / "slipway-edition.yaml"
    assert own.read_text(encoding="utf-8") == before.replace("time: 9.6 s", "time: 10 s")
    assert SHIPPED.read_text(encoding="utf-8") == before
    assert not Path("slipway-edition.yaml").exists()


def test_ones_own_is_written_where_it_is(capsys):
    assert main(["recipes", "copy", "slipway-edition", "mine"]) == 0
    assert main(["base", "mine", "12.6s"]) == 0
    capsys.readouterr()
    assert "12.6 s" in exposed("mine", capsys)
    assert not Path("mine.yaml").exists()


def test_a_file_that_is_named_is_the_one(capsys):
    Path("mine.yaml").write_text(SHIPPED.read_text(encoding="utf-8"), encoding="utf-8")
    assert main(["base", "mine.yaml", "10s"]) == 0
    assert "time: 10 s" in Path("mine.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nothing.yaml"], "nothing.yaml: there is no recipe of that name"),
        (["slipway-editon"], "Did you mean slipway-edition?"),
        (["film-in-trays"], "there is no exposure in this recipe"),
        (["ferry-split-filter", "--part", "x"], "there is no light `x` in this recipe"),
    ],
)
def test_what_cannot_be_written_is_a_sentence_and_leaves_nothing(words, said, capsys):
    assert main(["base", words[0], "10s", *words[1:]]) == 1
    assert said in capsys.readouterr().err
    assert [file.name for folder in (Path(), recipes_folder()) for file in folder.glob("*.yaml")] == []
