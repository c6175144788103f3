"""The settings file: every key explained, wrong ones named with their line."""

import re
from dataclasses import asdict, fields, replace

import pytest

from assistant.devices.settings import ALL_KEYS, KEYS, BadSetting, Settings, explained, read_settings, settings_file
from assistant.planning.hand_times import Hands
from assistant.screens.keys import NAMES
from assistant.session.wordings import WORDINGS, in_force


@pytest.fixture
def file(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    return settings_file()


def test_the_written_file_changes_nothing_and_explains_every_key(file):
    assert read_settings() == Settings()
    known = set(re.findall(r"^# ([\w.]+) = ", explained(), re.MULTILINE))
    hands = {f"hands.{field.name}" for field in fields(Hands)}
    named = {f"keys.{name}" for name in ALL_KEYS} | {f"say.{name}" for name in WORDINGS}
    assert known == {field.name for field in fields(Settings)} - {"keys", "say", "hands"} | named | hands


def test_what_the_written_file_shows_are_the_defaults(file):
    file.write_text(re.sub(r"^# ([\w.]+ = )", r"\1", explained(), flags=re.MULTILINE))
    said = {name: wordings[0] for name, wordings in WORDINGS.items()}
    assert in_force(read_settings().say) == WORDINGS
    assert read_settings() == Settings(keys=ALL_KEYS, say=said, hands={name: ms / 1000 for name, ms in asdict(Hands()).items()})
    assert read_settings().own_hands == Hands()
    assert set(ALL_KEYS) == set(NAMES)


def test_a_named_key_gets_another_place(file):
    file.write_text('keys.hold = "f5"\n')
    assert read_settings().bound == {**KEYS, "hold": "f5"}


def test_hands_of_the_printers_own(file):
    file.write_text("hands.pace = 3.5\nhands.place = 40\n")
    assert read_settings().own_hands == replace(Hands(), pace=3_500, place=40_000)


def test_no_file_is_no_fault(tmp_path):
    assert read_settings(tmp_path / "none.toml") == Settings()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('# mine\n\nvoise = "en-gb"\n', ":3: voise is not a setting: known are voice, rate, pitch,"),
        ("rate = 400\n", ":1: rate = 400: write 80 to 260"),
        ("quiet = true\nrate = true\n", ":2: rate = True: write a whole number"),
        ("rate = 165.5\n", ":1: rate = 165.5: write a whole number"),
        ('volume = "loud"\n', ":1: volume = 'loud': write a number"),
        ('player = "tape"\n', ":1: player = 'tape': write one of auto, stream, simpleaudio"),
        ("voice = 3\n", ':1: voice = 3: write words in quotes, like "auto"'),
        ("hands.pace = -1\n", ":1: hands.pace = -1: write seconds, 0 to 600"),
        ("hands.speed = 1\n", ":1: hands.speed is not known: known are slack, pace,"),
        ("quiet = 1\n", ":1: quiet = 1: write true or false"),
        ("[sound]\nrate = 165\n", ":1: sound is not a setting"),
        ("rate = 165\npitch == 3\n", ":2: not a setting"),
        ('keys.jump = "j"\n', ":1: keys.jump is no named key: known are help, again,"),
        ("keys.hold = 5\n", ":1: keys.hold = 5: write a letter or a key's name"),
        ('rate = 165\nkeys.hold = "a"\n', ':2: two keys are "a": give again another one'),
        ('say.undo = "halt"\n', ':1: say.undo = "halt": it has 1 syllable: say it in 3 to 10'),
        ('rate = 150\nsay.go = "say id again"\n', ':2: say.go = "say id again": it is taken for "say it again"'),
        ('say.halt = "stop the boat there"\n', ":1: say.halt = "),
        ("keys = 3\n", ":1: keys = 3: write each one by its name"),
        ('output = "a\\u0000b"\n', ":1: output = 'a\\x00b': it has a character that can't be printed"),
        ("rate = " + "[" * 9000 + "]" * 9000 + "\n", ":1: this is no setting (it is nested too deeply)"),
        ("offset = -5\n", ":1: offset = -5: write 0 to 1000"),
    ],
)
def test_a_wrong_setting_is_named_with_its_line_and_what_to_write(file, text, said):
    file.write_text(text)
    with pytest.raises(BadSetting) as error:
        read_settings()
    assert str(error.value).startswith(f"{file}{said}")


def test_all_wrong_settings_are_named_at_once(file):
    file.write_text("rate = 1\nloud = true\npitch = 500\n")
    with pytest.raises(BadSetting) as error:
        read_settings()
    assert [line.split(":")[1] for line in str(error.value).splitlines()] == ["1", "2", "3"]


def test_settings_that_are_no_text_are_a_sentence(file):
    file.write_bytes(b"rate = 150\n# caf\xe9\n")
    with pytest.raises(
        BadSetting, match=r"these settings can't be read: line 2 is no text in UTF-8: save the file as UTF-8 text"
    ):
        read_settings()
    file.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BadSetting, match="can't be read"):
        read_settings()
