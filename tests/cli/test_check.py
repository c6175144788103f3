"""`traycall check` as it is called: its words, its exit codes, its JSON, and what it does not load."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.cli.main import main
from assistant.places import shipped
from tests.recipe.cards import GOOD

WRONG = GOOD.replace("1+9", "1:9").replace("{tray: water}", "{tray: watter}")
SAID = [
    'card.yaml:5:43: tray developer, mix: "1:9" can be read in two ways; is it 1 plus 9? Then write 1+9',
    "card.yaml:16:18: step 5, hold, tray: `watter` is not on the bench; did you mean `water`?",
]


@pytest.fixture(autouse=True)
def _folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def write(name: str, text: str) -> None:
    Path(name).write_text(text, encoding="utf-8")


def test_a_good_file_is_one_line(capsys):
    write("card.yaml", GOOD)
    assert main(["check", "card.yaml"]) == 0
    assert capsys.readouterr() == ("card.yaml: good\n", "")


def test_all_complaints_of_all_files(capsys):
    write("good.yaml", GOOD)
    write("card.yaml", WRONG)
    assert main(["check", "card.yaml", "good.yaml", "gone.yaml"]) == 1
    gone = "gone.yaml: this file can't be read (No such file or directory); check its name and permissions"
    assert capsys.readouterr().out.splitlines() == [*SAID, "good.yaml: good", gone]


def test_a_warning_leaves_a_file_good(capsys):
    write("card.yaml", GOOD.replace("40 min", "4 min"))
    assert main(["check", "card.yaml"]) == 0
    warning, good = capsys.readouterr().out.splitlines()
    assert warning.startswith("card.yaml:18:17: warning: step 7, wash, for: ")
    assert good == "card.yaml: good"


def test_as_json(capsys):
    write("card.yaml", WRONG)
    write("good.yaml", GOOD)
    assert main(["check", "--json", "card.yaml", "good.yaml"]) == 1
    wrong, good = json.loads(capsys.readouterr().out)
    assert good == {"file": "good.yaml", "good": True, "title": "Slipway panel", "complaints": []}
    assert (wrong["file"], wrong["good"], wrong["title"]) == ("card.yaml", False, None)
    assert wrong["complaints"][1] == {
        "line": 16,
        "column": 18,
        "where": "step 5, hold, tray",
        "what": "`watter` is not on the bench",
        "fix": "did you mean `water`?",
        "severity": "error",
    }


def test_no_file_is_a_wrong_call(capsys):
    with pytest.raises(SystemExit) as caught:
        main(["check"])
    assert caught.value.code == 2
    assert "FILE" in capsys.readouterr().err


def test_the_recipes_that_travel_with_the_program(capsys):
    files = [str(file) for file in sorted(shipped("recipes").glob("*.yaml"))]
    assert main(["check", *files]) == 0
    assert capsys.readouterr().out.splitlines() == [f"{file}: good" for file in files]


def run(*words: str, **more: str) -> subprocess.CompletedProcess[str]:
    call = [sys.executable, "-m", "assistant", "check", *words]
    root = Path(__file__).parents[2]
    environment = {**os.environ, "PYTHONPATH": str(root), **more}
    return subprocess.run(call, capture_output=True, text=True, encoding="utf-8", env=environment, check=False)


@pytest.mark.skipif(sys.platform == "win32", reason="file names are text there")
def test_a_file_name_that_is_no_text():
    name = os.fsdecode(b"caf\xe9.yaml")
    write(name, GOOD)
    found = run(name, PYTHONUTF8="1")
    assert (found.returncode, found.stdout) == (0, "caf\ufffd.yaml: good\n")


def test_a_terminal_that_knows_only_ascii():
    write("card.yaml", GOOD.replace("9.6 s", "9½ s"))
    found = run("card.yaml", PYTHONIOENCODING="ascii")
    assert found.returncode == 1
    assert r'step 1, expose, time: "9\xbd s" is not a time' in found.stdout
    assert found.stderr == ""


def test_neither_a_screen_nor_sound_is_loaded():
    write("card.yaml", GOOD)
    code = (
        "import sys; from assistant.cli.main import main; main(['check', 'card.yaml']);"
        "print(sorted({'textual', 'rich', 'numpy', 'simpleaudio', 'pyttsx3', 'sqlite3'} & set(sys.modules)))"
    )
    root = str(Path(__file__).parents[2])
    found = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env={**os.environ, "PYTHONPATH": root}, check=True
    )
    assert found.stdout.splitlines() == ["card.yaml: good", "[]"]
