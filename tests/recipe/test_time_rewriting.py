"""A new time in a recipe's own text: that one value changes, and nothing else in the file."""

import os
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import load, loads
from assistant.recipe.time_rewriting import CannotRewrite, put_time, put_time_in_file, time_of
from tests.recipe.cards import GOOD, changed
from tests.recipe.test_shipped import SHIPPED

WITH_TIME = [file for file in SHIPPED if re.search(r"^[^#]*\btime: ", file.read_text(encoding="utf-8"), re.MULTILINE)]


def exposure_of(text: str) -> int | None:
    return next(step for step in loads(text).recipe.steps if step.kind == "expose").time


def lines_changed(old: str, new: str) -> list[str]:
    olds, news = old.splitlines(), new.splitlines()
    assert len(olds) == len(news)
    return [after for before, after in zip(olds, news, strict=True) if before != after]


@given(st.integers(1, 24 * 60 * 60 * 1000))
def test_any_time_reads_back_to_the_millisecond(ms):
    assert exposure_of(put_time(GOOD, ms)) == ms


@pytest.mark.parametrize("file", WITH_TIME, ids=lambda file: file.stem)
def test_one_line_of_a_card_changes(file):
    old = file.read_text(encoding="utf-8")
    new = put_time(old, 12_600)
    (line,) = lines_changed(old, new)
    assert "time: 12.6 s" in line


def test_a_comment_stays_and_keeps_its_column():
    text = changed(("  - expose: {time: 9.6 s}", "  - expose:\n      time: 9.6 s       # from strip three\n      aperture: f/11"))
    assert "      time: 12.599 s    # from strip three\n      aperture: f/11" in put_time(text, 12_599)
    assert "      time: 8 s         # from strip three\n" in put_time(text, 8000)


def test_a_comment_with_no_room_moves_rather_than_joins():
    text = changed(("{time: 9.6 s}", "\n      time: 9.6 s # strip three"))
    assert "time: 120.25 s # strip three" in put_time(text, 120_250)


def test_quotes_go_with_their_value():
    text = changed(("{time: 9.6 s}", "{time: '9.6 s', aperture: f/11}"))
    assert "- expose: {time: 9 s, aperture: f/11}" in put_time(text, 9000)


def test_a_time_is_added_where_a_strip_stands_on_lines():
    text = changed(("{time: 9.6 s}", "\n      strip: {first: 6 s, step: 1/3, strips: 5}   # by voice"))
    put = put_time(text, 12_699)
    assert "  - expose: \n      time: 12.699 s\n      strip: {first: 6 s, step: 1/3, strips: 5}   # by voice\n" in put


def test_a_time_is_added_between_braces():
    text = changed(("{time: 9.6 s}", "{aperture: f/11, strip: {first: 6 s, step: 1/3, strips: 5}}"))
    assert "- expose: {time: 10 s, aperture: f/11, strip:" in put_time(text, 10_000)


def test_windows_lines_stay_windows_lines():
    text = changed(("{time: 9.6 s}", "\n      strip: {first: 6 s, step: 1/3, strips: 5}")).replace("\n", "\r\n")
    put = put_time(text, 9000)
    assert put.count("\r\n") == put.count("\n") == text.count("\n") + 1


SPLIT = changed(("{time: 9.6 s}", "{time: 9.6 s, filter: 0, parts: [{light: hard, time: 7 s, filter: 5}]}"))


def test_the_time_of_a_second_light():
    put = put_time(SPLIT, 9000, part="Hard")
    assert "{time: 9.6 s, filter: 0, parts: [{light: hard, time: 9 s, filter: 5}]}" in put
    assert time_of(loads(put).recipe, "hard") == 9000
    assert time_of(loads(put).recipe, None) == 9600


@pytest.mark.parametrize(("text", "said"), [(SPLIT, "its lights are `hard`"), (GOOD, "no light but the base")])
def test_a_light_that_is_not_there_is_said(text, said):
    with pytest.raises(CannotRewrite, match=said):
        put_time(text, 9000, part="soft")


def test_a_recipe_without_an_exposure():
    with pytest.raises(CannotRewrite, match="no exposure"):
        put_time(changed(("  - expose: {time: 9.6 s}\n", "")), 9000)


def test_a_value_that_others_refer_to_is_not_torn_from_them():
    text = changed(("{time: 9.6 s}", "{time: &t 9.6 s}"), ("- stop: {for: 30 s}", "- stop: {for: *t, drain: 2 s}"))
    with pytest.raises(CannotRewrite, match=r"write time: 9 s in step 1 yourself"):
        put_time(text, 9000)


def test_a_bad_recipe_is_left_alone(tmp_path):
    file = tmp_path / "card.yaml"
    file.write_text(GOOD.replace("1+9", "1:9"), encoding="utf-8")
    with pytest.raises(BadRecipe, match=r"is it 1 plus 9\?"):
        put_time_in_file(file, 9000)
    assert "1:9" in file.read_text(encoding="utf-8")


def test_a_file_keeps_its_mark_its_rights_and_its_folder(tmp_path):
    file = tmp_path / "card.yaml"
    file.write_bytes(b"\xef\xbb\xbf" + GOOD.encode())
    file.chmod(0o640)
    put_time_in_file(file, 9000)
    assert file.read_bytes() == b"\xef\xbb\xbf" + GOOD.replace("9.6 s", "9 s").encode()
    assert file.stat().st_mode & 0o777 == 0o640
    assert [left.name for left in tmp_path.iterdir()] == ["card.yaml"]
    assert load(file).recipe.steps[0].time == 9000


def test_a_link_stays_a_link(tmp_path):
    file, link = tmp_path / "card.yaml", tmp_path / "tonight.yaml"
    file.write_text(GOOD, encoding="utf-8")
    link.symlink_to(file)
    put_time_in_file(link, 9000)
    assert link.is_symlink()
    assert "time: 9 s" in file.read_text(encoding="utf-8")


def test_a_disk_that_fails_leaves_the_old_file_whole(tmp_path, monkeypatch):
    file = tmp_path / "card.yaml"
    file.write_text(GOOD, encoding="utf-8")

    def full(handle):
        raise OSError("no space left")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="no space left"):
        put_time_in_file(file, 9000)
    assert file.read_text(encoding="utf-8") == GOOD
    assert [left.name for left in tmp_path.iterdir()] == ["card.yaml"]
