"""Several recipes with the same baths given to one session: each is a print of its own, and what has to be alike is."""

from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.planning.plan import make_plan
from assistant.printing.card import card_of
from assistant.printing.refusal import Refusal
from assistant.recipe.joined import CannotJoin, joined
from assistant.recipe.loader import loads
from assistant.recipe.several_prints import light_of
from tests.records.sessions import TEXT

FERRY = TEXT.replace("Slipway panel", "Ferry").replace("copies: 3", "copies: 4\nspares: 1\nnegative: {name: ferry 12}")
SLIP = TEXT.replace("title: Slipway panel", "title: 'Slip: the long one'")
SLIP = SLIP.replace("9.6 s", "14 s").replace("aperture: f/11", "filter: 4")
BARE = SLIP.partition("      parts:")[0] + "".join(SLIP.partition("  - develop")[1:])


def test_each_keeps_its_name_negative_copies_and_light() -> None:
    recipe = loads(joined([("ferry.yaml", FERRY), ("slip.yaml", BARE)])).recipe
    of_ferry, of_slip = loads(FERRY).recipe, loads(BARE).recipe
    assert recipe.title == "Ferry and Slip: the long one"
    assert recipe.notes == of_ferry.notes, "both say the same"
    assert [(one.name, one.copies, one.spares) for one in recipe.prints] == [("Ferry", 4, 1), ("Slip: the long one", 3, 0)]
    assert recipe.prints[0].negative == of_ferry.negative
    for one, alone in zip(recipe.prints, (of_ferry, of_slip), strict=True):
        assert light_of(recipe.steps[0], one) == alone.steps[0]  # type: ignore[arg-type]
    assert recipe.steps[1:] == of_ferry.steps[1:]
    assert (recipe.trays, recipe.paper, recipe.reference) == (of_ferry.trays, of_ferry.paper, 1)
    assert make_plan(recipe).copies == 7


def test_a_recipe_of_several_prints_can_be_one_of_them() -> None:
    two = SLIP.replace("copies: 3\n", "prints: [{name: bow, copies: 2}, {name: stern, time: 20 s, parts: []}]\n")
    recipe = loads(joined([("two.yaml", two), ("ferry.yaml", FERRY)])).recipe
    lights = [light_of(recipe.steps[0], one) for one in recipe.prints]  # type: ignore[arg-type]
    assert [(one.name, light.time, len(light.parts)) for one, light in zip(recipe.prints, lights, strict=True)] == [
        ("bow", 14_000, 2), ("stern", 20_000, 0), ("Ferry", 9_600, 2),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("mix: 1+4, volume: 2 l", "mix: 1+9, volume: 2 l", "tray fixer is another"),
        ("batch: A3", "batch: B7", "paper is another"),
        ("- develop: {for: 2 min", "- develop: {for: 3 min", "step Developer is another"),
        ("dry_down: 8 %", "dry_down: 6 %", "step Exposure is another"),
        ("reference: 1\n", "", "reference is another"),
    ],
)
def test_what_differs_is_named(old: str, new: str, said: str) -> None:
    with pytest.raises(CannotJoin, match=f"slip.yaml can't be printed in one session with ferry.yaml: {said}"):
        joined([("ferry.yaml", FERRY), ("slip.yaml", SLIP.replace(old, new))])


def test_as_a_printer_calls_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path / "home"))
    Path("ferry.yaml").write_text(FERRY)
    Path("slip.yaml").write_text(SLIP)
    card = card_of(Path("ferry.yaml"), Path("slip.yaml"))
    assert (card.name, len(card.loaded.recipe.prints), card.loaded.text) == ("ferry.yaml + slip.yaml", 2, card.text)
    with pytest.raises(Refusal, match="each recipe is given once"):
        card_of(Path("ferry.yaml"), Path("ferry.yaml"))
    with pytest.raises(Refusal, match="film is printed alone"):
        card_of(Path("ferry.yaml"), Path("film-in-trays"))
    assert main(["run", "ferry.yaml", "slip.yaml", "--copies", "3"]) == 1
    assert "in their own numbers of copies" in capsys.readouterr().err
