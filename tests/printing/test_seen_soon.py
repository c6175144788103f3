"""The dry side is seen before anything is read that only a recipe or a session needs; how soon, the bench says."""

import subprocess
import sys

ASKED = """
import sys
import assistant.printing.options as options
import assistant.printing.dry_side as dry_side
options.on_terminal = lambda: True
def chosen(silent):
    print(*sys.modules)
    raise SystemExit
dry_side.chosen = chosen
from assistant.cli.main import main
main(["run", "--no-guard"])
"""
HEAVY = {"pydantic", "yaml", "numpy", "assistant.recipe.model", "assistant.session.advance"}


def test_nothing_heavy_is_read_before_the_dry_side_is_asked_for(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    said = subprocess.run([sys.executable, "-c", ASKED], capture_output=True, text=True, check=True).stdout
    read = set(said.splitlines()[-1].split())
    assert "assistant.records.journal" in read, "what was left unfinished is looked for before"
    assert read & HEAVY == set()


def test_nor_by_its_app_itself():
    asked = "import sys, assistant.screens.dry.app, assistant.screens.dry.printing; print(*sys.modules)"
    said = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True).stdout
    assert set(said.split()) & {*HEAVY, "markdown_it", "assistant.records.journal"} == set()
