"""`traycall plan` from outside: the tables, the picture, JSON, and the lines of tanks of the literature."""

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.printing.recipe_file import open_score
from tests.planning.test_cyclic import LITERATURE, invented_line

EDITION, FILM = "recipes/slipway-edition.yaml", "recipes/film-in-trays.yaml"


def said(capsys, *words, code=0):
    assert main(["plan", *words]) == code
    out = capsys.readouterr()
    return out.err if code else out.out


def test_the_shipped_edition_in_words(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    far, _, text = said(capsys, EDITION, "--copies", "4", "--progress").partition("100 %\n")
    assert far.startswith("8 %\n16 %\n")
    assert text.startswith("Slipway edition, 4 copies: through after ")
    assert "What limits it: the developer: 2:19 for every sheet." in text
    assert "every copy alike" in text
    assert "No turn in the stop: sheets 2, 3. Move each well as it goes in." in text
    assert "Finish by slack (down) and pace (across), both in seconds:" in text
    assert max(len(line) for line in text.splitlines() if line.startswith(("hands ", "lamp", "developer "))) <= 80


def test_as_json_in_whole_ms(capsys):
    plan = json.loads(said(capsys, EDITION, "--copies", "3", "--slack", "20s", "--pace", "1s", "--json"))
    assert plan["proved"] == (plan["finish_ms"] == plan["bound_ms"])
    assert plan["finish_ms"] < plan["one_at_a_time_ms"]
    developed = [stay for stay in plan["stays"] if stay["tray"] == "developer"]
    assert [stay["to_ms"] - stay["from_ms"] for stay in developed] == [120_000] * 3
    assert all(one["to_ms"] <= other["from_ms"] for one, other in zip(plan["hands"], plan["hands"][1:], strict=False))


def test_the_picture_as_a_file(capsys, tmp_path):
    file = tmp_path / "plan.svg"
    said(capsys, EDITION, "--copies", "2", "--json", "--svg", str(file))
    assert main(["plan", EDITION, "--copies", "2", "--svg", str(file)]) == 1
    assert f"{file} is there already and is left as it is" in capsys.readouterr().err
    words = [text.text for text in ET.parse(file).iter("{http://www.w3.org/2000/svg}text")]
    assert {"hands", "lamp", "developer", "stop", "fixer 1", "1", "2"} <= set(words)


def test_a_stack_is_planned_as_its_session_goes(capsys, tmp_path):
    file = tmp_path / "stack.svg"
    (plan,) = json.loads(said(capsys, FILM, "--json", "--svg", str(file)))["stacks"]
    whole = rehearse(open_score(Path(FILM), None), Punctual())
    stays = [stay for stay in whole.stays if stay.kind == "develop"]
    begun = stays[0].from_ms
    assert [(stay["from_ms"], stay["to_ms"]) for stay in plan["stays"]] == [(s.from_ms - begun, s.to_ms - begun) for s in stays]
    heard = [cue for cue in whole.heard if cue.step == "develop"]
    assert [stay["lift_ms"] for stay in plan["stays"]] == [cue.at - begun for cue in heard if cue.kind == "lift"]
    assert plan["agitated_ms"] == [cue.at - begun for cue in heard if cue.kind == "agitate"]
    assert (plan["apart_ms"], plan["most"]) == (15_000, 6)
    words = {text.text for text in ET.parse(file).iter("{http://www.w3.org/2000/svg}text")}
    assert {"hands", "developer 1", "developer 4", "*", "4"} <= words


def test_a_stack_in_words(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "70")
    text = said(capsys, FILM)
    assert "each for 8:00: in one by one every 15 s, out in the same order" in text
    assert "hands       12.34..**" in text
    assert "developer 4 ....4444" in text
    assert max(map(len, text.splitlines()[3:])) <= 70


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ([], "say a recipe, or --problem"),
        (["recipes/by-the-first-tone.yaml"], "can't be overlapped: developer is ended by eye or by the first tone"),
        (["recipes/proof-round.yaml"], "several negatives"),
        ([EDITION, "--pace", "2 bananas"], "--pace: "),
        ([EDITION, "--pace", "90s"], "quicker hands"),
        ([FILM, "--pace", "3s"], "change nothing here"),
        ([FILM, "--copies", "9"], "print at most 6"),
        (["--problem", "no-such-file.json"], "no-such-file.json"),
    ],
)
def test_what_cannot_be_planned(capsys, words, why):
    assert why in said(capsys, *words, code=1)


def test_a_line_of_tanks(capsys, tmp_path):
    file = tmp_path / "line.json"
    file.write_text(json.dumps(invented_line(8, 1).data), encoding="utf-8")
    answer = json.loads(said(capsys, "--problem", str(file), "--seconds", "600", "--json"))
    assert set(answer) == {"period", "starts", "bound", "proved", "verdict"}
    assert (answer["verdict"], answer["proved"], answer["bound"]) == ("good", True, answer["period"])


def test_no_time_is_no_proof(capsys, tmp_path):
    file = tmp_path / "line.json"
    file.write_text(json.dumps(invented_line(12, 2).data), encoding="utf-8")
    assert "no round was found" in said(capsys, "--problem", str(file), "--seconds", "0", code=1)


def test_the_twelve_tanks_of_the_literature(capsys):
    if not LITERATURE.is_file():
        pytest.skip(f"the literature's line of tanks is not here: {LITERATURE} (TRAYCALL_LITERATURE names another place)")
    answer = json.loads(said(capsys, "--problem", str(LITERATURE), "--json"))
    assert (answer["period"], answer["proved"], answer["verdict"]) == (521, True, "good")
