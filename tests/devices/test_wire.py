"""What the app and its helper tell each other: whatever is written at one end is read the same at the other."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.devices import wire
from assistant.devices.settings import helper_settings
from assistant.score.cues import KINDS, Cue

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
NUMBER = st.integers(-(2**53), 2**53)
CUE = st.builds(Cue, NUMBER, st.sampled_from(sorted(KINDS)), TEXT, st.none() | NUMBER, TEXT)
SECONDS = st.floats(allow_nan=False, allow_infinity=False)
MESSAGE = st.one_of(
    st.builds(wire.Zero, SECONDS),
    st.builds(wire.Give, NUMBER, st.lists(CUE, max_size=5).map(tuple)),
    st.builds(wire.Hush, NUMBER),
    st.builds(wire.Say, CUE),
    st.builds(wire.Prepare, st.lists(TEXT, max_size=5).map(tuple)),
    st.just(wire.Ping()),
    st.just(wire.Quit()),
)
ANSWER = st.one_of(
    st.builds(wire.Health, TEXT, TEXT, SECONDS, SECONDS, SECONDS, st.lists(NUMBER, max_size=5).map(tuple)),
    st.builds(wire.NoPlayer, TEXT),
)


@given(MESSAGE)
def test_a_message_is_one_line_and_reads_as_it_was_written(message):
    line = wire.message_line(message)
    assert line.count("\n") == 1
    assert line.endswith("\n")
    assert wire.read_message(line) == message


@given(ANSWER)
def test_an_answer_is_one_line_and_reads_as_it_was_written(answer):
    line = wire.answer_line(answer)
    assert line.count("\n") == 1
    assert wire.read_answer(line) == answer


@pytest.mark.parametrize(
    "line",
    [
        "",
        "ALSA lib pcm.c: no such device",
        "[]",
        "7",
        "null",
        '{"do": "leave"}',
        '{"do": "give"}',
        '{"do": "ping", "more": 1}',
        '{"player": "stream"}',
        '{"why": "gone", "age": 1}',
    ],
)
def test_what_a_library_prints_in_between_is_no_message_and_no_answer(line):
    for read in (wire.read_message, wire.read_answer):
        with pytest.raises(ValueError, match=r"no (message|answer)|Expecting"):
            read(line)


def test_settings_pass_through_one_word_of_the_call(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path))
    settings = helper_settings()
    assert wire.HelperSettings.from_line(settings.as_line()) == settings
