"""`traycall rehearse` from outside: JSON, scripts, late hands, and calls that can't be answered."""

import json

import pytest

from assistant.cli.main import main

EDITION = "recipes/slipway-edition.yaml"


def rehearsed(capsys, *words):
    assert main(["rehearse", EDITION, "--json", *words]) == 0
    return json.loads(capsys.readouterr().out)


def test_the_object(capsys):
    played = rehearsed(capsys, "--copies", "8")
    assert set(played) == {"recipe", "copies", "ends_ms", "cues", "stays"}
    assert played["copies"] == 8
    assert set(played["cues"][0]) == {"at_ms", "copy", "step", "kind", "words"}
    developed = [stay for stay in played["stays"] if stay["step"] == "develop"]
    assert [stay["to_ms"] - stay["from_ms"] for stay in developed] == [120_000] * 8
    assert {stay["verdict"] for stay in developed} == {"good"}
    assert played["ends_ms"] >= max(stay["to_ms"] for stay in played["stays"])


def test_late_hands(capsys):
    played = rehearsed(capsys, "--copies", "2", "--late", "12")
    developed = [stay for stay in played["stays"] if stay["step"] == "develop"]
    assert [stay["to_ms"] - stay["from_ms"] for stay in developed] == [132_000] * 2
    assert {stay["verdict"] for stay in developed} == {"long"}


def test_a_script(capsys, tmp_path):
    script = tmp_path / "hands"
    script.write_text("0:10.0 tap\n0:30 tap # into the developer\n40 void 1\n41.5 note 'a hair on the negative'\n")
    played = rehearsed(capsys, "--copies", "2", "--script", str(script))
    mine = [stay for stay in played["stays"] if stay["copy"] == 1]
    assert [(stay["step"], stay["verdict"]) for stay in mine] == [("expose", "void"), ("develop", "void")]
    assert mine[1]["to_ms"] - mine[1]["from_ms"] == 10_000


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("tap", "a line is a time and what happens"),
        ("2:99x tap", "is no time"),
        ("10 jump", "is not known here"),
        ("10 tap twice", "too much after tap"),
        ("10 void two", "is not the number of a copy"),
        ("10 moved", "say how long ago"),
        ("10 pick", "say the number of the strip"),
        ("10 reading developer warm", "is no temperature"),
        ('10 note "open', "No closing quotation"),
    ],
)
def test_a_wrong_line_is_named(line, said, capsys, tmp_path):
    script = tmp_path / "hands"
    script.write_text(f"# a comment\n{line}\n")
    assert main(["rehearse", EDITION, "--script", str(script)]) == 1
    error = capsys.readouterr().err
    assert error.startswith(f"{script}:2: ")
    assert said in error


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nowhere.yaml"], "nowhere.yaml"),
        ([EDITION, "--copies", "61"], "from 1 to 60"),
        ([EDITION, "--copies", "40"], "raise `holds`"),
        ([EDITION, "--late", "soon"], "--late"),
        ([EDITION, "--gap", "soon"], "--gap"),
        ([EDITION, "--script", "nowhere"], "can't be read"),
    ],
)
def test_what_cannot_be_rehearsed_is_said(words, said, capsys):
    assert main(["rehearse", *words]) == 1
    assert said in capsys.readouterr().err
