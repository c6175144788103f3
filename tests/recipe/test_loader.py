"""Reading: values as text, places, defaults, the limits of a file, and that complaints come all at once."""

import os

import pytest

from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import load, loads
from assistant.recipe.model import Develop, Fix, Hold, Stop, Wash
from tests.recipe.cards import GOOD, changed


def faults(text):
    with pytest.raises(BadRecipe) as caught:
        loads(text, "card.yaml")
    return caught.value.faults


def test_a_good_recipe_has_no_complaints():
    loaded = loads(GOOD)
    assert loaded.warnings == ()
    assert loaded.text == GOOD
    assert [step.kind for step in loaded.recipe.steps] == ["expose", "develop", "stop", "fix", "hold", "tone", "wash"]


def test_values_mean_what_they_say_and_not_what_yaml_takes_them_for():
    text = changed(("title: Slipway panel", "title: 1946\nnotes: on"), ("- stop: {for: 30 s}", "- stop: {for: 1:30}"))
    recipe = loads(text).recipe
    assert recipe.title == "1946"
    assert recipe.notes == "on"
    assert recipe.steps[2].target == 90_000


def test_trays_are_found_by_the_kind_of_step():
    recipe = loads(GOOD).recipe
    assert [step.tray for step in recipe.steps[1:]] == ["developer", "stop", "fixer", "water", "toner", "washer"]


def test_two_trays_of_a_kind_are_not_guessed_at():
    text = changed(("  fixer: {bath: rapid fixer, holds: 2}", "  fixer one: {bath: fixer}\n  fixer two: {bath: fixer}"))
    assert [fault.fix for fault in faults(text)] == ["write tray: fixer one or fixer two"]


def test_trays_keep_the_order_of_the_wet_side():
    assert list(loads(GOOD).recipe.trays) == ["developer", "stop", "fixer", "water", "toner", "washer"]


@pytest.mark.parametrize(("kind", "begin"), [(Develop, "by hand"), (Stop, "on cue"), (Fix, "on cue"), (Hold, "on cue")])
def test_how_a_step_begins_unless_written(kind, begin):
    assert next(step for step in loads(GOOD).recipe.steps if isinstance(step, kind)).begin == begin


@pytest.mark.parametrize("kind", [Stop, Fix, Wash])
def test_the_least_is_the_time_unless_written(kind):
    step = next(step for step in loads(GOOD).recipe.steps if isinstance(step, kind))
    assert step.at_least == step.target
    assert step.drain == 10_000


def test_all_complaints_at_once_in_the_order_of_the_file():
    text = changed(("title: Slipway", "titel: Slipway"), ("1+9", "1:9"), ("9.6 s", "9.6"), ("{tray: water}", "{tray: bucket}"))
    found = faults(text)
    assert [fault.line for fault in found] == [2, 5, 12, 16]
    assert all(fault.column > 0 and fault.what and fault.fix for fault in found)


def test_a_rule_is_judged_although_another_value_can_not_be_read():
    text = changed(("- fix: {for: 2 min}", "- fix: {for: 2 min, at_most: 1 min, agitate: {every: 30}}"))
    assert {fault.where for fault in faults(text)} == {"step 4, fix, at_most", "step 4, fix, agitate, every"}


def test_warnings_come_with_the_errors():
    text = changed(("- wash: {for: 40 min}", "- wash: {for: 4 min}"), ("copies: 4", "copies: 0"))
    assert [fault.severity for fault in faults(text)] == ["error", "warning"]


def test_line_and_column_are_those_of_the_value():
    text = changed(("9.6 s", "9.6"))
    (fault,) = faults(text)
    line = text.splitlines()[fault.line - 1]
    assert line[fault.column - 1 :].startswith("9.6")


def test_windows_line_ends_and_a_byte_order_mark_change_nothing(tmp_path):
    file = tmp_path / "card.yaml"
    file.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert load(file).recipe == loads(GOOD).recipe


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(BadRecipe, match=r"gone\.yaml: this file can't be read \(No such file or directory\)"):
        load(tmp_path / "gone.yaml")


def test_a_folder(tmp_path):
    with pytest.raises(BadRecipe, match="this file can't be read"):
        load(tmp_path)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(tmp_path):
    file = tmp_path / "card.yaml"
    file.write_text(GOOD)
    file.chmod(0)
    with pytest.raises(BadRecipe, match="Permission denied"):
        load(file)


def padded(size: int) -> bytes:
    return GOOD.encode() + b"#" * (size - len(GOOD) - 1) + b"\n"


def test_the_largest_file_that_is_read(tmp_path):
    file = tmp_path / "card.yaml"
    file.write_bytes(padded(256_000))
    assert load(file).recipe.copies == 4
    file.write_bytes(padded(256_001))
    with pytest.raises(BadRecipe, match="the file has over 256 kB"):
        load(file)


def test_a_text_that_is_too_large():
    assert "256 kB" in faults(GOOD + "#" * 256_000)[0].what


def values(count: int) -> str:
    return changed(("bath: citric stop", f"bath: citric stop, care: [{', '.join(['gloves'] * count)}]"))


def test_more_values_than_a_recipe_has():
    assert loads(values(9_000)).recipe.trays["stop"].care[-1] == "gloves"
    (fault,) = faults(values(10_001))
    assert fault.what == "more than 10000 values"
    assert fault.line == 6


def test_depth_is_met_before_it_is_paid_for():
    (fault,) = faults(changed(("copies: 4", "copies: " + "[" * 50_000)))
    assert fault.what == "this lies more than 20 deep"


def test_a_reference_that_stays_small_may_be_used():
    text = changed(("{bath: citric stop}", "&plain {bath: citric stop}"), ("{bath: selenium toner}", "*plain"))
    trays = loads(text).recipe.trays
    assert trays["toner"] == trays["stop"]


@pytest.mark.parametrize("key", ["title", "notes"])
def test_nothing_in_a_recipe_reaches_the_screen_as_a_command(key):
    text = changed(("title: Slipway panel\n", "title: Slipway panel\nnotes: none\n"))
    old = {"title": "title: Slipway panel", "notes": "notes: none"}[key]
    (fault,) = faults(text.replace(old, f'{key}: "red \\e[31m"'))
    assert (fault.where, fault.what) == (key, "there are characters here that can't be said or shown")


def test_complaints_quote_no_command_for_the_screen():
    text = changed(("copies: 4", 'copies: 4\n"\\e[31m": 1\n"\\e[31m": 2'), ("{bath: citric stop}", '"\\e[0m"'))
    assert all(fault.said("card.yaml").isprintable() for fault in faults(text))


def test_total_darkness():
    text = changed(("copies: 4", "copies: 4\nlight: none"), ("  - expose: {time: 9.6 s}\n", ""))
    assert loads(text).recipe.light == "none"
