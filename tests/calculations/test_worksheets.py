"""Every topic as a worksheet: values of the trade, each with its source, and any text in any field."""

import argparse
import re
import shlex

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.calculations.topic import Curve, worked
from assistant.calculations.topics import TOPICS
from assistant.cli.fields import add_field, in_a_call
from assistant.screens.dry.plots import curve


def filled(topic, **texts):
    """What comes of a worksheet with only these fields written, and those that can't be empty."""
    fields = TOPICS[topic].fields
    starts = {field.name: field.start for field in fields if field.needed or field.choices}
    return worked(TOPICS[topic], {**starts, **{name.replace("_", " "): text for name, text in texts.items()}})


@pytest.mark.parametrize(
    ("topic", "texts", "answers"),
    [
        # doubling and halving; the exact f-numbers of ISO 517's series; inverse square [math]
        ("exposure", {"time": "10 s", "more": "1/3"}, "10 s becomes 12.599 s"),
        ("exposure", {"time": "10 s", "aperture": "f/11 to f/16"}, "10 s becomes 20 s"),
        ("exposure", {"time": "12 s", "height": "80 cm to 100 cm"}, "12 s becomes 18.75 s"),
        # thin-lens optics, from memory: ((3 + 1) / (2 + 1))^2
        ("exposure", {"time": "10 s", "enlargement": "2 to 3"}, "10 s becomes 17.778 s"),
        # ISO 6846 [std] for paper speeds; dry-down and filter factors are common practice
        ("exposure", {"time": "10 s", "paper": "P500 to P250"}, "10 s becomes 20 s"),
        ("exposure", {"time": "12 s", "filter": "1 to 2"}, "12 s becomes 24 s"),
        ("exposure", {"time": "20 s", "dry-down": "8 %"}, "20 s becomes 18.4 s"),
        ("stops", {"first": "12 s", "second": "24 s"}, "is +1.0000 stop"),
        # cos^3 of the angle at the lamp [math]
        ("corner", {"size": "8x10 in", "height": "80 cm"}, "the corner gets 0.941 of the middle"),
        # U.S. Navy *Photography (Basic)*, NAVEDTRA 14209 [pub], uncovered; U.S. Army SS0509 [pub], covered
        ("strip", {"time": "2 s", "strips": "4", "add": "2 s", "card": "uncover"}, "given in this order: 2 s, 2 s, 2 s, 2 s"),
        ("strip", {"time": "2 s", "add": "2 s"}, "cover at: 2 s, 4 s, 6 s, 8 s; light off at 10 s"),
        # geometric strips [math]
        ("strip", {"time": "8 s", "step": "1/3"}, "given in this order: 8 s, 2.079 s, 2.62 s, 3.301 s, 4.159 s"),
        ("strip", {"time": "5 s", "strips": "6", "step": "1/2"}, "light off at 28.284 s"),
        ("strip", {"time": "12 s", "strips": "3", "step": "1/6", "time is": "middle"}, "10.691 s, 12 s, 13.47 s"),
        # Lambrecht's timing table in Lambrecht & Woodhouse, *Way Beyond Monochrome* [pub], printed to 0.1 s
        ("parts", {"base": "25.4 s", "parts": "dodge door 1/3", "clock": "0.1 s"}, "5.2 s"),
        ("parts", {"base": "25.4 s", "parts": "burn sky 1/2", "clock": "0.1 s"}, "10.5 s"),
        # ANSI IT2.26-1998, ISO 8374 [std]: half the geometric mean of 4 and 8 minutes, rounded down
        ("fog", {"clean": "4 min", "fogged": "8 min"}, "2:49"),
        # WCAG 2 formula
        ("red", {"contrast": "4.5"}, "#EB0000 on black"),
        # one part and a parts [math]
        ("mix", {"volume": "2 l", "mix": "1+9"}, "200 ml concentrate + 1800 ml water"),
        ("mix", {"volume": "150 ml", "mix": "1+9", "volume is": "left"}, "1500 ml at 1+9"),
        ("mix", {"volume": "2 l", "water at": "20 C", "cold": "10 C", "hot": "50 C"}, "1350 ml at 10 C, then 450 ml at 50 C"),
        ("water", {"volume": "1 l", "wanted": "20 C"}, "750 ml at 10 C, then 250 ml at 50 C"),
        # U.S. Army recipe for a stop bath [pub]: 45 ml of 28 % in 960 ml
        ("strength", {"stock": "28 %", "pour": "45 ml", "water": "960 ml"}, "of 1.254 %"),
        ("tray", {"size": "25x30 cm", "depth": "2 cm"}, "1.50 l"),
        # a sheet counts by its area: 12x16 in is 2.4 of 8x10 in [math]
        ("capacity", {"size": "12x16 in", "sheets": "10", "lasts": "20 per litre"}, "use 24 of 8x10 in"),
        # two points, and Glover's pair (1924, in Clerc §573 [pub]) as its coefficient 2.0747
        ("temperature", {"now": "22 C", "also_known": "90 s at 24 C"}, "1:43.9 at 22 C"),
        ("temperature", {"now": "18 C", "coefficient": "2.0747"}, "2:18.9 at 18 C"),
        # *Cyclopaedia of Photography*, Jones ed., 1911 [pub]
        ("first-tone", {"first_tone": "9 s", "factor": "15"}, "develop 2:15"),
        # fresh water every five minutes: Clerc, *Photography: Theory and Practice*, §607 [pub]
        ("wash", {"every": "5 min", "fill": "2 l", "held": "100 ml"}, "fresh water 6 times"),
    ],
)
def test_worked_values(topic, texts, answers):
    done = filled(topic, **texts)
    assert done.answer is not None, (done.faults, done.why)
    assert answers in " ".join(done.answer.lines)


@pytest.mark.parametrize("name", TOPICS)
def test_a_worksheet_begins_with_an_answer(name):
    topic = TOPICS[name]
    assert worked(topic, {field.name: field.start for field in topic.fields}).answer is not None


def test_no_dry_down_is_filled_in():
    assert all(field.start == "" for topic in TOPICS.values() for field in topic.fields if field.name == "dry-down")


@pytest.mark.parametrize("name", TOPICS)
def test_a_worksheet_and_its_command_have_the_same_fields_and_read_the_same(name):
    parser = argparse.ArgumentParser()
    for field in TOPICS[name].fields:
        add_field(parser, field)
    assert {action.dest for action in parser._actions} - {"help"} == {field.name for field in TOPICS[name].fields}
    needed = [word for field in TOPICS[name].fields if field.needed for word in shlex.split(in_a_call(field))]
    for field in TOPICS[name].fields:
        if not field.choices:
            option = [] if field.needed else [f"--{field.name.replace(' ', '-')}", *shlex.split(in_a_call(field))]
            assert vars(parser.parse_args([*needed, *option]))[field.name] == field.value(field.form)


texts = st.one_of(st.text(max_size=20), st.from_regex(r"[0-9.+/: -]{0,8}( ?(s|min|C|l|ml|stop|in|%))?", fullmatch=True))
HARD = [
    "10 h", "0.001 s", "24 h", "1 ms", "2 min at 20 C", "10 h at 30 C", "90 s at 24 C", "f/1 to f/64", "1 to 10", "10", "20",
    "30 C", "1 l", "100 l", "1+1", "1+200", "8x10 in", "1/12", "burn sky 1/2, dodge door 10",
]  # fmt: skip


def any_texts(topic):
    some = st.one_of(st.just(""), texts, st.sampled_from(HARD))
    return st.fixed_dictionaries(
        {field.name: st.sampled_from(field.choices) if field.choices else some for field in topic.fields}
    )


@settings(max_examples=600, deadline=None)
@given(st.data(), st.sampled_from(sorted(TOPICS)), st.sampled_from([(60, 10), (100, 16), (20, 5), (1, 1)]))
def test_no_texts_break_a_worksheet_or_give_less_than_no_time(data, name, size):
    done = worked(TOPICS[name], data.draw(any_texts(TOPICS[name])))
    assert (done.answer is None) == bool(done.faults or done.why)
    if done.answer is None:
        return
    assert not re.search(r"\bnan\b|\binf\b|(?<![\w(+])-\d[\d.]* ?(s|ml|l)\b", " ".join(done.answer.lines))
    if isinstance(done.answer.picture, Curve):
        drawn = curve(done.answer.picture, *size)
        assert len(drawn) <= size[1]


def test_what_cannot_be_read_is_said_and_no_answer_stands():
    done = filled("exposure", time="9.6")
    assert done.answer is None
    assert '"9.6" is not a time: write 9.6 s' in done.faults["time"]
