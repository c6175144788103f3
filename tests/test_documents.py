"""What the documents say is there is there: every file that is named, every command and every word of a call.

Commands that neither print a session nor sound are run as they stand, in a home of their own.
"""

import re
import shlex
from pathlib import Path

import pytest

from assistant.cli.main import COMMANDS, main

ROOT = Path(__file__).parents[1]
TEXTS = {name: (ROOT / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md")}
LINKS = sorted({(name, link) for name, text in TEXTS.items() for link in re.findall(r"\]\(([^)#:]+)\)", text)})
PATHS = sorted({(name, path) for name, text in TEXTS.items() for path in re.findall(r"`([\w.]+(?:/[\w.-]*)+)`", text)})
WRITTEN = re.findall(r"^traycall ([a-z]+)(.*)$|`traycall ([a-z]+)([^`]*)`", "\n".join(TEXTS.values()), re.MULTILINE)
CALLS = sorted({(a or c, b or d) for a, b, c, d in WRITTEN if (a or c) != "traycall"})
SAFE = ("check", "rehearse", "schema", "calculate", "plan", "card", "records", "baths")


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)


def helped(*words, capsys):
    with pytest.raises(SystemExit) as left:
        main([*words, "--help"])
    assert left.value.code == 0
    return capsys.readouterr().out


@pytest.mark.parametrize(("document", "link"), LINKS)
def test_what_is_linked_is_there(document, link):
    assert (ROOT / link).exists(), f"{document}: {link}"


@pytest.mark.parametrize(("document", "path"), PATHS)
def test_a_file_that_is_named_is_there(document, path):
    places = [ROOT / path, ROOT / "assistant" / path, ROOT / "assistant" / f"{path}.py"]
    room, _, value = path.rpartition(".")  # `session/taps.TAPS`: a name in a module
    module = ROOT / "assistant" / f"{room}.py"
    assert any(place.exists() for place in places) or (module.exists() and value in module.read_text(encoding="utf-8")), document


@pytest.mark.parametrize(("command", "rest"), CALLS)
def test_a_command_that_is_named_is_there_with_its_words(command, rest, capsys):
    assert command in COMMANDS
    said = helped(command, capsys=capsys)
    for option in re.findall(r"--[a-z][a-z-]*", rest.split("#")[0].replace("--help", "")):
        if option not in said:  # a word of what the command does: `records note 3 --copy 2`
            word = rest.split()[0]
            said = helped(command, word, capsys=capsys)
        assert option in said, f"traycall {command} {rest}"


def test_every_module_is_in_its_room():
    """The rooms name what lies in them; of `trade` and `cli` every module is what it is called."""
    rooms = TEXTS["DEVELOPERS.md"].split("## Rooms")[1].split("## Decisions")[0]
    named = set(re.findall(r"\w+", rooms))
    folders = (folder for folder in (ROOT / "assistant").iterdir() if folder.is_dir() and folder.name not in ("trade", "cli"))
    there = {file.stem for folder in folders for file in folder.rglob("*.py") if not file.stem.startswith("__")}
    assert there - named == set()


def test_a_long_module_has_its_reason():
    reasons = next(line for line in TEXTS["DEVELOPERS.md"].splitlines() if line.startswith("Over 250 lines"))
    files = {str(file.relative_to(ROOT / "assistant").with_suffix("")): file for file in (ROOT / "assistant").rglob("*.py")}
    long = {name for name, file in files.items() if len(file.read_text(encoding="utf-8").splitlines()) > 250}
    assert long == set(re.findall(r"`([\w/]+)`", reasons))


def test_every_command_is_in_the_readme():
    assert set(re.findall(r"traycall ([a-z]+)", TEXTS["README.md"])) >= set(COMMANDS)


RUN = ["check slipway-edition", "rehearse contact-proof --late 5", "schema", "calculate stops 8s 12s", "plan slipway-edition",
       "card slipway-edition", "records", "baths"]  # fmt: skip


@pytest.mark.parametrize("call", RUN)
def test_commands_that_do_nothing_to_paper_run(call, capsys):
    assert main(shlex.split(call)) == 0, capsys.readouterr().err
    assert {line.split()[0] for line in RUN} == set(SAFE)
