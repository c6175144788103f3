"""Odd calls: closed streams, full disks, pipes and devices where files should be, names that could command a terminal.

Each is answered in a sentence, with the exit code that the command documents; none ends in traces of the program.
"""

import io
import os
import shlex
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.cli.main import FAULT, main
from assistant.printing.outside import House
from assistant.screens.dry.outside import CantDo, Offered

ROOT = Path(__file__).parents[2]
GOOD = (ROOT / "recipes" / "contact-proof.yaml").read_text(encoding="utf-8")
PATIENT = 30
"""Seconds after which a command that should answer at once is given up."""


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def shell(line):
    call = f"{shlex.quote(sys.executable)} -m assistant {line}"
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.run(["sh", "-c", call], capture_output=True, text=True, env=env, timeout=PATIENT, check=False)


ALL_CLOSED = "<&- >&- 2>&-"
CLOSED = [f"{call} {ALL_CLOSED}" for call in ("check contact-proof", "records", "schema", "--help", "")]
CLOSED += [f"run contact-proof --silent {closed}" for closed in ("<&-", ">&-", ALL_CLOSED)]
CLOSED += [f"records {closed}" for closed in ("<&-", ">&-", "2>&-")]


@pytest.mark.parametrize("line", CLOSED)
def test_without_input_or_output(line):
    done = shell(line)
    assert done.returncode in (0, 1, 2), done
    assert "Traceback" not in done.stderr
    assert "failed" not in done.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full device here")
@pytest.mark.parametrize("line", ["schema >/dev/full", "check contact-proof >/dev/full", "rehearse contact-proof >/dev/full"])
def test_an_output_that_is_full_is_a_sentence(line):
    done = shell(line)
    assert (done.returncode, done.stderr) == (1, "What was asked for can't be written out: No space left on device.\n")


@pytest.mark.parametrize(
    ("home", "call", "said"),
    [
        ("home", ["records", "backup", "afile/x"], "afile/x.unfinished: Not a directory."),
        ("home", ["records", "backup", "x" * 300], "File name too long."),
        ("home", ["records", "export", "x" * 300], "File name too long."),
        ("afile", ["recipes"], "afile: File exists."),
        ("afile/home", ["rehearse", "contact-proof"], "afile/home: Not a directory."),
    ],
)
def test_a_file_that_can_not_be_is_named(folder, monkeypatch, capsys, home, call, said):
    (folder / "afile").touch()
    monkeypatch.setenv("TRAYCALL_HOME", str(folder / home))
    assert main(call) == 1
    assert capsys.readouterr().err.strip().endswith(said)


def test_whoever_stops_reading_stops_the_command_without_a_word():
    done = shell("schema | head -1")
    assert (done.stdout, done.stderr) == ("{\n", "")


ODD = {
    "pipe": lambda file: os.mkfifo(file),
    "device": lambda file: file.symlink_to("/dev/zero"),
    "video": lambda file: os.truncate(os.open(file, os.O_CREAT | os.O_WRONLY), 2_000_000_000),
}


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such files here")
@pytest.mark.parametrize("odd", ODD)
def test_what_is_no_recipe_file_is_said_and_stops_nothing(odd, folder, capsys):
    ODD[odd](folder / "odd.yaml")
    (folder / "proof.yaml").write_text(GOOD, encoding="utf-8")
    assert main(["check", "odd.yaml", "proof.yaml"]) == 1
    said = capsys.readouterr().out.splitlines()
    assert len(said) == 2
    assert said[0].startswith("odd.yaml: ")
    assert said[1] == "proof.yaml: good"
    assert [one.name for one in House().recipes()][:1] == ["proof.yaml"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such files here")
@pytest.mark.parametrize("odd", ODD)
@pytest.mark.parametrize("call", ["rehearse contact-proof --script odd", "base odd 5s", "rehearse odd", "strip odd --silent"])
def test_other_files_of_a_call_are_looked_at_first_too(call, odd, folder, capsys):
    ODD[odd](folder / "odd")
    assert main(call.split()) == 1
    assert capsys.readouterr().err.startswith("odd: ")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such files here")
@pytest.mark.parametrize("odd", ODD)
def test_a_tone_of_ones_own_that_is_no_sound_leaves_the_others(odd, folder):
    from assistant.places import shipped
    from assistant.sound_helper.tones import MAKERS, palette

    ODD[odd](folder / "now.wav")
    tones, complaints = palette(shipped("sounds"), folder)
    assert set(tones) == set(MAKERS)
    assert "this is no WAV file (it " in complaints


def test_two_thousand_recipes_are_listed_without_being_read(folder, monkeypatch):
    for i in range(2_000):
        (folder / f"print-{i:04}.yaml").write_text(GOOD, encoding="utf-8")
    with monkeypatch.context() as watched:
        watched.setattr("assistant.recipe.loader.loads", lambda *text: pytest.fail("a recipe is read before it is looked at"))
        recipes = House().recipes()
    assert len(recipes) > 2_000
    assert recipes[1_999].name == "print-1999.yaml"


HOSTILE = "\x1b]0;mine\x07\x9b2J\x1b[41m\r"


@pytest.mark.parametrize(
    "call",
    [
        ["check", f"{HOSTILE}.yaml"],
        ["rehearse", f"{HOSTILE}.yaml"],
        ["run", HOSTILE, "--silent"],
        ["base", HOSTILE, "5s"],
        ["sounds", "--write", f"/dev/null/{HOSTILE}"],
        ["records", "show", HOSTILE],
        ["records", HOSTILE],
        [HOSTILE],
        ["rehearse", "contact-proof", "--script", HOSTILE],
        ["rehearse", "contact-proof", "--sound", f"{HOSTILE}.wav/x.wav"],
    ],
)
def test_a_name_can_not_command_the_terminal(call, capsys):
    try:
        code = main(call)
    except SystemExit as left:
        code = left.code
    said = capsys.readouterr()
    assert code in (1, 2)
    assert not {"\x1b", "\x9b", "\x07", "\r"} & {*said.out, *said.err}


def test_settings_can_not_command_the_terminal_either(folder, capsys):
    home = folder / "home"
    home.mkdir()
    (home / "settings.toml").write_text('"\\u001b[2J" = 1\n')
    assert main(["voice"]) == 1
    assert capsys.readouterr().err.startswith(f"{home}/settings.toml:1: \\x1b[2J is not a setting")


NUMBERS = ("9999999999999999999999999", "-1", "0", "9223372036854775808")


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("call", [["records", "show"], ["run", "contact-proof", "--silent", "--copies"],
                                  ["rehearse", "contact-proof", "--copies"]])  # fmt: skip
def test_numbers_beyond_all_measure(call, number, capsys):
    try:
        code = main([*call, number])
    except SystemExit as left:
        code = left.code
    assert code in (1, 2), capsys.readouterr().err


def test_a_sound_file_or_a_cue_sheet_that_is_there_is_left_as_it_is(folder, capsys):
    for there in ("evening.wav", "evening.txt"):
        (folder / there).write_text("mine")
        assert main(["rehearse", "contact-proof", "--sound", "evening.wav"]) == 1
        assert capsys.readouterr().err == f"{there} is there already and is left as it is: name another file\n"
        assert (folder / there).read_text() == "mine"
        (folder / there).unlink()


def test_a_recipe_that_is_read_only_is_left_as_it_is(folder, capsys):
    file = folder / "proof.yaml"
    file.write_text(GOOD, encoding="utf-8")
    file.chmod(0o444)
    assert main(["base", "proof.yaml", "5s"]) == 1
    assert capsys.readouterr().err == "proof.yaml: the time can't be written: it is read-only\n"
    assert file.read_text(encoding="utf-8") == GOOD


def test_a_folder_where_a_copy_can_not_be_put_is_named(folder, capsys, monkeypatch):
    (folder / "home").mkdir()
    (folder / "home" / "recipes").touch()
    assert main(["base", "contact-proof", "5s"]) == 1
    assert capsys.readouterr().err.endswith("recipes/contact-proof.yaml: the time can't be written: File exists\n")


def test_an_internal_fault_is_one_sentence_and_its_traces_are_kept(folder, monkeypatch, capsys):
    monkeypatch.setattr("assistant.cli.schema.run", lambda args: 1 / 0)
    before = time.time()
    assert main(["schema"]) == FAULT
    kept = folder / "home" / "fault.txt"
    assert capsys.readouterr().err.startswith(f"traycall failed; details are in {kept}.")
    assert "ZeroDivisionError" in kept.read_text()
    assert kept.stat().st_mtime >= before - 1


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such files here")
@pytest.mark.parametrize("odd", ODD)
def test_nothing_odd_is_copied_or_taken_in(odd, folder, capsys):
    ODD[odd](folder / "odd.yaml")
    with pytest.raises(CantDo, match="can't be copied"):
        House().copied(Offered("odd.yaml", folder / "odd.yaml", True), "mine")
    ODD[odd](folder / "odd.jsonl")
    assert main(["records", "import", "odd.jsonl"]) == 1
    assert "odd.jsonl can't be read: it " in capsys.readouterr().err


def test_a_word_too_many_is_answered_with_the_usage_of_its_own_command(capsys):
    with pytest.raises(SystemExit):
        main(["run", "slipway-edition", "--foo"])
    said = capsys.readouterr().err
    assert said.startswith("usage: traycall run ")
    assert said.endswith("traycall run: error: unrecognized arguments: --foo\n")


def test_a_new_recipe_is_asked_for_with_what_enter_stands_for_and_needs_a_name_of_its_own(capsys, monkeypatch, folder):
    words = ["new", "--title", "Big barge", "--copies", "6", "--time", "10s"]
    monkeypatch.setattr(sys, "stdin", io.StringIO("\n" * 9))
    assert main(words) == 0
    assert "(the paper's size; Enter: 8x10 in): " in capsys.readouterr().out
    monkeypatch.setattr(sys, "stdin", io.StringIO("\n" * 9))
    assert main(words) == 1
    assert capsys.readouterr().err == "Not written. There is a recipe big-barge already: give this one another name.\n"


def test_what_a_call_says_wrong_is_found_before_anything_is_asked(capsys):
    assert main(["new", "--copies", "two"]) == 1
    said = capsys.readouterr()
    assert (said.out, said.err) == ("", 'Not written: "two" is not a whole number: write one from 1 to 60\n')
