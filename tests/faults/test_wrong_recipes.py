"""Wrong recipes and the exact words said about them: every .yaml here has a .txt beside it (written by GOLDEN=write).

When a wording is meant to change, the .txt changes with it, and a printer should like it better than before.
"""

import os
from pathlib import Path

import pytest

from assistant.recipe.faults import BadRecipe, Fault
from assistant.recipe.loader import load

HERE = Path(__file__).parent
WRONG = sorted(HERE.glob("*.yaml"))


def complaints(file: Path) -> tuple[Fault, ...]:
    try:
        return load(file).warnings
    except BadRecipe as error:
        return error.faults


@pytest.mark.parametrize("file", WRONG, ids=lambda file: file.stem)
def test_the_words_said(file):
    said = "".join(fault.said(file.name) + "\n" for fault in complaints(file))
    words = file.with_suffix(".txt")
    if os.environ.get("GOLDEN") == "write":
        words.write_text(said, encoding="utf-8")
    assert said == words.read_text(encoding="utf-8")


@pytest.mark.parametrize("file", WRONG, ids=lambda file: file.stem)
def test_only_a_warning_lets_a_recipe_pass(file):
    severities = {fault.severity for fault in complaints(file)}
    assert severities == ({"warning"} if file.stem.startswith("warning-") else {"error"})


def test_every_pair_is_whole():
    assert len(WRONG) >= 45
    assert {file.stem for file in WRONG} == {file.stem for file in HERE.glob("*.txt")}
