"""A time put into a recipe from the command line: the file that is meant, the one that came with the program, and no other."""

from pathlib import Path

from assistant.cli.main import main
from assistant.places import shipped

SHIPPED = shipped("recipes") / "slipway-edition.yaml"


def test_a_shipped_recipe_is_copied_and_not_written_over(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    before = SHIPPED.read_text(encoding="utf-8")
    assert main(["base", "slipway-edition", "9s"]) == 0
    assert "the base is 9 s now, and was 9.6 s" in capsys.readouterr().out
    assert Path("slipway-edition.yaml").read_text(encoding="utf-8") == before.replace("time: 9.6 s", "time: 9 s")
    assert SHIPPED.read_text(encoding="utf-8") == before
    assert main(["base", "slipway-edition", "10s"]) == 1
    assert "is here already" in capsys.readouterr().err
    assert main(["base", "slipway-edition.yaml", "10s"]) == 0


def test_what_cannot_be_written_is_a_sentence(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    for name in ("nothing.yaml", "film-in-trays"):
        assert main(["base", name, "10s"]) == 1
        assert name.split(".")[0] in capsys.readouterr().err
    assert not (tmp_path / "nothing.yaml").exists()
