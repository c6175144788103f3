"""`traycall voice` lists voices that can say the program's sentences, each of which really does."""

import pytest

from assistant.cli.main import main
from assistant.devices.settings import Settings
from assistant.sound_helper.speech import Speaker, Voice, is_known


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))


def listed(capsys):
    assert main(["voice"]) == 0
    return capsys.readouterr().out.split("\n\n")[0].splitlines()


def test_every_voice_listed_speaks_under_its_own_name(capsys):
    names = listed(capsys)
    assert Settings().voice.split("+")[0] in names
    for name in names:
        speaker = Speaker(Voice(name))
        assert is_known(Voice(name), speaker.known_as()), name
        assert len(speaker.say("half way")) > 0


def test_voices_of_other_languages_are_left_out(capsys):
    assert [name for name in listed(capsys) if not name.startswith("en")] == []


def test_a_voice_that_is_not_there_is_refused_with_the_nearest(capsys):
    assert main(["voice", "en-uz"]) == 1
    assert 'There is no voice "en-uz" here. Did you mean "en-us"?' in capsys.readouterr().err


def test_a_name_that_could_command_a_terminal_is_printed_harmlessly(capsys):
    assert main(["voice", "\x1b]0;mine\x07\x9b2J"]) == 1
    assert "\x1b" not in (said := capsys.readouterr().err)
    assert "\x9b" not in said
