"""Whole sessions of the shipped recipes as a printer would read them; write them anew with GOLDEN=write."""

import os
from pathlib import Path

import pytest

from assistant.cli.main import main

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
SESSIONS = {
    "edition-of-two": ["slipway-edition.yaml", "--copies", "2"],
    "edition-late-by-five": ["slipway-edition.yaml", "--copies", "2", "--late", "5"],
    "contact-proof": ["contact-proof.yaml"],
    "test-strip": ["test-strip.yaml"],
    "burns-and-dodges": ["boat-shed-door.yaml", "--copies", "1"],
    "by-the-first-tone": ["by-the-first-tone.yaml", "--copies", "2"],
    "two-baths": ["two-bath-fixing.yaml", "--copies", "2"],
    "film-in-the-dark": ["film-in-trays.yaml", "--copies", "2"],
    "split-filter": ["ferry-split-filter.yaml", "--copies", "3"],
    "warm-developer": ["warm-developer.yaml", "--copies", "3"],
    "bleach-and-sepia": ["bleach-and-sepia.yaml", "--copies", "3"],
    "bleach-and-sepia-late": ["bleach-and-sepia.yaml", "--copies", "2", "--late", "5"],
    "coated-proof": ["coated-proof.yaml", "--copies", "3"],
    "film-late-by-five": ["film-in-trays.yaml", "--copies", "3", "--late", "5"],
    "a-bad-day": ["slipway-edition.yaml", "--copies", "2", "--script", str(HERE / "a-bad-day.script")],
}


@pytest.mark.parametrize("name", SESSIONS)
def test_session(name, capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    recipe, *words = SESSIONS[name]
    assert main(["rehearse", f"recipes/{recipe}", *words]) == 0
    text = capsys.readouterr().out
    file = HERE / f"{name}.txt"
    if os.environ.get("GOLDEN") == "write":
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")
