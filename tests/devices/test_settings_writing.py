"""A setting changed from the screen: comments, order and all else in the file stay, and a wrong one changes nothing."""

import re

import pytest

from assistant.devices.settings import BadSetting, Settings, read_settings, settings_file
from assistant.devices.settings_writing import as_text, known, put, wrong
from assistant.session.named_keys import KEYS

OTHERS = {"voice": "en-gb", "rate": "150", "pitch": "50", "volume": "0.8", "player": "stream", "output": "desk", "offset": "180",
          "quiet": "true", "ears": "true", "microphone": "close one", "attention": "true", "knock": "true",
          "recipes": "/srv/recipes"}  # fmt: skip

LANTERN = "hand me the lantern"


@pytest.fixture
def file(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    return settings_file()


@pytest.mark.parametrize("key", known())
def test_every_setting_is_written_where_it_is_explained_and_back_again(file, key):
    before = file.read_text()
    other = OTHERS.get(key, {"keys": "f9", "hands": "7.5", "say": LANTERN}.get(key.partition(".")[0]))
    other += " {}" * as_text(Settings(), key).count("{}")
    put(key, other)
    assert as_text(read_settings(), key) == other
    lines = file.read_text().splitlines()
    assert len(lines) == len(before.splitlines())
    changed = [(old, new) for old, new in zip(before.splitlines(), lines, strict=True) if old != new]
    assert len(changed) == 1
    assert changed[0][0].partition("  #")[2].strip() == changed[0][1].partition("  #")[2].strip()
    put(key, as_text(Settings(), key))
    assert read_settings().bound == KEYS
    assert as_text(read_settings(), key) == as_text(Settings(), key)


def test_a_printers_own_words_in_the_file_stay(file):
    file.write_text('# my darkroom\nrate = 150   # slow, for the fan\n\n[keys]  # pedal\nhold = "f5"\n')
    put("rate", "160")
    put("keys.hold", "f6")
    put("pitch", "44")
    assert file.read_text() == 'pitch = 44\n# my darkroom\nrate = 160   # slow, for the fan\n\n[keys]  # pedal\nhold = "f6"\n'


def test_a_new_key_in_a_file_with_a_table_of_keys(file):
    file.write_text('[keys]\nhold = "f5"\n')
    put("keys.undo", "f7")
    assert read_settings().keys == {"hold": "f5", "undo": "f7"}


@pytest.mark.parametrize(
    ("key", "text", "said"),
    [
        ("rate", "fast", "write a whole number"),
        ("rate", "400", "write 80 to 260"),
        ("volume", "", "write a number"),
        ("quiet", "yes", "true or false"),
        ("player", "tape", "one of auto, stream, simpleaudio"),
        ("keys.hold", "a", 'two keys are "a"'),
        ("hands.pace", "-1", "write seconds, 0 to 600"),
        ("hands.pace", "slow", "write a number"),
        ("hands.pace", "nan", "write a number"),
        ("hands.pace", "1e999", "write a number"),
        ("volume", "inf", "write a number"),
        ("keys.hold", "", "a letter or a key's name"),
    ],
)
def test_a_wrong_one_is_said_and_changes_nothing(file, key, text, said):
    before = file.read_text()
    assert said in wrong(key, text)
    with pytest.raises(BadSetting, match=re.escape(said)):
        put(key, text)
    assert file.read_text() == before
